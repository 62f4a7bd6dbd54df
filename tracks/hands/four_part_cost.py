"""What four-part keyboard style costs: every count of a progression packed into one integer.

Conventions
- What counts, in this order, each a sum over the whole progression, repeats included, one part of a count
  being worth more than any number of the next:
  1. broken rules, the gravest rank first (parallels; sevenths, leading tones and doubled tendency tones; the
     outer octave; melody; doubling: see `part_writing` and `doubling`);
  2. chords with the soprano above G5;
  3. licenses taken;
  4. the semitones that the upper voices move, and five for each unison;
  5. fifths that the outer voices reach in the same direction, the soprano by leap;
  6. a perfect ending without the tonic in the soprano;
  7. a first chord that begins below C4; chords with bass and tenor more than two octaves apart;
  8. how often the soprano repeats its note; how many upper voices move; the sum of their squared moves; the
     semitones that the bass moves; how often soprano and bass move in the same direction, a bass that leaps a
     fourth or fifth excepted; how far the hands lie from their middle.
- Each count has 20 bits, the first the highest: enough for ten thousand chords.

Sources: for 4 and 8, the law of the shortest way and contrary motion, Open Music Theory (basso continuo). For
2, the soprano's range as teaching pages print it, C4 to G5. For 5, teaching pages name these fifths a fault
where the soprano leaps (G. Richmond, West Chester University, Part Writing, lesson 2) and music21's realizer
refuses them, while Open Music Theory allows them. For 6, Bach's chorales, where the soprano ends on the
tonic in 50 of 60 (counted in music21's corpus). The price of a unison lets the upper voices meet about as
often as his (5 of 100 chords, counted there). 7 and the soprano's repeats: convention.
"""

from collections.abc import Sequence

from tracks.hands.choices import FIRST_LOWEST
from tracks.hands.four_part_positions import Choice
from tracks.hands.part_writing import (
    RANKS,
    Broken,
    Link,
    Position,
    broken_between,
    has_direct_fifth,
    licenses_between,
)

_BITS = 20
_NEARNESS, _SIMILAR, _BASS, _SQUARES, _VOICES, _HOLDS, _WIDE = range(0, 7 * _BITS, _BITS)
_DROPPED, _ENDING, _DIRECT, _MOVEMENT, _LICENCES, _HIGH, _WORST = range(7 * _BITS, 14 * _BITS, _BITS)
_PRICES = tuple(1 << (_WORST + (RANKS - 1 - rank) * _BITS) for rank in range(RANKS))
_UNISON = 5 << _MOVEMENT
_HIGHEST_SOPRANO, _WIDEST_GAP = 79, 24
_MIDDLE_OF_RIGHT, _MIDDLE_OF_BASS = 67, 48
_FOURTH, _FIFTH = 5, 7


CLEAN = 1 << _HIGH
"""A cost below this breaks no rule and keeps every soprano to G5."""


def without_bass(cost: int) -> int:
    """Return the part of a cost that counts more than where the bass lies."""
    return cost >> _SQUARES


def own_cost(choice: Choice, position: Position) -> int:
    """Return what a position costs each time that its choice is made."""
    bass, *right = position.keys
    nearness = abs(sum(right) - 3 * _MIDDLE_OF_RIGHT) + abs(bass - _MIDDLE_OF_BASS)
    return (
        _broken_cost(position.broken)
        + ((right[2] > _HIGHEST_SOPRANO) << _HIGH)
        + ((choice.is_first and right[0] < FIRST_LOWEST[0]) << _DROPPED)
        + ((right[0] - bass > _WIDEST_GAP) << _WIDE)
        + (position.licenses << _LICENCES)
        + (3 - len(set(right))) * _UNISON
        + ((choice.ends and position.tones[3] != 0) << _ENDING)
        + (nearness << _NEARNESS)
    )


def _broken_cost(broken: Sequence[Broken]) -> int:
    cost = 0
    for each in broken:
        cost += _PRICES[each.rule.rank]
    return cost


def step_cost(asked: Link, before: Position, after: Position) -> int:
    """Return the cost of a step, which is measured once for all keys and octaves."""
    place = before.shape, after.shape, after.keys[1] - before.keys[1]
    cost = asked.costs.get(place)
    if cost is None:
        cost = asked.costs[place] = _measured(asked, before, after)
    return cost


def _measured(asked: Link, before: Position, after: Position) -> int:
    bass, tenor, alto, soprano = (new - old for old, new in zip(before.keys, after.keys, strict=True))
    upper = abs(tenor) + abs(alto) + abs(soprano)
    voices = bool(tenor) + bool(alto) + bool(soprano)
    squares = tenor * tenor + alto * alto + soprano * soprano
    similar = bass * soprano > 0 and abs(bass) not in (_FOURTH, _FIFTH)
    return (
        _broken_cost(broken_between(asked, before, after))
        + (licenses_between(asked, before, after) << _LICENCES)
        + (upper << _MOVEMENT)
        + (has_direct_fifth(before, after) << _DIRECT)
        + ((not soprano) << _HOLDS)
        + (voices << _VOICES)
        + (squares << _SQUARES)
        + (abs(bass) << _BASS)
        + (similar << _SIMILAR)
    )
