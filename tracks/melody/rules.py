"""Melodic constraints: the rules that every tune keeps.

Conventions
- A note of a line is a `Choice`: a pitch and what it is there for. Sizes are in semitones.
- A leap is more than a fourth; the next note recovers it: a second or a third the other way.
- A tone foreign to the chord that no chord tone has promised itself to is passed through by step.
- What anticipates a chord is a tone of it that its forerunner bears.
- A seventh at the end of its chord is held or falls by step into the next (not in the blues, where it rests).

Source: convention.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from tracks.melody.context import HarmonicContext
from tracks.melody.rhythm import Slot
from tracks.theory.pitch import Pitch

TRITONE, FOURTH, THIRD, STEP = 6, 5, 4, 2
_SUNG = frozenset((0, 1, 2, 3, 4, 5, 7, 8, 9, 12))
_MOST_REPEATS = 4
BLUES_FIFTH = "blues fifth"


class Kind(Enum):
    """What a note is there for."""

    CHORD = "chord tone"
    STEP = "passing or neighbor tone"
    APPROACH = "approach"
    ENCLOSURE = "enclosure"
    COLOR = "color"


@dataclass(frozen=True, slots=True)
class Choice:
    """A pitch for a slot. `then` are the notes it has promised for the slots after it.

    `target` is the chord tone that an approach or an enclosure leads to; `motif` says what its bar does with
    the tune's motif.
    """

    pitch: Pitch
    midi: int
    kind: Kind = Kind.CHORD
    then: tuple["Choice", ...] = ()
    target: Pitch | None = None
    motif: str = ""


def may_follow(
    line: Sequence[Choice], choice: Choice, place: int, slots: Sequence[Slot], blues: bool
) -> bool:
    """Return whether the melodic constraints allow the choice at a place after the line so far."""
    slot = slots[place]
    if slot.under and not _fits_early(choice, slot.under):
        return False
    if not line:
        return choice.kind is not Kind.STEP
    before, move = line[-1], choice.midi - line[-1].midi
    if abs(move) not in _SUNG or (slot.last and abs(move) > FOURTH):
        return False
    if len(line) > 1 and not _recovers(before.midi - line[-2].midi, move):
        return False
    if before.kind is Kind.STEP and not _goes_on(line, move):
        return False
    if choice.kind is Kind.STEP and not _comes_by_step(before, choice, slot, move):
        return False
    if not blues and not _resolves(before, slots[place - 1], slot, move):
        return False
    if choice.kind is Kind.COLOR or before.kind is Kind.COLOR:
        return _colors(before, choice, slots[place - 1], slot)
    if choice.kind in (Kind.APPROACH, Kind.ENCLOSURE) and move == 0:
        return False
    return any(each.midi != choice.midi for each in line[-_MOST_REPEATS:]) or len(line) < _MOST_REPEATS


def comes_back(line: Sequence[Choice], place: int, slots: Sequence[Slot]) -> bool:
    """Return whether a note of a line is the one that its place should bring back."""
    again = slots[place].again
    return again is not None and line[again].pitch == line[place].pitch


def _fits_early(choice: Choice, under: HarmonicContext) -> bool:
    """Return whether a note may begin under the chord before its own: in its scale, not as its seventh."""
    chroma = choice.midi % 12
    return choice.kind is Kind.CHORD and chroma in under.chromas and chroma != under.seventh


def _recovers(leap: int, move: int) -> bool:
    return abs(leap) <= FOURTH or (leap * move < 0 and abs(move) <= THIRD)


def _goes_on(line: Sequence[Choice], move: int) -> bool:
    """Return whether a passing tone goes on by step, or a neighbor goes back."""
    came = line[-1].midi - line[-2].midi
    if move == 0 or abs(move) > STEP:
        return False
    return came * move > 0 or move == -came


def _comes_by_step(before: Choice, choice: Choice, slot: Slot, move: int) -> bool:
    """Return whether a foreign tone is reached by a step on the next letter, without a rest before it."""
    letters = abs(choice.pitch.staff_step - before.pitch.staff_step)
    return slot.joined and 0 < abs(move) <= STEP and letters == 1


def _resolves(before: Choice, left: Slot, slot: Slot, move: int) -> bool:
    seventh = left.context.seventh
    if seventh is None or before.midi % 12 != seventh or left.context.chord.tones == slot.context.chord.tones:
        return True
    return -STEP <= move <= 0


def _colors(before: Choice, choice: Choice, left: Slot, slot: Slot) -> bool:
    """Return whether a move to or from a color is small: by step where it grates, by a half at the b5."""
    move = abs(choice.midi - before.midi)
    for each, where in ((before, left), (choice, slot)):
        if where.context.colors.get(each.midi % 12) == BLUES_FIFTH and move != 1:
            return False
        if each.kind is Kind.COLOR and each.midi % 12 in where.context.avoided and move > STEP:
            return False
    return move <= FOURTH and (move > 0 or not slot.joined or choice.kind is before.kind)
