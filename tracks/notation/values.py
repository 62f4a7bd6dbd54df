"""Written note values, and how a sounding length is cut into them so that a reader sees the beats.

Conventions
- Times are ticks counted from where the bar begins, or would begin if a pickup were whole.
- A *value* is a note shape with its dots; inside a tuplet its sounding length is `normal`/`actual` of that.

Rules (convention; the habit of music publishers)
- What begins on a beat may last any plain or dotted value; what begins off it ends by the next beat, but
  for the syncopation of one beat that starts on a half beat.
- The middle of a bar of four shows, but for the whole bar, the dotted half on 1 and the half note on 2.
- In compound time nothing hides a felt beat but whole beats. A bar of five reads 3+2, of seven 4+3.
- Rests follow the beats more strictly: no dots in simple time, halves only on 1 and 3 of a bar of four.
"""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from tracks.theory.meter import QUARTER, Meter, Time

BREVE = 8 * QUARTER
PLAIN: tuple[Time, ...] = tuple(BREVE // 2**power for power in range(10))
"""The shapes, from the breve to the 256th, longest first."""

_SPLIT_AFTER = {5: 3, 7: 4}
_TUPLETS = ((3, 2, 2), (5, 4, 1), (7, 4, 1))
"""Notes in the space of how many, and how fine each note may divide."""


@dataclass(frozen=True, slots=True)
class Tuplet:
    """So many notes in the time of so many, for one beat that begins at `start`."""

    start: Time
    length: Time
    actual: int
    normal: int


@dataclass(frozen=True, slots=True)
class Value:
    """A note shape (`plain`, its length without dots) and its dots; `tuplet` where it stands in one."""

    plain: Time
    dots: int = 0
    tuplet: Tuplet | None = None

    @property
    def length(self) -> Time:
        """The sounding length, in ticks."""
        written = self.plain + self.plain // 2 * self.dots
        return written * self.tuplet.normal // self.tuplet.actual if self.tuplet else written


_VALUES = sorted(
    (Value(plain, dots) for plain in PLAIN[:-1] for dots in (0, 1)),
    key=lambda value: -value.length,
)


def cut(start: Time, end: Time, meter: Meter, is_rest: bool = False) -> Iterator[tuple[Time, Value]]:
    """Yield the start and value of each piece that a stretch of a bar is written in, no tuplet in sight.

    Both ends lie on the grid of `quantized`.
    """

    def fits(value: Value) -> bool:
        if is_rest:
            return _rest_reads_well(start, value, meter)
        return _is_syncopated_half(start, end, value, meter) or _note_reads_well(start, value, meter)

    while start < end:
        value = next(
            value
            for value in _VALUES
            if start + value.length <= end and (fits(value) or value.plain == PLAIN[-2])
        )
        yield start, value
        start += value.length


def cut_in_tuplet(start: Time, end: Time, tuplet: Tuplet) -> Iterator[tuple[Time, Value]]:
    """Yield the start and value of each piece that a stretch inside a tuplet is written in."""
    while start < end:
        value = next(
            value
            for value in (Value(plain.plain, plain.dots, tuplet) for plain in _VALUES)
            if start + value.length <= end
        )
        yield start, value
        start += value.length


def tuplet_of(beat_start: Time, positions: set[Time], meter: Meter) -> Tuplet | None:
    """Return the tuplet that a beat needs to hold these positions, or None where plain values do."""
    beat = meter.beat
    inside = [position - beat_start for position in positions if 0 < position - beat_start < beat]
    if all(_on_grid(position, beat // _finest(meter)) for position in inside):
        return None
    for actual, normal, finer in () if meter.is_compound else _TUPLETS:
        if all(_on_grid(position, beat // (actual * finer)) for position in inside):
            return Tuplet(beat_start, beat, actual, normal)
    return None


def quantized(moments: Iterable[Time], meter: Meter, edges: Collection[Time] = ()) -> dict[Time, Time]:
    """Return for each moment, counted from a bar line, the nearest one that can be written.

    All of one beat stay as they are where plain values or one tuplet reach them all; else each goes to the
    nearest eighth part of the beat (twelfth, in compound time), or to the nearest place that can be written
    beside the `edges`: where a short first bar begins and a short last one ends, which stay.
    """
    beats: dict[Time, list[Time]] = {}
    for moment in moments:
        beats.setdefault(moment // meter.beat, []).append(moment)
    places: dict[Time, Time] = {}
    for beat, together in beats.items():
        start = beat * meter.beat
        inside = [moment - start for moment in together]
        fixed = [edge - start for edge in edges if edge // meter.beat == beat]
        grid = _common_grid([*inside, *fixed], meter) or _common_grid(fixed, meter) or _grids(meter)[0]
        places |= {start + m: start + (m + grid // 2) // grid * grid for m in inside}
    return places


def can_be_written(moment: Time, meter: Meter) -> bool:
    """Return whether plain values or a tuplet reach a moment, counted from a bar line."""
    return _common_grid([moment % meter.beat], meter) is not None


def _common_grid(inside: Iterable[Time], meter: Meter) -> Time | None:
    """Return the plainest grid that places inside a beat all lie on."""
    places = list(inside)
    return next((grid for grid in _grids(meter) if all(_on_grid(each, grid) for each in places)), None)


def _grids(meter: Meter) -> list[Time]:
    """Return the lengths into which a beat can be divided in writing, the plain one first."""
    tuplets = () if meter.is_compound else _TUPLETS
    finenesses = (_finest(meter), *(actual * finer for actual, _, finer in tuplets))
    return [meter.beat // fineness for fineness in finenesses]


def _on_grid(position: Time, grid: Time) -> bool:
    return position % grid == 0


def _finest(meter: Meter) -> int:
    return 12 if meter.is_compound else 8


def _crosses(start: Time, end: Time, line: Time) -> bool:
    return start < line < end


def _hides_the_middle(start: Time, end: Time, meter: Meter) -> bool:
    if meter.beats == 4:
        return _crosses(start, end, meter.bar // 2)
    split = _SPLIT_AFTER.get(meter.numerator)
    return split is not None and _crosses(start, end, split * meter.beat)


def _is_syncopated_half(start: Time, end: Time, value: Value, meter: Meter) -> bool:
    beat = meter.beat
    return meter.beats == 4 and start == beat and end == 3 * beat and value.length == 2 * beat


def _note_reads_well(start: Time, value: Value, meter: Meter) -> bool:
    beat, length = meter.beat, value.length
    end, next_beat = start + length, start - start % beat + beat
    if start == 0 and (length == meter.bar or (meter.beats == 4 and length == 3 * beat)):
        return True
    if _hides_the_middle(start, end, meter):
        return False
    if end <= next_beat:
        return True
    if meter.is_compound:
        return start % beat == 0 and length % beat == 0
    if start % beat == 0:
        return length % (beat // 2) == 0
    return start % (beat // 2) == 0 and length == beat


def _rest_reads_well(start: Time, value: Value, meter: Meter) -> bool:
    beat, length = meter.beat, value.length
    if length == 2 * beat and meter.beats == 4 and not meter.is_compound:
        return start in (0, 2 * beat)
    inside = start % beat
    if meter.is_compound and value.dots:
        return inside == 0 and length == beat
    return not value.dots and inside + length <= beat and inside % length == 0
