"""How a pianist's hands play what is written: how long keys are held, what is louder, the pedal.

Conventions
- Legato holds a note as written, tenuto a little less, staccato less than half; a note written longer than a
  felt beat is held whatever the touch.
- A key is let up a moment before it is struck again.
- The right hand's top note is a little louder than the notes under it. A wide chord is rolled, when it is,
  from its lowest note, which stands where the chord is written, so that nothing comes early.
- The pedal goes down a moment after a chord is struck and up as the next is, or at the bar line: "legato" or
  "syncopated" pedaling. A chord that comes early takes the pedal with it; in silence the pedal is up.

Sources: staccato notes last about 40 % of the time to the next (R. Bresin and G. U. Battel, "Articulation
strategies in expressive piano performance", Journal of New Music Research 29(3), 2000, abstract read); the
pedal changed as the next chord is played, "How to pedal chords on the piano or keyboard" (Dummies.com). The
share of tenuto, the lift before a key is struck again, the top note's weight and the roll are our judgment.
"""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from tracks.model import Note, Part, Pedal, Role
from tracks.style import Brief, Touch
from tracks.theory.meter import Meter, Time

HELD: dict[Touch, float] = {Touch.LEGATO: 1.0, Touch.TENUTO: 0.9, Touch.STACCATO: 0.4}
"""The share of its written length that a key is held."""
PEDALED = (Role.RIGHT, Role.LEFT, Role.MELODY)
WIDE = 10
"""Half steps from which a chord in one hand is wide: a minor seventh."""

_TOP_LOUDER = 6
_LIFT, _ROLL, _FOOT = 10, 40, 8
"""Parts of a felt beat: a key's lift before it is struck again, a step of a roll, the foot after the hand."""


def held(part: Part, touch: Touch, meter: Meter) -> Part:
    """Return a part with its keys held by a touch, each let up before it is struck again."""
    lift, share = meter.beat // _LIFT, HELD[touch]
    struck_again: dict[int, Time] = {}
    notes: list[Note] = []
    for note in sorted(part.notes, key=lambda each: each.start, reverse=True):
        length = note.length if note.length > meter.beat else max(1, round(note.length * share))
        following = struck_again.get(note.pitch.midi)
        if following is not None:
            gap = following - note.start
            length = min(length, max(gap - lift, gap // 2, 1))
        struck_again[note.pitch.midi] = note.start
        notes.append(_with_length(note, length))
    return replace(part, notes=tuple(reversed(notes)))


def voiced(part: Part) -> Part:
    """Return a part with the top note of every chord a little louder."""
    notes = (
        replace(note, velocity=min(127, note.velocity + _TOP_LOUDER)) if is_top else note
        for together in _chords(part.notes)
        for note, is_top in _marked(together)
    )
    return replace(part, notes=tuple(notes))


def rolled(part: Part, meter: Meter) -> Part:
    """Return a part whose wide chords are rolled upwards, each from where it is written."""
    step = meter.beat // _ROLL
    notes: list[Note] = []
    for together in _chords(part.notes):
        upwards = sorted(together, key=lambda note: note.pitch.midi)
        wide = upwards[-1].pitch.midi - upwards[0].pitch.midi >= WIDE
        late = step if wide and all(note.length > step * len(upwards) for note in upwards) else 0
        notes += [
            replace(note, start=note.start + late * place, length=note.length - late * place)
            if late
            else note
            for place, note in enumerate(upwards)
        ]
    return replace(part, notes=tuple(notes))


def with_pedal(
    parts: Sequence[Part], harmonies: Sequence[tuple[Time, Time]], brief: Brief
) -> tuple[Part, ...]:
    """Return the parts, those of the hands with the pedal that changes with the harmonies.

    `harmonies` are the start and end of each chord that sounds, in order.
    """
    foot = brief.meter.beat // _FOOT
    pedals = tuple(
        Pedal(down + foot, up - down - foot)
        for down, up in _changed(parts, harmonies, brief)
        if up - down > 2 * foot
    )
    return tuple(
        replace(part, pedals=pedals) if part.role in PEDALED and part.notes else part for part in parts
    )


def _changed(
    parts: Sequence[Part], harmonies: Sequence[tuple[Time, Time]], brief: Brief
) -> Iterator[tuple[Time, Time]]:
    """Yield from where to where one pedal lasts: a chord, or its share of a bar, as early as it is struck."""
    bar, downbeat = brief.meter.bar, brief.pickup
    early = _early(parts, [start for start, _ in harmonies])
    for number, (start, end) in enumerate(harmonies):
        runs_on = number + 1 < len(harmonies) and harmonies[number + 1][0] == end
        lines = range(start + bar - (start - downbeat) % bar, end, bar)
        places = [early.get(start, start), *lines, early.get(end, end) if runs_on else end]
        yield from pairwise(places)


def _early(parts: Sequence[Part], starts: Sequence[Time]) -> dict[Time, Time]:
    """Return where the chords that begin at some moments are struck, of those that the hands bring early."""
    early: dict[Time, Time] = {}
    for part in parts:
        if part.role in (Role.RIGHT, Role.LEFT):
            for note in part.notes:
                place = bisect_left(starts, note.start)
                if place < len(starts) and note.start < starts[place] < note.end:
                    early[starts[place]] = min(note.start, early.get(starts[place], note.start))
    return early


def _chords(notes: Sequence[Note]) -> Iterator[list[Note]]:
    """Yield the notes that are struck together, in order of time."""
    struck: dict[Time, list[Note]] = {}
    for note in notes:
        struck.setdefault(note.start, []).append(note)
    yield from (struck[start] for start in sorted(struck))


def _marked(together: list[Note]) -> Iterator[tuple[Note, bool]]:
    top = max(note.pitch.midi for note in together) if len(together) > 1 else None
    yield from ((note, note.pitch.midi == top) for note in together)


def _with_length(note: Note, length: Time) -> Note:
    return Note(note.start, length, note.pitch, note.velocity, note.finger, note.why)
