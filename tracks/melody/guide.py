"""Guide-tone lines: the thirds and sevenths of the changes, joined with the least movement.

Conventions
- The line has a tone for the first note on each chord. A triad has its third only; where another of its tones
  makes the smoother line that serves, at a price.
- Chance chooses where the line begins and moves it a little, so that another seed finds another line.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from tracks.melody.rhythm import Slot
from tracks.melody.rules import FOURTH, STEP
from tracks.theory.pitch import Pitch

if TYPE_CHECKING:
    from random import Random

# Prices, in semitones of movement.
_NO_GUIDE, _CHANCE, _AWAY_FROM_PHRASE, _HANGING, _LEAP = 8.0, 1.5, 2.0, 20.0, 20.0


def guide_line(slots: Sequence[Slot], rng: "Random") -> dict[int, Pitch]:
    """Return the line's pitch for every slot that enters a chord, by the slot's place."""
    places = [place for place, slot in enumerate(slots) if slot.enters]
    if not places:
        return {}
    columns = [_priced(slots[place], rng) for place in places]
    columns[0] = [rng.choice([each for each in columns[0] if each[1] < _NO_GUIDE] or columns[0])]
    best: list[tuple[float, tuple[Pitch, ...]]] = [(price, (pitch,)) for pitch, price in columns[0]]
    for (left, entered), column in zip(pairwise(places), columns[1:], strict=True):
        at_once = entered == left + 1
        best = [
            min(
                (
                    (cost + price + _moved(path[-1], pitch, slots[left], at_once), (*path, pitch))
                    for cost, path in best
                ),
                key=lambda found: found[0],
            )
            for pitch, price in column
        ]
    return dict(zip(places, min(best, key=lambda found: found[0])[1], strict=True))


def _priced(slot: Slot, rng: "Random") -> list[tuple[Pitch, float]]:
    over = slot.context
    return [
        (
            pitch,
            rng.random() * _CHANCE
            + _AWAY_FROM_PHRASE * abs((pitch.midi - over.low) / (over.high - over.low) - slot.height)
            + (0 if slot.last or pitch.midi % 12 in over.guides else _NO_GUIDE),
        )
        for pitch in over.tones_for(last=slot.last)
    ]


def _moved(before: Pitch, pitch: Pitch, left: Slot, at_once: bool) -> float:
    """Return the price of a move out of a chord: its size, and where nothing comes between, what it breaks.

    That is a leap, or a seventh that neither holds nor falls by step.
    """
    move = pitch.midi - before.midi
    hangs = before.midi % 12 == left.context.seventh and not -STEP <= move <= 0
    return abs(move) + at_once * (_HANGING * hangs + _LEAP * (abs(move) > FOURTH))
