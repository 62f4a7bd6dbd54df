"""A whole tune: slots, a line through them, what each note is, and its fingers."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import zip_longest
from typing import TYPE_CHECKING

from tracks.hands.line_fingering import LineHand, line_fingers
from tracks.melody.context import half_step_below
from tracks.melody.levels import BLUES, has_device, weights
from tracks.melody.line import sing
from tracks.melody.rhythm import Slot, slots
from tracks.melody.rules import BLUES_FIFTH, Choice, Kind, may_follow
from tracks.melody.words import explanations
from tracks.model import Note
from tracks.patterns import velocity
from tracks.style import Brief

if TYPE_CHECKING:
    from random import Random

    from tracks.theory.pitch import Pitch

_LOUDNESS, _SWELL = 84, 10
_TRIES = 20


def improvise(brief: Brief, rng: "Random") -> tuple[Note, ...]:
    """Return a tune over the brief's chords at its level, fingered and explained; the right hand's."""
    places, line = _with_device(brief, rng)
    whys = explanations(line, places, brief.level)
    return tuple(
        Note(slot.start, slot.length, choice.pitch, _strength(brief, slot), finger, why)
        for slot, choice, finger, why in zip(places, line, _fingered(places, line), whys, strict=True)
    )


def _with_device(brief: Brief, rng: "Random") -> tuple[Sequence[Slot], Sequence[Choice]]:
    """Return a tune that does what its level is about; where few notes leave no room for it, the last try."""
    for _ in range(_TRIES):
        places, line = _sung(brief, rng)
        if has_device(line, places, brief.level):
            break
    return places, line


def _sung(brief: Brief, rng: "Random") -> tuple[Sequence[Slot], Sequence[Choice]]:
    places = slots(brief, rng)
    blues = brief.level == BLUES

    def allowed(line: Sequence[Choice], choice: Choice, place: int) -> bool:
        return may_follow(line, choice, place, places, blues)

    line = sing(places, weights(brief.level, places, rng), allowed, rng)
    return places, [_spelled(*each) for each in zip_longest(places, line, line[1:])]


def _spelled(slot: Slot, choice: Choice, after: Choice | None) -> Choice:
    """Return a note as it is read: a blues fifth that rises is a raised fourth."""
    is_blue = choice.kind is Kind.COLOR and slot.context.colors[choice.midi % 12] == BLUES_FIFTH
    if not is_blue or after is None or after.midi != choice.midi + 1:
        return choice
    return replace(choice, pitch=half_step_below(after.pitch))


def _strength(brief: Brief, slot: Slot) -> int:
    """Return a note's velocity: its beat's, swelling as its phrase rises."""
    return velocity(brief, slot.start, _LOUDNESS + round(_SWELL * (slot.height - 0.5)))


def _fingered(places: Sequence[Slot], line: Sequence[Choice]) -> Iterator[int]:
    """Yield the finger of every note; between runs, at a rest, the hand may move."""
    run: list[Pitch] = []
    for slot, choice in zip(places, line, strict=True):
        if run and not slot.joined:
            yield from line_fingers(run, LineHand.RIGHT)
            run = []
        run.append(choice.pitch)
    yield from line_fingers(run, LineHand.RIGHT)
