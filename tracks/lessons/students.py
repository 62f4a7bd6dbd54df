"""Students: what is set for each in a studio's lessons, how far they have come, and what comes next."""

import os.path
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from tracks.lessons.lesson import Lesson, read_lesson
from tracks.lessons.progress import Played, progress_near, reached
from tracks.lessons.toml import read_document
from tracks.plain_file import files_in
from tracks.style import Style
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.note_names import NoteNames
from tracks.theory.tempo import FASTEST, MARKS


@dataclass(frozen=True, slots=True)
class Standing:
    """How far a student has come with a drill in a key; `reached` is None where nothing is known."""

    lesson: str
    drill: str
    key: Key
    tempos: tuple[int, ...]
    reached: int | None
    note_names: NoteNames = NoteNames.ENGLISH

    @property
    def goal(self) -> int:
        """The fastest tempo that is set."""
        return self.tempos[-1]

    @property
    def next(self) -> int:
        """The tempo to play at next: the ladder's next rung, past its top the metronome's next mark."""
        at = self.reached
        if at is None:
            return self.tempos[0]
        if at >= self.goal:
            return next((mark for mark in MARKS if mark > at), min(at + 8, FASTEST))
        return next(bpm for bpm in self.tempos if bpm > at)


def lesson_files(given: Iterable[Path]) -> Iterator[Path]:
    """Yield lesson files; a folder stands for the lessons in it and in its folders, sorted by name.

    Levels that lie among them are passed over. Raises RequestError where a folder has no lesson.
    """
    for path in given:
        if not os.path.isdir(path):  # noqa: PTH112 - Path's own raises where we may not look
            yield path
            continue
        lessons = [file for file in sorted(files_in(path, ".toml")) if not _is_level(file)]
        if not lessons:
            raise RequestError(
                f"{path}: there is no lesson (.toml) in this folder", "write one with rungwise new"
            )
        yield from lessons


def students(folder: Path, load: Callable[[str], Style]) -> dict[str, list[Standing]]:
    """Return what stands for each student of a studio, by name; lessons of nobody are left out.

    Raises RequestError as reading the lessons and their progress does.
    """
    found: dict[str, list[Standing]] = {}
    for file in lesson_files((folder,)):
        lesson = read_lesson(file, load)
        if lesson.heading.student:
            rows = progress_near(file.parent)
            found.setdefault(lesson.heading.student, []).extend(standings(lesson, rows))
    return dict(sorted(found.items(), key=lambda item: item[0].casefold()))


def standings(lesson: Lesson, rows: Iterable[Played]) -> Iterator[Standing]:
    """Yield how far a lesson's student has come, drill by drill and key by key."""
    rows = tuple(rows)
    for each in lesson.drills:
        drill = each.drill
        for key in drill.keys:
            at = reached(rows, lesson.heading.student, drill.name.__eq__, key, drill.texture)
            yield Standing(
                lesson.name, drill.name, key, tuple(sorted(set(drill.tempos))), at, drill.note_names
            )


def _is_level(file: Path) -> bool:
    try:
        content = read_document(file).content
    except RequestError:
        return False  # it is told of where it is read as a lesson
    return "requirement" in content and "drill" not in content
