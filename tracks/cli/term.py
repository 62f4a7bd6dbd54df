"""`rungwise term` and `rungwise exam`: a level made into a term's lessons, and into a mock exam."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracks.cli import options
from tracks.cli.saying import say, say_remarks
from tracks.drill.options import BY_NAME
from tracks.safety import CAUTION_ON_SCREEN

if TYPE_CHECKING:
    from tracks.export.paper import Paper
    from tracks.lessons.level import Level as Asked

Level = Annotated[
    Path,
    typer.Argument(
        metavar="LEVEL",
        readable=False,
        help="A level file (TOML); rungwise new --level writes one to start from.",
    ),
]
PaperSize = Annotated[
    str | None,
    typer.Option(
        "--paper",
        metavar=BY_NAME["paper"].kind.metavar,
        help="The size of the paper.  [default: the level's, else letter where your locale prints on it, "
        "else a4]",
    ),
]
LargePrint = Annotated[
    bool, typer.Option("--large-print", help="The paper in large print, as where the level says so.")
]
Overwrite = Annotated[bool, typer.Option("--force", help="Write over files of those names.")]


def term(
    level: Level,
    weeks: Annotated[int, typer.Option("--weeks", help="How many weeks the term has.")] = 10,
    out: Annotated[
        Path, typer.Option("--out", metavar="FOLDER", readable=False, help="Where the lessons go.")
    ] = Path("term"),
    paper: PaperSize = None,
    large_print: LargePrint = False,
    allow_style: options.AllowStyle = None,
    force: Overwrite = False,
) -> None:
    """Plan a term on a level: a lesson file for each week, keys spaced for revision, and a plan to print.

    It goes on from what the level's student has reached, by the progress.csv beside the level or the lessons.
    """
    from tracks.lessons.handout import term_plan
    from tracks.lessons.lesson import lesson_text, moved
    from tracks.lessons.level import read_level
    from tracks.lessons.progress import FILE, read_progress
    from tracks.lessons.term import short_of_goal, week_heading
    from tracks.lessons.term import term as planned
    from tracks.pack.papers import remarks, to_print
    from tracks.style.registry import load_allowed

    load = load_allowed(allow_style or ())
    asked = read_level(level, load)
    rows = (*read_progress(level.parent / FILE), *(read_progress(out / FILE) if out != level.parent else ()))
    plan = planned(asked, weeks, rows)
    files = _printed("plan", term_plan(asked, plan), asked, paper, large_print)
    for week in plan:
        if week.tasks:
            text = lesson_text(
                week_heading(asked, week, weeks),
                [moved(task.fields, level.parent, out) for task in week.tasks],
            )
            files[f"week-{week.number:02d}.toml"] = text.encode()
    _write(out, files, force, level)
    say_remarks(remarks("plan"))
    if short_of_goal(asked, plan):
        say_remarks(["some keys stay short of the goal in this term: the plan says which, and why"])
    say(f"Planned {weeks} weeks in {out}: print {out / to_print('plan')}")
    say(f"Next: rungwise build {out / 'week-01.toml'}")
    say(CAUTION_ON_SCREEN)


def exam(
    level: Level,
    seed: Annotated[int, typer.Option("--seed", help="Another number draws another exam.")] = 1,
    draws: Annotated[int, typer.Option("--draws", help="How many keys to call for each requirement.")] = 2,
    out: Annotated[
        Path, typer.Option("--out", metavar="FOLDER", readable=False, help="Where the exam goes.")
    ] = Path("exam"),
    paper: PaperSize = None,
    large_print: LargePrint = False,
    allow_style: options.AllowStyle = None,
    force: Overwrite = False,
) -> None:
    """Draw a mock exam from a level: a call sheet for the examiner, and a lesson file to check it by."""
    from tracks.lessons.exam import exam as drawn
    from tracks.lessons.handout import call_sheet
    from tracks.lessons.lesson import lesson_text, moved, read_lesson_text
    from tracks.lessons.level import read_level
    from tracks.pack.papers import remarks, to_print
    from tracks.style.registry import load_allowed

    load = load_allowed(allow_style or ())
    asked = read_level(level, load)
    called = drawn(asked, seed, draws)
    name = f"exam-{seed}.toml"
    heading = replace(asked.heading, title=f"{asked.heading.title}, mock exam {seed}", notes="")
    text = lesson_text(heading, [moved(draw.fields, level.parent, out) for draw in called])
    lesson = read_lesson_text(text, out / name, load)
    sheet = call_sheet(asked, seed, list(zip(called, lesson.drills, strict=True)))
    printed = _printed(f"exam-{seed}", sheet, asked, paper, large_print)
    _write(out, {name: text.encode(), **printed}, force, level)
    say_remarks(remarks(f"exam-{seed}"))
    say(f"Drew {len(called)} to play in {out}: call them from {out / to_print(f'exam-{seed}')}")
    say(f"Next: rungwise build {out / name}")
    say(CAUTION_ON_SCREEN)


def _printed(stem: str, made: "Paper", level: "Asked", paper: str | None, large: bool) -> dict[str, bytes]:
    """Return a paper's files by their names, of the size that is asked for, else the level's, else usual."""
    from tracks.drill.options import meaning
    from tracks.drill.paper import usual_paper
    from tracks.lessons.handout import paper_of
    from tracks.pack.papers import paper_files

    of_level, large_in_level = paper_of(level)
    size = meaning("paper", paper) if paper else of_level or usual_paper()
    return dict(paper_files(stem, made, large=large or large_in_level, size=size))


def _write(folder: Path, files: Mapping[str, bytes], force: bool, level: Path) -> None:
    """Write files into a folder, all or none, and none over the level that they come from."""
    from tracks.pack.whole import write_whole

    write_whole({folder / name: content for name, content in files.items()}, force, (level,))
