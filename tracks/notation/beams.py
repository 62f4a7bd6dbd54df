"""Beams: which short notes of a voice hang together.

Rules (convention)
- A beam joins what lies in one felt beat; four eighths join over half a bar of four, and the eighths of a
  whole bar of two or three, where there are no shorter notes.
- Where the eighth is the beat, five read 3+2, seven 4+3 and the rest in twos, threes or fours.
- A rest ends a beam.
"""

from tracks.notation.score import Bar, Event
from tracks.theory.meter import QUARTER, Meter, Time

EIGHTH = QUARTER // 2

_GROUPS_OF_EIGHTHS = {3: (3,), 4: (2, 2), 5: (3, 2), 6: (3, 3), 7: (4, 3), 8: (4, 4)}


def beams_of(events: tuple[Event, ...], bar: Bar, meter: Meter) -> list[int | None]:
    """Return for each event of a voice the number of its beam, or None for what has no flag to join."""
    late = meter.bar - bar.length if bar.number == 0 else 0
    places = [event.start - bar.start + late for event in events]
    ends = _ends(meter)
    numbers = [
        next(number for number, end in enumerate(ends) if place < end) if _has_flag(event) else None
        for place, event in zip(places, events, strict=True)
    ]
    for start, end in _windows(meter):
        inside = [n for n, place in enumerate(places) if start <= place < end]
        if len(inside) * EIGHTH == end - start and all(_is_eighth(events[n]) for n in inside):
            for n in inside:
                numbers[n] = numbers[inside[0]]
    return numbers


def _ends(meter: Meter) -> list[Time]:
    """Return where the groups of a bar end, ascending."""
    if meter.is_compound or meter.denominator <= 4:
        return list(range(meter.beat, meter.bar + 1, meter.beat))
    ends, total = [], 0
    for beats in _GROUPS_OF_EIGHTHS.get(meter.numerator, (1,) * meter.numerator):
        total += beats * meter.beat
        ends.append(total)
    return ends


def _windows(meter: Meter) -> list[tuple[Time, Time]]:
    """Return the stretches that one beam spans where they hold nothing but eighths."""
    if meter.denominator != 4 or meter.numerator not in (2, 3, 4):
        return []
    length = meter.bar // 2 if meter.numerator == 4 else meter.bar
    return [(start, start + length) for start in range(0, meter.bar, length)]


def _has_flag(event: Event) -> bool:
    return event.value is not None and bool(event.pitches) and event.value.plain <= EIGHTH


def _is_eighth(event: Event) -> bool:
    return _has_flag(event) and event.value is not None and event.value.length == EIGHTH
