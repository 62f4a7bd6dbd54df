"""`rungwise quiz`: intervals, chords, cadences and more to recognize by ear."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracks.cli import options
from tracks.cli.saying import say, say_json, say_remarks
from tracks.drill.options import BY_NAME
from tracks.safety import CAUTION_ON_SCREEN

if TYPE_CHECKING:
    from tracks.pack.folder import PackReport
    from tracks.quiz.question import Skill
    from tracks.quiz.quiz import Quiz

EVERY_KEY = "all"
STYLE = "block"

_FORMER = {1: ("cadences", 1), 2: ("mode", 1), 3: ("inversions", 1), 4: ("different", 2)}
"""What a level without a skill meant when every skill had one level; it means it still."""


def quiz(
    skill: options.Skill = None,
    level: Annotated[int, typer.Option("--level", metavar="NUMBER", help="From 1, the easiest.")] = 1,
    count: Annotated[
        int, typer.Option("--questions", "-n", metavar="NUMBER", help="How many questions.")
    ] = 10,
    seed: Annotated[
        int, typer.Option("--seed", metavar="NUMBER", help="Another number gives another quiz.")
    ] = 1,
    key: options.Keys = None,
    note_names: options.Names = None,
    tempo: Annotated[
        str,
        typer.Option("--tempo", metavar="BPM", help="Beats a minute; each chord lasts two."),
    ] = "66",
    skills: Annotated[
        bool, typer.Option("--skills", "--list", help="List the skills and their levels, and make nothing.")
    ] = False,
    student: Annotated[str, typer.Option("--student", metavar="NAME", help="A name for the paper.")] = "",
    date: Annotated[str, typer.Option("--date", metavar="DATE", help="A date for the paper.")] = "",
    large_print: Annotated[bool, typer.Option("--large-print", help="The paper in large print.")] = False,
    paper: Annotated[
        str | None,
        typer.Option("--paper", metavar=BY_NAME["paper"].kind.metavar, help=BY_NAME["paper"].described),
    ] = None,
    audio: options.Audio = None,
    soundfont: options.SoundFont = None,
    name: Annotated[
        str | None,
        typer.Option("--name", help="The folder's name.  [default: from skill, level and seed]"),
    ] = None,
    out: options.Out = Path("out"),
    force: options.Force = False,
    as_json: options.AsJson = False,
) -> None:
    """Make an ear quiz: questions to listen to in random keys, a paper with answers at the back."""
    if skills:
        _print_skills(as_json)
        return
    from random import Random

    from tracks.drill.drill import check_name
    from tracks.drill.options import meaning
    from tracks.drill.paper import usual_paper
    from tracks.pack.folder import write_pack
    from tracks.quiz.asking import ask
    from tracks.quiz.files import quiz_files
    from tracks.quiz.question import METER
    from tracks.quiz.quiz import Quiz
    from tracks.quiz.skills import level_of, skill_of
    from tracks.style.registry import load
    from tracks.theory.errors import read
    from tracks.theory.note_names import NoteNames
    from tracks.theory.tempo import parse_bpm

    options.check_soundfont(soundfont, audio)
    chosen, number = _FORMER.get(level, ("cadences", level)) if skill is None else (skill, level)
    names = meaning("note-names", note_names) if note_names else NoteNames.ENGLISH
    trained, keys = skill_of(chosen), meaning("keys", key or (EVERY_KEY,), names)
    asked = Quiz(
        name=check_name(name if name is not None else f"quiz-{trained.name}-{number}-seed-{seed}"),
        skill=trained,
        number=number,
        seed=seed,
        bpm=read("tempos", lambda text: parse_bpm(text, METER), tempo),
        keys=keys,
        questions=ask(level_of(trained, number), count, keys, Random(seed)),
        audio=meaning("audio", audio) if audio else None,
        student=student,
        date=date,
        large_print=large_print,
        paper=meaning("paper", paper) if paper else usual_paper(),
        note_names=names,
    )
    report = write_pack(out, asked.name, quiz_files(asked, load(STYLE), soundfont), asked.record, force)
    say_remarks((*_remarks(asked, said=skill is not None), *report.remarks))
    if as_json:
        _print_json(asked, report)
        return
    _print_summary(asked, report)


def _remarks(asked: "Quiz", *, said: bool) -> list[str]:
    from tracks.pack.papers import remarks as on_paper
    from tracks.quiz.files import PAPER

    remarks = []
    if not said and asked.skill.name != "cadences":
        remarks.append(
            f"a level alone is read as before; write --skill {asked.skill.name} --level {asked.number}"
        )
    return [*remarks, *on_paper(PAPER)]


def _print_skills(as_json: bool) -> None:
    from tracks.quiz.skills import SKILLS

    if as_json:
        say_json([_skill_record(skill) for skill in SKILLS])
        return
    for skill in SKILLS:
        say(skill.name if skill.title == skill.name else f"{skill.name}: {skill.title}")
        for number, level in enumerate(skill.levels, start=1):
            say(f"    {number} {level.about}")
    say("Next: rungwise quiz --skill intervals --level 1")


def _skill_record(skill: "Skill") -> dict[str, object]:
    levels = [
        {"level": number, "about": level.about, "task": level.task, "answers": list(level.answers)}
        for number, level in enumerate(skill.levels, start=1)
    ]
    return {"name": skill.name, "title": skill.title, "source": skill.source, "levels": levels}


def _print_json(asked: "Quiz", report: "PackReport") -> None:
    from tracks.quiz.quiz import file_name

    questions = [
        {
            "file": file_name(question, "mid"),
            "key": question.key.name if asked.level.in_key else None,
            "chords": list(question.asked.chords),
            "again": list(question.asked.again),
            "notes": [note.pitch.name for note in question.asked.notes],
            "answer": question.answer,
        }
        for question in asked.questions
    ]
    say_json({**report.record, "questions": questions})


def _print_summary(asked: "Quiz", report: "PackReport") -> None:
    from tracks.pack.papers import to_print
    from tracks.quiz.files import PAPER
    from tracks.theory.pitch import signs

    count, level = len(asked.questions), asked.level
    answers = ", ".join(map(signs, level.answers))
    paper = report.folder / to_print(PAPER)
    lines = [
        f"{'Replaced' if report.replaced else 'Made'} {report.folder}: {count} "
        f"question{'s' if count > 1 else ''} on {asked.title}",
        f"  {level.task}",
        *([f"  answers: {answers}"] if answers else []),
        f"Next: play question-01, tick an answer on {paper};",
        "its last page has the answers.",
        CAUTION_ON_SCREEN,
    ]
    say("\n".join(lines))
