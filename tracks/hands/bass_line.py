"""The left hand's bass line: the octave and the finger of each bass tone.

Conventions
- What counts, in this order: a second in the written bass is played as one, up or down as it is written, and
  a tone that stays stays; where the hand's range forbids that, the leap falls on the first chord of a bar
  and as late as it can; then the shifts of position, the distance of the tonic from C3, and the movement.
- The hand lies in the key's five-finger position: degrees 1 to 5 under fingers 5 to 1. Degree 6 is the
  thumb stepping up, degree 7 finger 5 stepping below the tonic; an altered note takes its letter's finger.
  So each letter has one place in a position, and a position is known by the octave of its tonic.
- A key with another tonic has another position; taking it is no shift.
- Steps that the position cannot hold, because it would shift on the way or put finger 5 on three keys
  running, are fingered as a line by themselves.

Source: convention.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from tracks.hands.bass_fingers import BassNote as BassNote
from tracks.hands.bass_fingers import Place, fingered
from tracks.hands.search import cheapest, numbered
from tracks.model import ChordAt
from tracks.theory.chord import Chord
from tracks.theory.errors import RequestError
from tracks.theory.pitch import Pitch, Tone

LOWEST = Pitch.parse("E2")
HIGHEST = Pitch.parse("E4")

_C3 = 48
_TONIC_OCTAVES = range(1, 5)
_BROKEN, _WITHIN_A_BAR, _EARLY, _SHIFT, _NEARNESS = 160, 128, 96, 64, 32


@dataclass(frozen=True, slots=True)
class _Choice:
    """The places that a bass note may have, and whether its chord is the first of its bar."""

    places: tuple[Place, ...]
    begins_bar: bool


def bass_line(chords: Sequence[ChordAt], right_lowest: Sequence[Pitch | None]) -> tuple[BassNote | None, ...]:
    """Return the bass note of each chord, None in silence, within E2 to E4 and below the right hand.

    `right_lowest` holds the right hand's lowest pitch for each chord. Chords that share `written` are
    played alike. Raises RequestError where a bass tone has no room.
    """
    sounding = [(at, at.chord, lowest) for at, lowest in zip(chords, right_lowest, strict=True) if at.chord]
    order, firsts = numbered([at.written for at, *_ in sounding])
    bars = [None, *(at.bar for at, *_ in sounding)]
    choices = [
        _Choice(_places(*sounding[place]), begins_bar=bars[place] != bars[place + 1]) for place in firsts
    ]
    chosen = _steadiest(order, choices) if choices else []
    notes = iter(fingered(chosen, order))
    return tuple(next(notes) if at.chord else None for at in chords)


def _places(at: ChordAt, chord: Chord, right_lowest: Pitch | None) -> tuple[Place, ...]:
    ceiling = min(HIGHEST.midi, right_lowest.midi - 1 if right_lowest else HIGHEST.midi)
    fitting = tuple(
        place for place in _all_places(chord.bass, at.key.tonic) if LOWEST.midi <= place.pitch.midi <= ceiling
    )
    if not fitting:
        raise RequestError(
            f"bar {at.bar}: the bass {chord.bass} has no room between {LOWEST} and the right hand's lowest "
            f"note {right_lowest}",
            "raise the low end of the right hand's range",
        )
    return fitting


@lru_cache(maxsize=1024)
def _all_places(bass: Tone, tonic: Tone) -> tuple[Place, ...]:
    step = (bass.step - tonic.step + 1) % 7 - 1
    tonics = [Pitch(tonic, octave) for octave in _TONIC_OCTAVES]
    return tuple(Place(base, step, Pitch(bass, (base.staff_step + step) // 7)) for base in tonics)


def _steadiest(order: Sequence[int], choices: Sequence[_Choice]) -> list[Place]:
    """Return the best place of each choice."""

    def step(earlier: int, option: int, later: int) -> list[int]:
        old, after = choices[earlier].places[option], choices[later]
        leap = _leap_cost(after, len(choices) - later)
        return [leap * is_broken(old.pitch, new.pitch) + _step_cost(old, new) for new in after.places]

    def back(earlier: int, option: int, later: int) -> list[int]:
        after = choices[earlier]
        new, leap = after.places[option], _leap_cost(after, len(choices) - earlier)
        return [
            leap * is_broken(old.pitch, new.pitch) + _step_cost(old, new) for old in choices[later].places
        ]

    own = [[abs(place.tonic.midi - _C3) << _NEARNESS for place in choice.places] for choice in choices]
    _, picks = cheapest(order, own, step, back=back)
    return [choice.places[pick] for choice, pick in zip(choices, picks, strict=True)]


def is_broken(old: Pitch, new: Pitch) -> bool:
    """Return whether a tone that stays, or moves by a half step or a second, is played in another octave."""
    steps = (new.tone.step - old.tone.step + 1) % 7 - 1
    return steps <= 1 and new.staff_step - old.staff_step != steps


def _leap_cost(after: _Choice, chords_left: int) -> int:
    """Return the cost of a leap in place of a step, to a choice with so many choices left to the end."""
    return (1 << _BROKEN) + ((not after.begins_bar) << _WITHIN_A_BAR) + (chords_left << _EARLY)


def _step_cost(old: Place, new: Place) -> int:
    return (bool(new.shift_from(old)) << _SHIFT) + abs(new.pitch.midi - old.pitch.midi)
