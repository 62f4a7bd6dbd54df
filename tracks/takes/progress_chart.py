"""A chart of progress: the tempos of a student over dates, a line for each drill and key.

Convention: a filled dot is a take that was ready, a cross one that was not yet.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from tracks.lessons.progress import Played
from tracks.takes import drawing as draw
from tracks.theory.errors import RequestError

_LEFT, _RIGHT, _TOP, _HEIGHT, _BOTTOM, _WIDTH = 48.0, 16.0, 30.0, 110.0, 40.0, 640.0
_MOST_PANELS = 60
_LEGEND = "beats a minute · dot: ready at that tempo · cross: not yet"


def progress_chart(rows: Sequence[Played]) -> str:
    """Return the chart as SVG, a panel for each student, drill and key; raise RequestError without a row."""
    panels: dict[tuple[str, str, str], list[Played]] = {}
    for row in sorted(rows, key=lambda each: each.date):
        panels.setdefault((row.student, row.drill, row.key.sign), []).append(row)
    if not panels:
        raise RequestError("there is no progress to draw yet", "mark a take with --progress first", "chart")
    shown = list(panels.items())[:_MOST_PANELS]
    shapes = [
        shape
        for number, (names, own) in enumerate(shown)
        for shape in _panel(", ".join(names), own, number * (_TOP + _HEIGHT + _BOTTOM))
    ]
    bottom = len(shown) * (_TOP + _HEIGHT + _BOTTOM)
    more = f" · {len(panels) - len(shown)} more are not drawn" if len(panels) > len(shown) else ""
    shapes.append(draw.text(_LEFT, bottom + 14, _LEGEND + more, "start", draw.FAINT))
    return draw.drawing(_WIDTH, bottom + 24, shapes, "Progress")


def _panel(title: str, rows: Sequence[Played], top: float) -> Iterator[str]:
    low, high = min(row.bpm for row in rows) - 4, max(row.bpm for row in rows) + 4
    first = rows[0].date
    days = max((rows[-1].date - first).days, 1)
    bottom = top + _TOP + _HEIGHT

    def place(row: Played) -> tuple[float, float]:
        x = _LEFT + 10 + (row.date - first).days / days * (_WIDTH - _LEFT - _RIGHT - 20)
        return x, bottom - (row.bpm - low) / (high - low) * _HEIGHT

    yield draw.text(_LEFT, top + 18, title)
    yield draw.line(_LEFT, bottom, _WIDTH - _RIGHT, bottom, draw.FAINT)
    for bpm in sorted({low + 4, high - 4}):
        y = bottom - (bpm - low) / (high - low) * _HEIGHT
        yield draw.line(_LEFT, y, _WIDTH - _RIGHT, y, draw.LINE)
        yield draw.text(_LEFT - 6, y + 4, str(bpm), "end", draw.FAINT)
    yield draw.text(_LEFT + 10, bottom + 16, first.isoformat(), "start", draw.FAINT)
    if rows[-1].date != first:
        yield draw.text(_WIDTH - _RIGHT, bottom + 16, rows[-1].date.isoformat(), "end", draw.FAINT)
    for before, after in pairwise(rows):
        yield draw.line(*place(before), *place(after), draw.LINE, 2)
    for row in rows:
        yield draw.dot(*place(row)) if row.ready else draw.cross(*place(row))
