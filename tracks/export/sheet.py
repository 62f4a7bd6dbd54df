"""The sheet: pages for the music stand, as PDF, SVG or PNG, set by the typst library.

Conventions
- A4 or US Letter. Large print is for young or low-vision readers: a staff a half larger and more, words of 16
  points and a footer of 14.
- One drawing a system, so that systems and tables flow over pages where they do not fit on one. Several keys
  stand on a page where they fit whole; no page holds the last row of a table alone.
- A PDF is tagged as PDF/UA-1 (ISO 14289-1) asks: a screen reader hears what each system holds, bar by bar,
  and all words can be searched. It has no date: the same sheet gives the same bytes.
"""

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from datetime import timedelta
from pathlib import Path
from typing import NamedTuple

from tracks.export.engrave import BEAT_DEPTH, BEAT_HEIGHT, System, beat_note, systems
from tracks.export.typeset import SIZES, Form, typeset
from tracks.model import NO_HEADING, Heading, PaperSize
from tracks.notation.aloud import described
from tracks.notation.days import in_words, weekday
from tracks.notation.score import Score
from tracks.theory.meter import Time

_WIDTHS = {False: 1800, True: 1150}
"""How many units of the engraver fill the page's width: fewer make larger notes."""

_RUNGS_IN_A_ROW = {False: 14, True: 9}
_TEMPLATE = Path(__file__).with_name("sheet.typ")
_SCREEN_PPI = 220.0
_WEEK, _LONGEST_LOG = 7, 14
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@dataclass(frozen=True, slots=True)
class Goal:
    """The tempo to reach: the felt beat's plain length, dotted or not; beats a minute; the beat's name."""

    plain: Time
    dotted: bool
    bpm: int
    name: str


class Row(NamedTuple):
    """A chord in the table: its bar (and beat), symbol and numeral, what to say, what moves.

    What to `say` has up to three lines: the chord, what the right hand holds, the call of what moves.
    """

    place: str
    chord: str
    numeral: str
    say: str
    moves: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """One key's sheet: the score and all the words around it.

    `rungs` are the ladder's tempos, `hands` the rows of boxes to tick under them. Without a `goal` there are
    no boxes and no log. `caution` is what a student must read, `heading` what a teacher wrote over the
    lesson. `legend` tells what the marks under the notes mean.
    """

    title: str
    key: str
    about: str
    goal: Goal | None
    rungs: tuple[int, ...]
    hands: tuple[str, ...]
    rows: tuple[Row, ...]
    score: Score
    caution: str
    heading: Heading = NO_HEADING
    legend: str = ""


def pdf(sheets: Sequence[Sheet], large: bool = False, paper: PaperSize = PaperSize.A4) -> bytes:
    """Return sheets of one drill as one PDF document, several keys on a page where they fit."""
    return _set(sheets, large, paper, "pdf")[0]


def svg(sheets: Sequence[Sheet], large: bool = False, paper: PaperSize = PaperSize.A4) -> list[bytes]:
    """Return sheets as SVG documents, one a page."""
    return _set(sheets, large, paper, "svg")


def png(sheets: Sequence[Sheet], large: bool = False, paper: PaperSize = PaperSize.A4) -> list[bytes]:
    """Return sheets as pictures of 220 pixels an inch, one a page."""
    return _set(sheets, large, paper, "png")


def _set(sheets: Sequence[Sheet], large: bool, paper: PaperSize, form: Form) -> list[bytes]:
    first, heading = sheets[0], sheets[0].heading
    data = {
        "title": f"{first.title}, {first.key}" if len(sheets) == 1 else first.title,
        "heading": first.title,
        "about": first.about if len({sheet.about for sheet in sheets}) == 1 else "",
        "student": heading.student,
        "above": list(_above(heading)),
        "notes": heading.notes,
        "goal": _goal(first.goal),
        "caution": first.caution,
        "log": _log(heading) if first.goal else [],
        "large": large,
        "size": SIZES[paper],
        "sheets": [_plain(sheet, large) for sheet in sheets],
    }
    return typeset(_TEMPLATE, data, form, ppi=_SCREEN_PPI)


def _plain(sheet: Sheet, large: bool) -> dict[str, object]:
    """Return a sheet as values for the template."""
    row = _RUNGS_IN_A_ROW[large]
    return {
        "key": sheet.key,
        "about": sheet.about,
        "ladder": [sheet.rungs[start : start + row] for start in range(0, len(sheet.rungs), row)],
        "hands": sheet.hands,
        "rows": sheet.rows,
        "legend": sheet.legend,
        "systems": [_system(system, sheet.score) for system in systems(sheet.score, _WIDTHS[large])],
    }


def _system(system: System, score: Score) -> dict[str, object]:
    return {
        "drawing": system.drawing,
        "width": system.width,
        "height": system.height,
        "top": system.top,
        "bottom": system.bottom,
        "words": [asdict(word) for word in system.words],
        "alt": described(score, system.bars),
    }


def _goal(goal: Goal | None) -> dict[str, object] | None:
    """Return a goal as values for the template: the note, its name, and its height and depth in its line."""
    if goal is None:
        return None
    return {
        "note": beat_note(goal.plain, goal.dotted),
        "name": goal.name,
        "depth": BEAT_DEPTH / BEAT_HEIGHT,
        "bpm": goal.bpm,
    }


# What the teacher says, and the days to fill in.


def _above(heading: Heading) -> Iterator[str]:
    """Yield what stands over the title: of what lesson it is, whose, from when to when."""
    if heading.title:
        yield heading.title
    if heading.student:
        yield f"for {heading.student}"
    if heading.date:
        yield in_words(heading.date)
    if heading.due:
        yield f"due {in_words(heading.due)}"


def _log(heading: Heading) -> list[list[str]]:
    """Return the days to fill in, in rows: a week from the lesson's day, or two where it is due so late."""
    names = list(_DAYS)
    if heading.date:
        open_for = (heading.due - heading.date).days if heading.due else _WEEK
        days = [heading.date + timedelta(n) for n in range(min(max(open_for, _WEEK), _LONGEST_LOG))]
        names = [f"{weekday(day)[:3]} {day.day}" for day in days]
    return [names[start : start + _WEEK] for start in range(0, len(names), _WEEK)]
