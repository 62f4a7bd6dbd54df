"""`rungwise students`: what is set for each student of a studio, what they have reached, what is next."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracks.cli import options
from tracks.cli.saying import say, say_json

if TYPE_CHECKING:
    from tracks.lessons.students import Standing


def students(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", readable=False, help="A folder of lesson files.")
    ] = Path(),
    allow_style: options.AllowStyle = None,
    as_json: options.AsJson = False,
) -> None:
    """Tell for each student what is set, the last tempo reached by the progress.csv there, and the next."""
    from tracks.lessons.students import students as found_in
    from tracks.style.registry import load_allowed
    from tracks.theory.errors import RequestError

    if not folder.is_dir():
        raise RequestError(f"{folder} is no folder", "give the folder that the lessons lie in")
    found = found_in(folder, load_allowed(allow_style or ()))
    if as_json:
        rows = [
            {"student": name, "drills": [_row(each) for each in drills]} for name, drills in found.items()
        ]
        say_json(rows)
        return
    for name, drills in found.items():
        say(name)
        for each in drills:
            say(f"  {_words(each)}")
    if not found:
        say(f'No lesson in {folder} names a student. Write student = "..." at its top.')


def _row(standing: "Standing") -> dict[str, object]:
    return {
        "lesson": standing.lesson,
        "drill": standing.drill,
        "key": standing.key.name,
        "goal": standing.goal,
        "reached": standing.reached,
    }


def _words(standing: "Standing") -> str:
    at = "not played yet" if standing.reached is None else f"reached {standing.reached}"
    done = standing.reached is not None and standing.reached >= standing.goal
    then = f"goal {standing.goal} met; next {standing.next}" if done else f"next {standing.next}"
    goal = "" if done else f", goal {standing.goal}"
    key = standing.note_names.printed(standing.key.sign)
    return f"{standing.lesson}: {standing.drill} in {key}: {at}{goal}, {then}"
