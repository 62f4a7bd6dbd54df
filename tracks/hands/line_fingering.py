"""Fingers for a line of single notes: the exact least difficulty under a published ergonomic model.

Conventions
- 1 is the thumb, 5 the little finger. Spans are semitones from the first finger to the second of a pair,
  thumb side first; a negative one is a crossing. The left hand is the right hand's mirror.
- The difficulty of a line is a sum over its notes, its pairs and its triples, so that a dynamic program
  over the last two fingers finds the least. Equal totals take the lower finger first.
- The model knows no hand's size: what is wider than its practical spans is a shift of the hand.

Source: R. Parncutt, J. Sloboda, E. Clarke, M. Raekallio, P. Desain, "An Ergonomic Model of Keyboard Fingering
for Melodic Fragments", Music Perception 14(4), 1997: the span table and the twelve rules, as two open-source
transcriptions give them. They differ in one cell, the greatest relaxed span of 1-5; ours is 10. Our own: the
prices of a shift and of another finger on the same key, and that a thumb on a black key counts 8 where the
paper has 1, since the scale tables keep it off.
"""

from collections.abc import Mapping, Sequence
from enum import Enum
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from tracks.theory.pitch import Pitch


class LineHand(Enum):
    """The hand that plays a line."""

    RIGHT = "right"
    LEFT = "left"


class _Span(NamedTuple):
    """Limits in semitones: practical, comfortable and relaxed, least and greatest."""

    min_practical: int
    min_comfortable: int
    min_relaxed: int
    max_relaxed: int
    max_comfortable: int
    max_practical: int


SPANS = {
    (1, 2): _Span(-5, -3, 1, 5, 8, 10),
    (1, 3): _Span(-4, -2, 3, 7, 10, 12),
    (1, 4): _Span(-3, -1, 5, 9, 12, 14),
    (1, 5): _Span(-1, 1, 7, 10, 13, 15),
    (2, 3): _Span(1, 1, 1, 2, 3, 5),
    (2, 4): _Span(1, 1, 3, 4, 5, 7),
    (2, 5): _Span(2, 2, 5, 6, 8, 10),
    (3, 4): _Span(1, 1, 1, 2, 2, 4),
    (3, 5): _Span(1, 1, 3, 4, 5, 7),
    (4, 5): _Span(1, 1, 1, 2, 3, 5),
}
_FINGERS = range(5)
"""Fingers as places in the tables: the thumb is 0."""

_THUMB, _MIDDLE, _RING, _LITTLE = 0, 2, 3, 4
_OUTER = frozenset((_MIDDLE, _RING, _LITTLE))
_BLACK = frozenset((1, 3, 6, 8, 10))
_SAME_FINGER = _Span(0, 0, 0, 0, 0, 0)
_SHIFT, _CHANGE_ON_KEY = 15, 5
_NEVER = 1 << 32
THUMB_ON_BLACK = 8

_Row = tuple[int, ...]


def line_fingers(
    pitches: Sequence[Pitch], hand: LineHand, given: Mapping[int, int] | None = None
) -> tuple[int, ...]:
    """Return a finger for each note of a line; a note alone takes the middle finger.

    `given` are fingers that are fixed, by the place of their note in the line.
    """
    given = given or {}
    if len(pitches) < 2:
        return (given.get(0, _MIDDLE + 1),) * len(pitches)
    up = 1 if hand is LineHand.RIGHT else -1
    notes = [(up * pitch.midi, pitch.midi % 12 in _BLACK) for pitch in pitches]
    (first, is_black), (second, then_black) = notes[:2]
    # `totals[b][a]` is the least so far where finger a is followed by finger b.
    pair = _pair_costs(second - first, is_black, then_black)
    totals = [
        tuple(
            _alone(a, is_black) + pair[b][a] + _misses(given, 0, a) + _misses(given, 1, b) for a in _FINGERS
        )
        for b in _FINGERS
    ]
    trail: list[list[list[int]]] = []
    for place, ((before, _), (here, black), (after, next_black)) in enumerate(
        zip(notes, notes[1:], notes[2:], strict=False), start=2
    ):
        triple = _triple_costs(here - before, after - here)
        pair = _pair_costs(after - here, black, next_black)
        totals, came_from = _advanced(totals, triple, pair)
        if place in given:
            totals = [tuple([total + _misses(given, place, c) for total in totals[c]]) for c in _FINGERS]
        trail.append(came_from)
    return _walk_back(totals, trail)


def difficulty(pitches: Sequence[Pitch], fingers: Sequence[int], hand: LineHand) -> int:
    """Return the difficulty of a fingering, 1 to 5 for each note; the smaller, the easier."""
    up = 1 if hand is LineHand.RIGHT else -1
    notes = [
        (up * pitch.midi, pitch.midi % 12 in _BLACK, f - 1) for pitch, f in zip(pitches, fingers, strict=True)
    ]
    total = sum(_alone(finger, black) for _, black, finger in notes[:1])
    for (low, black, a), (high, next_black, b) in pairwise(notes):
        total += _pair_costs(high - low, black, next_black)[b][a]
    for (one, _, a), (two, _, b), (three, _, c) in zip(notes, notes[1:], notes[2:], strict=False):
        total += _triple_costs(two - one, three - two)[b][c][a]
    return total


def _misses(given: Mapping[int, int], place: int, finger: int) -> int:
    return 0 if given.get(place, finger + 1) == finger + 1 else _NEVER


def _advanced(
    totals: Sequence[_Row], triple: Sequence[Sequence[_Row]], pair: Sequence[_Row]
) -> tuple[list[_Row], list[list[int]]]:
    """Return the totals one note further, and the finger that each of them came from."""
    after: list[list[int]] = [[0] * 5 for _ in _FINGERS]
    came_from: list[list[int]] = [[0] * 5 for _ in _FINGERS]
    for b in _FINGERS:
        so_far, rows = totals[b], triple[b]
        for c in _FINGERS:
            costs = [total + more for total, more in zip(so_far, rows[c], strict=True)]
            least = min(costs)
            after[c][b] = least + pair[c][b]
            came_from[c][b] = costs.index(least)
    return [tuple(row) for row in after], came_from


def _walk_back(totals: Sequence[_Row], trail: Sequence[list[list[int]]]) -> tuple[int, ...]:
    _, a, b = min((totals[b][a], a, b) for a in _FINGERS for b in _FINGERS)
    path = [b, a]
    for came_from in reversed(trail):
        path.append(came_from[path[-2]][path[-1]])
    return tuple(finger + 1 for finger in reversed(path))


def _alone(finger: int, black: bool) -> int:
    """Rule 6, weak finger, and what rule 10 asks of a thumb on a black key whatever lies beside it."""
    return int(finger in (_RING, _LITTLE)) + (THUMB_ON_BLACK if finger == _THUMB and black else 0)


@lru_cache(maxsize=512)
def _pair_costs(move: int, black: bool, next_black: bool) -> tuple[_Row, ...]:
    """Return the cost of finger b after finger a, at [b][a], for a move towards the little finger's side."""
    return tuple(
        tuple(
            _alone(b, next_black)
            + _reach(a, b, move)
            + _between_colors(a, b, black, next_black)
            + _thumb_passing(a, b, move, black, next_black)
            + (a == _MIDDLE and b == _RING)  # rule 8, three to four
            for a in _FINGERS
        )
        for b in _FINGERS
    )


def _span(a: int, b: int, move: int) -> tuple[_Span, int]:
    """Return the limits of two fingers and the span between them, thumb side first."""
    if a == b:
        return _SAME_FINGER, move
    return (SPANS[a + 1, b + 1], move) if a < b else (SPANS[b + 1, a + 1], -move)


def _reach(a: int, b: int, move: int) -> int:
    """Rules 1 to 3: stretch, small span, large span; or the price of a shift."""
    if move == 0:
        return 0 if a == b else _CHANGE_ON_KEY
    limits, span = _span(a, b, move)
    if not limits.min_practical <= span <= limits.max_practical or a == b:
        return _SHIFT
    stretch = max(0, span - limits.max_comfortable, limits.min_comfortable - span)
    relaxed = max(0, span - limits.max_relaxed, limits.min_relaxed - span)
    return 2 * stretch + relaxed * (1 if _THUMB in (a, b) else 2)


def _between_colors(a: int, b: int, black: bool, next_black: bool) -> int:
    """Rules 9 to 11: four, thumb and little finger on black keys beside white ones."""
    cost = 0
    for finger, on_black, other, other_black in ((a, black, b, next_black), (b, next_black, a, black)):
        if on_black and not other_black:
            cost += (finger == _RING and other == _MIDDLE) + 2 * (finger in (_THUMB, _LITTLE))
    return cost


def _thumb_passing(a: int, b: int, move: int, black: bool, next_black: bool) -> int:
    """Rule 12: the thumb passes under on the same level, or on to a black key from a white one."""
    if _THUMB not in (a, b) or a == b or _span(a, b, move)[1] >= 0:
        return 0
    thumb_black, finger_black = (black, next_black) if a == _THUMB else (next_black, black)
    return 1 if thumb_black == finger_black else 3 * thumb_black


@lru_cache(maxsize=2048)
def _triple_costs(move: int, next_move: int) -> tuple[tuple[_Row, ...], ...]:
    """Return the cost of fingers a, b, c in a row at [b][c][a]: rules 4, 5 and 7."""
    return tuple(
        tuple(
            tuple(
                _position_change(a, b, c, move, next_move) + ({a, b, c} == _OUTER)  # rule 7, three-four-five
                for a in _FINGERS
            )
            for c in _FINGERS
        )
        for b in _FINGERS
    )


def _position_change(a: int, b: int, c: int, move: int, next_move: int) -> int:
    """Rules 4 and 5: whether the hand's position changes over three notes, and how far."""
    limits, span = _span(a, c, move + next_move)
    beyond = max(0, span - limits.max_comfortable, limits.min_comfortable - span)
    if not beyond:
        return 0
    is_full = (
        b == _THUMB and move * next_move > 0 and not limits.min_practical <= span <= limits.max_practical
    )
    return beyond + (2 if is_full else 1)
