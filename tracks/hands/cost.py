"""What a way of voicing costs the right hand, packed into one integer.

Conventions
- In this order: semitones moved in all, voices matched low to high; thirds left out; fifths and octaves with
  the chords' basses that follow one another, each voice counted, by pitch class and so in either direction;
  a last chord, the same as the first, that is not voiced as the first; how many moves there are; the
  sum of the squared moves; how far the voices lie from their first position.
- The bass is the chord's own, played or not, so that the hand is the same with a bass and without one.
- Each is a sum over the whole progression, repeats included. The most have 24 bits: enough for a hundred
  thousand chords.
- Where two shapes differ in size, the matching is the cheapest one that keeps the voices' order and gives
  each a partner.
"""

from functools import lru_cache

from tracks.hands.close_position import Shape
from tracks.hands.motion import size

MOVEMENT, THIRDS, CONSECUTIVES, HOME, VOICES, SQUARES, NEARNESS = 156, 132, 108, 84, 60, 28, 0
"""The lowest bit of each part of the cost."""

_UNISON, _FIFTH = 0, 7

Candidate = tuple[Shape, int]
"""A shape on a lowest note (MIDI)."""


class Steps(dict[int, int]):
    """The packed cost of going from one shape to another, by how far the lowest note rises."""

    def __init__(self, before: Shape, after: Shape, bass_moves: bool) -> None:
        super().__init__()
        self.before, self.after = before, after
        self.bass_moves = bass_moves
        self.known = sum(map(self._is_consecutive, before.over_bass, after.over_bass))

    def __missing__(self, rise: int) -> int:
        before, after = self.before.offsets, [rise + offset for offset in self.after.offsets]
        if len(before) == len(after):
            movement, voices, squares = size(before, after)
            consecutives = self.known
        else:
            movement, consecutives, voices, squares = self._uneven(before, after)
        cost = self[rise] = (
            (movement << MOVEMENT)
            + (consecutives << CONSECUTIVES)
            + (voices << VOICES)
            + (squares << SQUARES)
        )
        return cost

    def _is_consecutive(self, old: int, new: int) -> bool:
        return self.bass_moves and old == new and old in (_UNISON, _FIFTH)

    def _uneven(self, before: tuple[int, ...], after: list[int]) -> tuple[int, int, int, int]:
        """Return movement, consecutives, voices and squares of the cheapest matching of unlike sizes."""
        best: dict[tuple[int, int], tuple[int, int, int, int]] = {}
        for i, old in enumerate(before):
            for j, new in enumerate(after):
                ways = [best[place] for place in ((i - 1, j - 1), (i - 1, j), (i, j - 1)) if place in best]
                movement, consecutives, voices, squares = min(ways, default=(0, 0, 0, 0))
                move = abs(old - new)
                is_consecutive = self._is_consecutive(self.before.over_bass[i], self.after.over_bass[j])
                best[i, j] = (
                    movement + move,
                    consecutives + is_consecutive,
                    voices + bool(move),
                    squares + move * move,
                )
        return best[len(before) - 1, len(after) - 1]


# A step costs the same in every key, so twelve keys share what one has measured.
_steps = lru_cache(maxsize=4096)(Steps)


@lru_cache(maxsize=4096)
def _steps_from(before: Shape, after: tuple[Shape, ...], bass_moves: bool) -> dict[Shape, Steps]:
    return {new: _steps(before, new, bass_moves) for new in after}


@lru_cache(maxsize=4096)
def least_step(before: tuple[Shape, ...], after: tuple[Shape, ...], root_rise: int, bass_moves: bool) -> int:
    """Return the least packed cost between any two of the shapes, in whatever octaves."""
    costs = []
    for old in before:
        for new in after:
            rise = (root_rise + new.bottom - old.bottom) % 12
            steps = _steps(old, new, bass_moves)
            costs += [steps[rise + 12 * octave] for octave in (-2, -1, 0, 1)]
    return min(costs)


def steps_to(
    shapes: tuple[Shape, ...], candidates: tuple[Candidate, ...], before: Candidate, bass_moves: bool
) -> list[int]:
    """Return the packed cost of going to each of the candidates, which are of the shapes."""
    shape, low = before
    steps = _steps_from(shape, shapes, bass_moves)
    return [steps[new][bottom - low] for new, bottom in candidates]


def own_costs(
    shapes: tuple[Shape, ...], candidates: tuple[Candidate, ...], first: Candidate, comes_home: bool
) -> list[int]:
    """Return the packed cost of each candidate in itself.

    It is its missing third, its distance from the first voicing and, where the chord `comes_home`, that it
    is not the first voicing.
    """
    opening, first_low = first
    costs = []
    for step, (shape, low) in zip(steps_to(shapes, candidates, first, False), candidates, strict=True):
        is_away = comes_home and not (low == first_low and shape.offsets == opening.offsets)
        costs.append((shape.without_third << THIRDS) + (is_away << HOME) + (step >> MOVEMENT << NEARNESS))
    return costs
