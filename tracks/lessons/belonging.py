"""Whose a lesson's folder in `out` is: the place of its packs, and that no other lesson's are written there.

Conventions
- The packs of `a-term/week-01.toml` lie in `out/a-term/week-01/`: the name of the folder that the lesson lies
  in, then its own. Where it lies in the current folder the first is left out. Paths are taken as they are
  written, links as themselves: `../b/week.toml` and an absolute path lie under the name of their last folder.
- A hidden file in the place says which lesson it is, as the way there from the place: both may be moved
  together, and no machine's path is told where there is a way.
"""

import os
from collections.abc import Iterable
from pathlib import Path

from tracks.lessons.lesson import Lesson
from tracks.pack.standing import MANIFEST
from tracks.pack.whole import write_whole
from tracks.theory.errors import RequestError

LESSON = ".rungwise-lesson"


def place_of(lesson: Lesson, out: Path) -> Path:
    """Return the folder that a lesson's packs go into."""
    folder = _absolute(lesson.path).parent
    return out / lesson.name if folder == _absolute(Path()) else out / folder.name / lesson.name


def check_belongs(lessons: Iterable[Lesson], out: Path, force: bool = False) -> None:
    """Raise RequestError where the place of a lesson is another's, or a pack's own.

    With `force` a place of another lesson's is taken over.
    """
    taken: dict[str, Lesson] = {}
    for lesson in lessons:
        place = place_of(lesson, out)
        other = taken.setdefault(str(place).casefold(), lesson)
        if other is not lesson and _absolute(other.path) == _absolute(lesson.path):
            raise RequestError(f"{lesson.path} is named twice", "leave one out")
        if other is not lesson:
            raise RequestError(
                f"{lesson.path} and {other.path} would share the folder {place}", "rename one of them"
            )
        if (place / MANIFEST).exists():
            raise RequestError(
                f"{place} is a pack, where the lesson's folder should be", "rename the lesson or the pack"
            )
        owner = _owner(place)
        if owner and not force and _absolute(owner) != _absolute(lesson.path):
            raise RequestError(
                f"{place} was made for another lesson, {owner}",
                "rename this lesson or its folder, or build it with another --out; --force takes it over",
            )


def note_owner(lesson: Lesson, out: Path) -> None:
    """Write down whose the place is; raise WriteError where the system refuses."""
    place = place_of(lesson, out)
    owner = _owner(place)
    if owner is None or _absolute(owner) != _absolute(lesson.path):
        write_whole({place / LESSON: f"{_way(lesson.path, place)}\n".encode()}, force=True)


def _owner(place: Path) -> Path | None:
    """Return the lesson that a place was made for, None where nothing says so."""
    try:
        way = (place / LESSON).read_text(encoding="utf-8").strip()
    except (OSError, ValueError):
        return None
    return Path(os.path.relpath(os.path.normpath(place / way))) if way else None


def _way(lesson: Path, place: Path) -> str:
    try:
        return os.path.relpath(_absolute(lesson), _absolute(place)).replace(os.sep, "/")
    except ValueError:  # two drives of Windows have no way from one to the other
        return str(_absolute(lesson))


def _absolute(path: Path) -> Path:
    return Path(os.path.abspath(path))  # noqa: PTH100 - without following links, which resolve() does
