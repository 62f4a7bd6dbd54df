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
from datetime import date, timedelta
from pathlib import Path

from tracks.export.engrave import BEAT_DEPTH, BEAT_HEIGHT, System, beat_note, systems
from tracks.export.typeset import Form, typeset
from tracks.model import Assignment, PaperSize
from tracks.notation.aloud import described, value_name
from tracks.notation.score import Score
from tracks.theory.meter import Time

_WIDTHS = {False: 1800, True: 1150}
"""How many units of the engraver fill the page's width: fewer make larger notes."""

_RUNGS_IN_A_ROW = {False: 14, True: 9}
_TEMPLATE = Path(__file__).with_name("sheet.typ")
_SCREEN_PPI = 220.0
_WEEK, _LONGEST_LOG = 7, 14
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_NO_ASSIGNMENT = Assignment()


@dataclass(frozen=True, slots=True)
class Goal:
    """The tempo to reach: the felt beat as a note value (its `plain` length, dotted or not), beats a minute."""

    plain: Time
    dotted: bool
    bpm: int


@dataclass(frozen=True, slots=True)
class Sheet:
    """One key's sheet: the score and all the words around it.

    `rungs` are the ladder's tempos, `hands` the rows of boxes to tick under them. A row is bar, chord
    symbol, numeral, what to say in up to three lines (the chord, what the right hand holds, the call of what
    moves), what moves. Without a `goal` there are no boxes and no log. `caution` is what a student must read.
    """

    title: str
    key: str
    about: str
    goal: Goal | None
    rungs: tuple[int, ...]
    hands: tuple[str, ...]
    rows: tuple[tuple[str, str, str, str, str], ...]
    score: Score
    caution: str


def pdf(
    sheets: Sequence[Sheet],
    large: bool = False,
    paper: PaperSize = PaperSize.A4,
    assignment: Assignment = _NO_ASSIGNMENT,
) -> bytes:
    """Return sheets of one drill as one PDF document, several keys on a page where they fit."""
    return _set(sheets, large, paper, assignment, "pdf")[0]


def svg(
    sheets: Sequence[Sheet],
    large: bool = False,
    paper: PaperSize = PaperSize.A4,
    assignment: Assignment = _NO_ASSIGNMENT,
) -> list[bytes]:
    """Return sheets as SVG documents, one a page."""
    return _set(sheets, large, paper, assignment, "svg")


def png(
    sheets: Sequence[Sheet],
    large: bool = False,
    paper: PaperSize = PaperSize.A4,
    assignment: Assignment = _NO_ASSIGNMENT,
) -> list[bytes]:
    """Return sheets as pictures of 220 pixels an inch, one a page."""
    return _set(sheets, large, paper, assignment, "png")


def _set(
    sheets: Sequence[Sheet], large: bool, paper: PaperSize, assignment: Assignment, form: Form
) -> list[bytes]:
    first = sheets[0]
    data = {
        "title": f"{first.title}, {first.key}" if len(sheets) == 1 else first.title,
        "heading": first.title,
        "about": first.about if len({sheet.about for sheet in sheets}) == 1 else "",
        "student": assignment.student,
        "lines": list(_assignment_lines(assignment)),
        "notes": assignment.notes.strip(),
        "goal": _goal(first.goal),
        "caution": first.caution,
        "log": _log(assignment) if first.goal else [],
        "large": large,
        "size": paper.value,
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
        "name": f"{value_name(goal.plain, int(goal.dotted))} note",
        "depth": BEAT_DEPTH / BEAT_HEIGHT,
        "bpm": goal.bpm,
    }


# What the teacher says, and the days to fill in.


def _assignment_lines(assignment: Assignment) -> Iterator[str]:
    """Yield what stands over the title: whose it is, of what lesson, from when to when."""
    if assignment.title:
        yield assignment.title
    if assignment.student:
        yield f"for {assignment.student}"
    if assignment.date:
        yield _in_words(assignment.date)
    if assignment.due:
        yield f"due {_in_words(assignment.due)}"


def _in_words(day: str) -> str:
    at = date.fromisoformat(day)
    return f"{at:%B} {at.day}, {at.year}"


def _log(assignment: Assignment) -> list[list[str]]:
    """Return the days to fill in, in rows: a week from the lesson's date, or two where it is due so late."""
    if assignment.date:
        first = date.fromisoformat(assignment.date)
        until = date.fromisoformat(assignment.due) if assignment.due else first
        count = min(max((until - first).days, _WEEK), _LONGEST_LOG)
        days = [first + timedelta(number) for number in range(count)]
        names = [f"{_WEEKDAYS[day.weekday()]} {day.day}" for day in days]
    else:
        names = list(_WEEKDAYS)
    return [names[start : start + _WEEK] for start in range(0, len(names), _WEEK)]
