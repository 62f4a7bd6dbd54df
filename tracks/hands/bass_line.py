"""The left hand's bass line: the octave and the finger of each bass tone, with the fewest shifts.

Conventions
- The hand lies in the key's five-finger position: degrees 1 to 5 under fingers 5 to 1. Degree 6 is the
  thumb stepping up, degree 7 finger 5 stepping below the tonic; an altered note takes its letter's finger.
  So each letter has one place in a position, and a position is known by the octave of its tonic.
- A key with another tonic has another position; taking it is no shift.
- Where shifts are equal, the tonic nearest to C3 is taken, then the smaller movement of the line.

Source: convention.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from tracks.hands.motion import interval_words
from tracks.hands.search import cheapest
from tracks.model import ChordAt
from tracks.theory.chord import Chord
from tracks.theory.errors import RequestError
from tracks.theory.pitch import Pitch, Tone

LOWEST = Pitch.parse("E2")
HIGHEST = Pitch.parse("E4")

_C3 = 48
_TONIC_OCTAVES = range(1, 5)
_FINGERS = {-1: 5, 0: 5, 1: 4, 2: 3, 3: 2, 4: 1, 5: 1}
_BELOW_TONIC, _SIXTH_DEGREE = -1, 5
_SHIFT, _NEARNESS = 64, 32


@dataclass(frozen=True, slots=True)
class BassNote:
    """One note of the line, its finger, and in words each move out of position that it asks for."""

    pitch: Pitch
    finger: int
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Place:
    """A bass note in the position whose tonic stands in one octave; `step` counts letters above it."""

    tonic: Pitch
    step: int
    pitch: Pitch


def bass_line(chords: Sequence[ChordAt], right_lowest: Sequence[Pitch | None]) -> tuple[BassNote | None, ...]:
    """Return the bass note of each chord, None in silence, within E2 to E4 and below the right hand.

    `right_lowest` holds the right hand's lowest pitch for each chord. Chords that share `written` are
    played alike. Raises RequestError where a bass tone has no room.
    """
    numbers: dict[int, int] = {}
    options: list[list[_Place]] = []
    order = []
    for at, lowest in zip(chords, right_lowest, strict=True):
        if at.chord:
            if at.written not in numbers:
                numbers[at.written] = len(options)
                options.append(_places(at, at.chord, lowest))
            order.append(numbers[at.written])
    chosen = _steadiest(order, options) if options else []
    line: list[BassNote | None] = []
    before = None
    for at in chords:
        place = chosen[numbers[at.written]] if at.chord else None
        line.append(_note(place, before) if place else None)
        before = place or before
    return tuple(line)


def _places(at: ChordAt, chord: Chord, right_lowest: Pitch | None) -> list[_Place]:
    ceiling = min(HIGHEST.midi, right_lowest.midi - 1 if right_lowest else HIGHEST.midi)
    fitting = [
        place for place in _all_places(chord.bass, at.key.tonic) if LOWEST.midi <= place.pitch.midi <= ceiling
    ]
    if not fitting:
        raise RequestError(
            f"bar {at.bar}: the bass {chord.bass} has no room between {LOWEST} and the right hand's lowest "
            f"note {right_lowest}; raise the low end of the right hand's range"
        )
    return fitting


@lru_cache(maxsize=1024)
def _all_places(bass: Tone, tonic: Tone) -> tuple[_Place, ...]:
    step = (bass.step - tonic.step + 1) % 7 - 1
    tonics = [Pitch(tonic, octave) for octave in _TONIC_OCTAVES]
    return tuple(_Place(base, step, Pitch(bass, (base.staff_step + step) // 7)) for base in tonics)


def _steadiest(order: Sequence[int], options: Sequence[Sequence[_Place]]) -> list[_Place]:
    """Return the place of each choice that makes the fewest shifts."""

    def step(earlier: int, option: int, later: int) -> list[int]:
        old = options[earlier][option]
        return [
            (bool(_shift(old, new)) << _SHIFT) + abs(new.pitch.midi - old.pitch.midi)
            for new in options[later]
        ]

    own = [[abs(place.tonic.midi - _C3) << _NEARNESS for place in choice] for choice in options]
    _, picks = cheapest(order, own, step)
    return [choice[pick] for choice, pick in zip(options, picks, strict=True)]


def _shift(old: _Place, new: _Place) -> int:
    """Return the octaves that the position shifts; a position on another tonic is no shift."""
    return new.tonic.octave - old.tonic.octave if new.tonic.tone == old.tonic.tone else 0


def _note(place: _Place, before: _Place | None) -> BassNote:
    marks = []
    name = place.pitch.tone.name
    if before and before.tonic.tone != place.tonic.tone:
        marks.append(f"left hand takes the position on {place.tonic.tone}")
    shift = _shift(before, place) if before else 0
    if shift:
        marks.append(f"left hand shifts {'up' if shift > 0 else 'down'} {interval_words(12 * abs(shift))}")
    if not before or before.pitch != place.pitch:
        if place.step == _SIXTH_DEGREE:
            marks.append(f"thumb steps up to {name}")
        if place.step == _BELOW_TONIC:
            marks.append(f"move finger 5 down to {name}")
    return BassNote(place.pitch, _FINGERS[place.step], tuple(marks))
