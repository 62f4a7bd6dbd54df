"""`rungwise build`: the packs of lessons, made where they are not as the lesson says."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracks.cli import options
from tracks.cli.remarks import say_remarks
from tracks.safety import CAUTION_ON_SCREEN
from tracks.theory.errors import RequestError

if TYPE_CHECKING:
    from tracks.lessons.build import Step
    from tracks.lessons.lesson import Lesson


def build(
    lesson: Annotated[
        list[Path], typer.Argument(metavar="LESSON...", help="Lesson files (TOML), or folders of them.")
    ],
    out: options.Out = Path("out"),
    everything: Annotated[
        bool, typer.Option("--everything", help="Make every drill, even where nothing has changed.")
    ] = False,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Only check the lessons and say what would be made.")
    ] = False,
    allow_style: options.AllowStyle = None,
    force: options.Force = False,
    as_json: options.AsJson = False,
) -> None:
    """Make the packs of lessons, a folder for each lesson, and only those drills that have changed."""
    from tracks.lessons import build as building
    from tracks.lessons.lesson import read_lesson
    from tracks.style.registry import load_allowed

    load = load_allowed(allow_style or (), running=not dry_run)
    lessons = [read_lesson(path, load) for path in _lesson_files(lesson)]
    say_remarks(remark for each in lessons for remark in each.remarks)
    _check_names(lessons)
    # Every step is planned before the first is taken: what one of them lacks is told before any work.
    if not dry_run:
        for each in lessons:
            building.tidy(each, out)
    planned = [(each, building.steps(each, out, everything)) for each in lessons]
    if not dry_run:
        building.check_places((step for _, steps in planned for step in steps), force)
    rows = []
    for each, steps in planned:
        _say(as_json, f"{each.name}: {each.title}" if each.title else each.name)
        for step in steps:
            files = None
            if step.reason and not dry_run:
                report = building.make(step, force)
                files = report.files
                say_remarks(report.remarks)
            if step.reason:
                say_remarks(step.wanted.remarks, f"{each.name}, {step.wanted.drill.name}: ")
            rows.append(_row(each, step, files is not None))
            _say(as_json, _words(step, files))
        for folder in building.left_over(each, out):
            _say(as_json, f"  {folder} is no longer in the lesson; delete it when nobody needs it")
    if as_json:
        import json

        typer.echo(json.dumps(rows, indent=2))
        return
    made, same = sum(bool(row["reason"]) for row in rows), sum(not row["reason"] for row in rows)
    typer.echo(f"{made} {'to make' if dry_run else 'made'}, {same} as they should be.")
    typer.echo(CAUTION_ON_SCREEN)


def _lesson_files(given: list[Path]) -> Iterator[Path]:
    """Yield the lessons; a folder stands for those in it, sorted by name."""
    for path in given:
        if not path.is_dir():
            yield path
            continue
        found = sorted(path.glob("*.toml"))
        if not found:
            raise RequestError(
                f"{path}: there is no .toml file in this folder", "write one with rungwise new"
            )
        yield from found


def _check_names(lessons: list["Lesson"]) -> None:
    names = [lesson.name.lower() for lesson in lessons]
    for name in names:
        if names.count(name) > 1:
            raise RequestError(f"two lessons are called {name}.toml, and would share a folder", "rename one")


def _row(lesson: "Lesson", step: "Step", made: bool) -> dict[str, object]:
    return {
        "lesson": lesson.name,
        "drill": step.wanted.drill.name,
        "folder": step.folder.as_posix(),
        "made": made,
        "reason": step.reason,
    }


def _words(step: "Step", files: int | None) -> str:
    if not step.reason:
        return f"  as it is  {step.folder}"
    return f"  {'to make' if files is None else 'made   '}   {step.folder}: {step.reason}" + (
        f", {files} file{'' if files == 1 else 's'}" if files is not None else ""
    )


def _say(as_json: bool, line: str) -> None:
    if not as_json:
        typer.echo(line)
