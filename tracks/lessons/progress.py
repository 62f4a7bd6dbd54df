"""Progress: what students have reached, in a plain file beside the lessons that a teacher can edit.

Conventions
- `progress.csv` has a heading, `date,student,drill,key,texture,bpm,ready`, and a row for every time that
  somebody played: `2026-03-09,Wren,cadence,Eb major,doubled,66,yes`. Columns may come in any order, and
  semicolons may stand for the commas, as spreadsheets write them in many countries.
- `ready` says whether it was played well enough to climb on: yes or no. The texture may be left empty.
- A tempo is reached where the latest row that says yes has it; of rows of one day the later one counts.

Source of the form: RFC 4180 (comma-separated values), read by the standard library's `csv`.
"""

import csv
import io
import os.path
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, fields
from datetime import date as Date  # noqa: N812 - a field is called date
from pathlib import Path
from typing import Any

from tracks.drill.options import BY_NAME
from tracks.model import Texture
from tracks.plain_file import read_plain
from tracks.theory.errors import RequestError, listed, read
from tracks.theory.key import Key
from tracks.theory.tempo import check_bpm

FILE = "progress.csv"
_WORDS = {"yes": True, "true": True, "1": True, "no": False, "false": False, "0": False}


@dataclass(frozen=True, slots=True)
class Played:
    """One time that a student played: what, in which key, at which felt beats a minute, and how it went."""

    date: Date
    student: str
    drill: str
    key: Key
    texture: Texture | None
    bpm: int
    ready: bool


COLUMNS = tuple(field.name for field in fields(Played))


def read_progress(path: Path) -> tuple[Played, ...]:
    """Return the rows of a progress file, none where there is no file.

    Raises RequestError with file, line and column for what cannot be read.
    """
    if not os.path.lexists(path):
        return ()
    try:
        text = read_plain(path, "close it elsewhere").decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise RequestError(
            "this is not UTF-8", "save it as CSV UTF-8", (str(path), f"byte {error.start + 1}")
        ) from error
    return progress_of(text, str(path))


def progress_near(folder: Path) -> tuple[Played, ...]:
    """Return the rows of the progress files of a folder of lessons and of the studio, the folder above it.

    Raises RequestError as `read_progress` does.
    """
    above = Path(os.path.abspath(folder)).parent  # noqa: PTH100 - without following links
    return (*read_progress(above / FILE), *read_progress(folder / FILE))


def progress_of(text: str, name: str = FILE) -> tuple[Played, ...]:
    """Return the rows of a progress file's text; raise RequestError as `read_progress` does."""
    heading = text.partition("\n")[0]
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=";" if ";" in heading else ",", strict=True)
    try:
        columns = [word.strip().lower() for word in next(rows, COLUMNS)]
        if missing := [name for name in COLUMNS if name not in columns]:
            raise RequestError(
                f"there is no column {listed(missing, 'and')}",
                f"write the heading {','.join(COLUMNS)}",
                (name, "line 1"),
            )
        return tuple(_rows(rows, columns, name))
    except csv.Error as error:
        raise RequestError(
            str(error), "quote a cell only as a whole", (name, f"line {rows.line_num}")
        ) from None


def progress_text(rows: Iterable[Played]) -> str:
    """Return rows as the text of a progress file."""
    written = io.StringIO(newline="")
    lines = csv.writer(written, lineterminator="\n")
    lines.writerow(COLUMNS)
    for row in rows:
        texture = row.texture.value if row.texture else ""
        ready = "yes" if row.ready else "no"
        lines.writerow((row.date, row.student, row.drill, row.key.name, texture, row.bpm, ready))
    return written.getvalue()


def reached(
    rows: Iterable[Played],
    student: str,
    is_drill: Callable[[str], object],
    key: Key,
    texture: Texture | None = None,
) -> int | None:
    """Return the tempo that a student has reached in a key of a drill, None where none is known.

    Without a texture any is meant.
    """
    theirs = [
        row
        for row in rows
        if row.ready
        and row.student.casefold() == student.casefold()
        and is_drill(row.drill)
        and row.key == key
        and (texture is None or row.texture in (None, texture))
    ]
    return max(enumerate(theirs), key=lambda item: (item[1].date, item[0]))[1].bpm if theirs else None


def _rows(rows: Any, columns: list[str], name: str) -> Iterator[Played]:
    for cells in rows:
        if not any(cell.strip() for cell in cells):
            continue
        place = (name, f"line {rows.line_num}")
        if len(cells) < len(columns):
            raise RequestError(
                f"it has {len(cells)} cells of {len(columns)}", "write one for each column", place
            )
        row = dict(zip(columns, (cell.strip() for cell in cells), strict=False))
        try:
            yield Played(**{column: read(column, _READERS[column], row[column]) for column in COLUMNS})
        except RequestError as fault:
            raise fault.at(*place) from None


def _day(text: str) -> Date:
    try:
        return Date.fromisoformat(text)
    except ValueError:
        raise RequestError(f"{text!r} is no day", "write one like 2026-03-02") from None


def _text(text: str) -> str:
    if not text or not text.isprintable():
        raise RequestError("this is empty" if not text else "it holds a control character", "write a name")
    return text


def _texture(text: str) -> Texture | None:
    kind = BY_NAME["texture"].kind
    try:
        return Texture(kind.once.get(text, text)) if text else None
    except ValueError:
        raise RequestError(f"{text!r} is no texture", f"write {listed(kind.words)}") from None


def _bpm(text: str) -> int:
    if not (text.isdecimal() and text.isascii() and len(text) <= 9):
        raise RequestError(f"{text!r} is no tempo", "write a whole number, like 72")
    return check_bpm(int(text))


def _yes(text: str) -> bool:
    if text.lower() not in _WORDS:
        raise RequestError(f"{text!r} is neither yes nor no", "write one of them")
    return _WORDS[text.lower()]


_READERS: Mapping[str, Callable[[str], Any]] = {
    "date": _day,
    "student": _text,
    "drill": _text,
    "key": Key.parse,
    "texture": _texture,
    "bpm": _bpm,
    "ready": _yes,
}
