"""Source: the music that a progression argument names: a text, a progression of the library, or a file."""

import re
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from tracks.progression.files import names_a_file
from tracks.progression.library import text_of
from tracks.progression.music import Music
from tracks.progression.written import whole_number
from tracks.theory.errors import RequestError

_BARS = re.compile(r"(\d+)(?:-(\d+))?")


@dataclass(frozen=True, slots=True)
class Source:
    """The music, a text or a file's lead sheet; what to call it, and what its reader corrected."""

    music: Music
    name: str
    remarks: tuple[str, ...] = ()


@lru_cache(maxsize=16)
def source(argument: str, bars: str | None = None) -> Source:
    """Return what a progression argument means; `bars`, like `5-12`, chooses measures of a file.

    Raises RequestError, naming file and line or measure, where a file cannot be read, and for a mistyped
    name.
    """
    if not names_a_file(argument):
        if bars:
            raise RequestError(
                f"this chooses measures of a file, and {argument[:40]!r} is none", "leave it out", "bars"
            )
        return Source(text_of(argument), argument)
    return _from_file(Path(argument.strip()), bars)


def _from_file(path: Path, bars: str | None) -> Source:
    # Most progressions are no files, and do without the readers of files.
    from tracks.progression.files import read_file
    from tracks.progression.lead_sheet import excerpt

    sheet, name = read_file(path), path.stem
    if bars:
        sheet, name = excerpt(sheet, *_bars(bars)), f"{name}-bars-{bars}"
    remarks = tuple(f"{path.name}, {remark}" for remark in sheet.remarks)
    return Source(replace(sheet, remarks=()), name, remarks)


def _bars(text: str) -> tuple[int, int]:
    match = _BARS.fullmatch(text.strip())
    first, last = (whole_number(match[1]), whole_number(match[2] or match[1])) if match else (1, 0)
    if last < first:
        raise RequestError(
            f"{text!r} is no stretch", "write the first and the last measure, like 5-12", "bars"
        )
    return first, last
