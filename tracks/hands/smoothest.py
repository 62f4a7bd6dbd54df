"""The smoothest way through a progression's candidates, and one shape for the hand in every key of a drill.

Conventions
- Of equal costs the candidates' order decides, so that the same request always has the same answer.
- Keys that play the same chords from their tonic share one shape: the cheapest way of the keys that the
  range leaves free; of equals one that fits them all, then the one that fits the most keys.
- A key whose range forbids that way takes its own cheapest one, and is told apart.

Source: convention; teachers drill a progression through the keys with the same hand.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import cache

from tracks.hands.choices import Choice, Row
from tracks.hands.cost import Candidate, least_step, own_costs, steps_to
from tracks.hands.search import cheapest

Pick = tuple[int, int]
"""A candidate in any key: the place of its shape, and its lowest note's height above the first voicing's."""

Chosen = tuple[int, tuple[Candidate, ...], bool]
"""A row's packed cost, its candidates, and whether its shape is its own."""


def smoothest(row: Row) -> tuple[int, tuple[Candidate, ...]]:
    """Return the least packed cost and the candidates that reach it, trying each first position."""
    opening, *others = row.choices
    step = cache(
        lambda later, bass, before: steps_to(
            row.choices[later].shapes,
            row.choices[later].candidates,
            before,
            row.choices[later].chord.bass.chroma != bass,
        )
    )
    attempts = [
        _smoothest_from(replace(row, choices=(replace(opening, candidates=(first,)), *others)), step)
        for first in opening.candidates
    ]
    return min(attempts, key=lambda attempt: attempt[0])


def _smoothest_from(
    row: Row, steps: Callable[[int, int, Candidate], list[int]]
) -> tuple[int, tuple[Candidate, ...]]:
    """Return the same where the first choice has one candidate only."""
    choices = row.choices

    def step(earlier: int, option: int, later: int) -> list[int]:
        before = choices[earlier]
        return steps(later, before.chord.bass.chroma, before.candidates[option])

    def least(earlier: int, later: int) -> int:
        before, after = choices[earlier], choices[later]
        rise = after.chord.root.chroma - before.chord.root.chroma
        bass_moves = after.chord.bass.chroma != before.chord.bass.chroma
        return least_step(before.shapes, after.shapes, rise % 12, bass_moves)

    first = choices[0].candidates[0]
    home = row.order[-1] if row.comes_home else None
    own = [
        own_costs(choice.shapes, choice.candidates, first, number == home)
        for number, choice in enumerate(choices)
    ]
    total, picks = cheapest(row.order, own, step, least)
    return total, tuple(choice.candidates[pick] for choice, pick in zip(choices, picks, strict=True))


def in_one_shape(rows: Sequence[Row]) -> list[Chosen]:
    """Return what is chosen in each of the rows, the same progression in several keys."""
    if not rows[0].order:
        return [(0, (), False)] * len(rows)
    if len(rows) == 1:
        return [(*smoothest(rows[0]), False)]
    rooms = [[_picks(row, choice) for choice in row.choices] for row in rows]
    everywhere = _limited(rows[0], [set.intersection(*sets) for sets in zip(*rooms, strict=True)])
    anywhere = _limited(rows[0], [set.union(*sets) for sets in zip(*rooms, strict=True)])
    ways = [_way(everywhere)] if all(choice.candidates for choice in everywhere.choices) else []
    if not ways or ways[0][0] > smoothest(anywhere)[0]:
        ways += [_way(row) for row in rows]
    least = min(cost for cost, _ in ways)
    best = max((way for cost, way in ways if cost == least), key=lambda way: _fits(way, rooms).count(True))
    chosen: list[Chosen] = []
    own = ways[-len(rows) :]
    for number, (row, fits) in enumerate(zip(rows, _fits(best, rooms), strict=True)):
        cost, way = (least, best) if fits else own[number]
        chosen.append((cost, _candidates(row, way), not fits))
    return chosen


def _base(row: Row) -> int:
    """Return the lowest note of the first voicing, the same in all its candidates."""
    return row.choices[0].candidates[0][1]


def _picks(row: Row, choice: Choice) -> set[Pick]:
    return {_pick(row, choice, candidate) for candidate in choice.candidates}


def _pick(row: Row, choice: Choice, candidate: Candidate) -> Pick:
    shape, low = candidate
    return choice.shapes.index(shape), low - _base(row)


def _limited(row: Row, rooms: Iterable[set[Pick]]) -> Row:
    """Return the row with these candidates alone."""
    base = _base(row)
    limited = []
    for choice, room in zip(row.choices, rooms, strict=True):
        candidates = tuple((choice.shapes[place], base + above) for place, above in sorted(room))
        limited.append(replace(choice, candidates=candidates))
    return replace(row, choices=tuple(limited))


def _way(row: Row) -> tuple[int, tuple[Pick, ...]]:
    """Return the least cost of a row, and its way in any key."""
    cost, chosen = smoothest(row)
    return cost, tuple(
        _pick(row, choice, candidate) for choice, candidate in zip(row.choices, chosen, strict=True)
    )


def _fits(way: Sequence[Pick], rooms: Sequence[Sequence[set[Pick]]]) -> list[bool]:
    """Return for each key whether the way lies within its range."""
    return [all(pick in room for pick, room in zip(way, key, strict=True)) for key in rooms]


def _candidates(row: Row, way: Sequence[Pick]) -> tuple[Candidate, ...]:
    base = _base(row)
    return tuple(
        (choice.shapes[place], base + above) for choice, (place, above) in zip(row.choices, way, strict=True)
    )
