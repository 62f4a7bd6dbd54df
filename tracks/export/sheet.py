"""The sheet: a page for the music stand, as PDF, SVG or PNG, set by the typst library.

Conventions
- A4. Large print is for young or low-vision readers: a staff a half larger and more, words of 16 points and
  a footer of 14.
- One drawing a system, so that systems and tables flow over pages where they do not fit on one.
- Everything is set in the typesetter's own fonts; system fonts play no part, and a document has no date:
  the same sheet gives the same bytes.
- In a PDF all words can be searched and each system tells a screen reader what it holds.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from tracks.export.engrave import systems
from tracks.export.typeset import Form, typeset
from tracks.model import NO_HEADING, Heading
from tracks.notation.score import Score

_WIDTHS = {False: 1800, True: 1150}
"""How many units of the engraver fill the page's width: fewer make larger notes."""

_RUNGS_IN_A_ROW = {False: 14, True: 9}
_TEMPLATE = Path(__file__).with_name("sheet.typ")
_SCREEN_PPI = 220.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """One key's sheet: the score and all the words around it.

    `rungs` are the ladder's tempos, `hands` the rows of boxes to tick under them. A row is bar, chord
    symbol, numeral, what to say (and in a second line what the right hand holds), what moves. Without a
    `goal` there are no boxes. `caution` is what a student must read, `heading` what a
    teacher wrote over the lesson.
    """

    title: str
    key: str
    about: str
    goal: str
    rungs: tuple[int, ...]
    hands: tuple[str, ...]
    rows: tuple[tuple[str, str, str, str, str], ...]
    score: Score
    caution: str
    heading: Heading = NO_HEADING


def pdf(sheets: Sequence[Sheet], large: bool = False) -> bytes:
    """Return sheets as one PDF document, each on a new page."""
    return _set(sheets, large, "pdf")[0]


def svg(sheets: Sequence[Sheet], large: bool = False) -> list[bytes]:
    """Return sheets as SVG documents, one a page."""
    return _set(sheets, large, "svg")


def png(sheets: Sequence[Sheet], large: bool = False) -> list[bytes]:
    """Return sheets as pictures of 220 pixels an inch, one a page."""
    return _set(sheets, large, "png")


def _set(sheets: Sequence[Sheet], large: bool, form: Form) -> list[bytes]:
    data = {
        "title": f"{sheets[0].title}, {sheets[0].key}" if len(sheets) == 1 else sheets[0].title,
        "large": large,
        "sheets": [_plain(sheet, large) for sheet in sheets],
    }
    return typeset(_TEMPLATE, data, form, ppi=_SCREEN_PPI)


def _plain(sheet: Sheet, large: bool) -> dict[str, object]:
    """Return a sheet as values for the template."""
    row = _RUNGS_IN_A_ROW[large]
    drawn = systems(sheet.score, _WIDTHS[large])
    return {
        "title": sheet.title,
        "key": sheet.key,
        "about": sheet.about,
        "goal": sheet.goal,
        "ladder": [sheet.rungs[start : start + row] for start in range(0, len(sheet.rungs), row)],
        "hands": sheet.hands,
        "caution": sheet.caution,
        "rows": sheet.rows,
        "systems": [asdict(system) for system in drawn],
        "alt": [f"{sheet.title}, {sheet.key}: system {n} of {len(drawn)}" for n in range(1, len(drawn) + 1)],
    }
