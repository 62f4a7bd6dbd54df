"""`rungwise quiz`: cadences and progressions to recognize by ear."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracks.cli import options
from tracks.safety import CAUTION_ON_SCREEN

if TYPE_CHECKING:
    from tracks.pack.folder import PackReport
    from tracks.quiz.files import Quiz

EVERY_KEY = "all"
STYLE = "block"


def quiz(
    level: Annotated[
        int,
        typer.Option(
            "--level",
            help="1 cadences, 2 major or minor, 3 the inversion in the bass, 4 which chord has changed.",
        ),
    ] = 1,
    count: Annotated[int, typer.Option("--questions", "-n", help="How many questions.")] = 10,
    seed: Annotated[int, typer.Option("--seed", help="Another number gives another quiz.")] = 1,
    key: options.Keys = None,
    tempo: Annotated[
        str,
        typer.Option("--tempo", metavar="BPM", help="Beats a minute; each chord lasts two."),
    ] = "66",
    audio: options.Audio = None,
    soundfont: options.SoundFont = None,
    name: Annotated[
        str | None, typer.Option("--name", help="The folder's name. [default: from level and seed]")
    ] = None,
    out: options.Out = Path("out"),
    force: options.Force = False,
    as_json: options.AsJson = False,
) -> None:
    """Make an ear quiz: questions to listen to in random keys, a paper with answers at the back."""
    from random import Random

    from tracks.drill.drill import check_name
    from tracks.drill.options import meaning
    from tracks.pack.folder import write_pack
    from tracks.quiz.files import Quiz, quiz_files
    from tracks.quiz.questions import METER, ask
    from tracks.style.registry import load
    from tracks.theory.errors import read
    from tracks.theory.tempo import parse_bpm

    options.check_soundfont(soundfont, audio)
    keys = meaning("keys", key or (EVERY_KEY,))
    asked = Quiz(
        name=check_name(name if name is not None else f"quiz-level-{level}-seed-{seed}"),
        level=level,
        seed=seed,
        bpm=read("tempos", lambda text: parse_bpm(text, METER), tempo),
        keys=keys,
        questions=ask(level, count, keys, Random(seed)),
        audio=meaning("audio", audio) if audio else None,
    )
    report = write_pack(out, asked.name, quiz_files(asked, load(STYLE), soundfont), asked.record, force)
    if as_json:
        _print_json(asked, report)
        return
    _print_summary(asked, report)


def _print_json(asked: "Quiz", report: "PackReport") -> None:
    import json

    from tracks.quiz.files import file_name

    questions = [
        {
            "file": file_name(question, "mid"),
            "key": question.key.name,
            "chords": list(question.asked.chords),
            "again": list(question.asked.again),
            "answer": question.answer,
        }
        for question in asked.questions
    ]
    record = {
        "folder": report.folder.as_posix(),
        "files": report.files,
        "bytes": report.size,
        "replaced": report.replaced,
        "questions": questions,
    }
    typer.echo(json.dumps(record, indent=2))


def _print_summary(asked: "Quiz", report: "PackReport") -> None:
    from tracks.quiz.files import PAPER
    from tracks.quiz.questions import level_of

    level = level_of(asked.level)
    lines = (
        f"{'Replaced' if report.replaced else 'Made'} {report.folder}: {len(asked.questions)} questions on "
        f"{level.title}",
        f"  {level.task}",
        f"  answers: {', '.join(level.answers)}",
        f"Next: play question-01, tick an answer on {report.folder / PAPER};",
        "its last part has the answers.",
        CAUTION_ON_SCREEN,
    )
    typer.echo("\n".join(lines))
