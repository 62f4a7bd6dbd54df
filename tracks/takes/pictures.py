"""Pictures of a take: the timing of every chord, and a piano roll of what was asked and what was played.

Conventions
- Timing: a column a chord; dots lie above the line where a chord came late, below where it came early, within
  the band where that is on time. A cross is a chord with a wrong, missing or extra note.
- Roll: time goes right, pitch goes up. Filled boxes are right notes, crossed ones wrong or extra, dashed
  empty ones are missing.
"""

from collections.abc import Iterator

from tracks.takes import drawing as draw
from tracks.takes.report import ChordReport, Report
from tracks.takes.take import PlayedNote
from tracks.theory.pitch import Pitch, Tone

_LEFT, _RIGHT, _TOP, _GAP = 64.0, 16.0, 30.0, 24.0
_COLUMN, _HALF_HEIGHT, _LABELS = 46.0, 80.0, 34.0
_MOST_MS = 200.0
_A_SECOND, _LEAST_A_SECOND, _A_KEY, _NARROWEST = 60.0, 4.0, 6.0, 720.0
_SHORTEST_S = 0.08
_LEGEND = "filled: right · crossed: wrong or extra · dashed: missing"


def take_picture(report: Report) -> str:
    """Return both pictures in one drawing, as SVG."""
    timing_width = _LEFT + _COLUMN * max(len(report.chords), 1) + _RIGHT
    timing_height = _TOP + 2 * _HALF_HEIGHT + _LABELS
    roll = _Roll(report, timing_height + _GAP, max(timing_width, _NARROWEST))
    title = f"{report.take.name}: {report.asked.drill.name}, {report.asked.printed(report.asked.key.name)}"
    width = max(timing_width, roll.width)
    legend = draw.text(_LEFT, roll.bottom - 6, _LEGEND, "start", draw.FAINT)
    shapes = [draw.text(_LEFT, 18, title), *_timing(report, width), *roll.shapes(), legend]
    return draw.drawing(width, roll.bottom, shapes, title)


def _timing(report: Report, width: float) -> Iterator[str]:
    middle = _TOP + _HALF_HEIGHT
    on_time = report.tolerances.on_time_ms / _MOST_MS * _HALF_HEIGHT
    yield draw.rect(_LEFT, middle - on_time, width - _LEFT - _RIGHT, 2 * on_time, draw.BAND)
    yield draw.line(_LEFT, middle, width - _RIGHT, middle, draw.FAINT)
    for ms, word in ((_MOST_MS, "late"), (0, "on the beat"), (-_MOST_MS, "early")):
        y = middle - ms / _MOST_MS * (_HALF_HEIGHT - 6)
        label = f"{abs(ms):.0f} ms" if ms else "0"
        yield draw.text(_LEFT - 6, y + 4, label, "end", draw.FAINT)
        if ms:
            yield draw.text(_LEFT + 4, y + 4, word, "start", draw.FAINT)
    column = max((width - _LEFT - _RIGHT) / max(len(report.chords), 1), _COLUMN)
    for place, chord in enumerate(report.chords):
        name = report.asked.printed(chord.asked.name)
        yield from _column(chord, name, _LEFT + column * place, column, middle)


def _column(chord: ChordReport, name: str, left: float, width: float, middle: float) -> Iterator[str]:
    x = left + width / 2
    bottom = middle + _HALF_HEIGHT
    beat = "" if chord.asked.beat == 1 else f":{chord.asked.beat:g}"
    where = f"{chord.asked.bar}{beat}"
    yield draw.text(x, bottom + 14, name[:6], "middle")
    yield draw.text(x, bottom + 28, where, "middle", draw.FAINT)
    if chord.late_ms is None:
        if chord.heard:
            yield draw.text(x, middle + 4, "–", "middle", draw.BAD)
        return
    y = middle - max(-_MOST_MS, min(_MOST_MS, chord.late_ms)) / _MOST_MS * _HALF_HEIGHT
    yield draw.cross(x, y) if chord.notes else draw.dot(x, y)
    if chord.hesitation_s:
        yield draw.line(left, _TOP, left, bottom, draw.BAD)
        yield draw.text(left + 3, _TOP + 9, f"+{chord.hesitation_s:.1f} s", "start", draw.BAD)


class _Roll:
    """A piano roll from a height downwards."""

    def __init__(self, report: Report, top: float, width: float) -> None:
        self._heard = [each for chord in report.chords for each in chord.heard]
        played = [note for each in self._heard for note in (*each.right.values(), *each.extra)]
        played += [note for each in self._heard for _, note in each.wrong]
        keys = [note.midi for note in played]
        keys += [note.pitch.midi for each in self._heard for note in each.group.notes]
        self._low, self._high = min(keys, default=60) - 1, max(keys, default=60) + 1
        self._from_s = min((note.onset_s for note in played), default=0.0)
        last_s = max((note.end_s for note in played), default=1.0)
        fitting = (width - _LEFT - _RIGHT) / max(last_s - self._from_s, 1.0)
        self._a_second = min(max(fitting, _LEAST_A_SECOND), _A_SECOND)
        self._beat_s = report.timing.beat_s if report.timing else 1.0
        self._top = top
        self.width = _LEFT + (last_s - self._from_s) * self._a_second + _RIGHT
        self.bottom = top + (self._high - self._low + 1) * _A_KEY + 34

    def shapes(self) -> Iterator[str]:
        """Yield what is in it."""
        for key in range(self._low, self._high + 1):
            if key % 12 == 0:
                y = self._y(key) + _A_KEY
                name = Pitch.at_or_above(Tone(0), key).sign
                yield draw.line(_LEFT, y, self.width - _RIGHT, y, draw.LINE)
                yield draw.text(_LEFT - 6, y + 1, name, "end", draw.FAINT)
        yield from self._missing()
        for each in self._heard:
            for note in each.right.values():
                yield self._box(note, draw.GOOD)
            for note in (*each.extra, *(note for _, note in each.wrong)):
                yield self._box(note, "#ffffff", draw.BAD)
                yield draw.cross(self._x(note.onset_s) + 4, self._y(note.midi) + _A_KEY / 2, size=3)

    def _missing(self) -> Iterator[str]:
        at, beat = self._from_s, None
        for each in self._heard:
            if beat is not None and each.onset_s is None:
                at += (each.group.beat - beat) * self._beat_s
            at = each.onset_s if each.onset_s is not None else at
            beat = each.group.beat
            for note in each.missing:
                y = self._y(note.pitch.midi)
                yield draw.rect(self._x(at), y, 14, _A_KEY - 1, "none", draw.BAD, "2 2")

    def _box(self, note: PlayedNote, fill: str, stroke: str = "none") -> str:
        length = max(note.end_s - note.onset_s, _SHORTEST_S) * self._a_second
        return draw.rect(self._x(note.onset_s), self._y(note.midi), length, _A_KEY - 1, fill, stroke)

    def _x(self, moment_s: float) -> float:
        return _LEFT + (moment_s - self._from_s) * self._a_second

    def _y(self, key: int) -> float:
        return self._top + (self._high - key) * _A_KEY
