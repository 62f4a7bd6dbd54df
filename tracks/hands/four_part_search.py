"""The exact search for four parts: the best way in each key, and one shape for all keys of a drill.

Conventions
- A shape is the right hand's positions and the bass below them, whatever the key. Where the bass's range
  leaves no room for that, or another bass breaks less, the bass alone goes its own way.
- Of equal totals the candidate that stands first is taken.
"""

from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass

from tracks.hands.four_part_cost import CLEAN, own_cost, step_cost, without_bass
from tracks.hands.four_part_positions import Choice
from tracks.hands.one_shape import one_shape
from tracks.hands.part_writing import Link, Position, link
from tracks.hands.search import cheapest

_Shape = tuple[tuple[Hashable, int], ...]
_Look = Callable[[Position], Hashable]
_Options = Sequence[Sequence[tuple[int, Position]]]
"""The options of each choice: what they cost by themselves, and the positions."""


@dataclass(frozen=True, slots=True)
class Way:
    """The position of each choice in one key, and what they cost in all."""

    total: int
    taken: tuple[Position, ...]

    @property
    def cost(self) -> int:
        """What counts from key to key: not where the hands lie."""
        return without_bass(self.total)

    @property
    def shape(self) -> Hashable:
        """The right hand's positions and the bass, the key forgotten."""
        return _seen(self.taken, _whole)


def in_one_shape(keys: Sequence["Search"]) -> list[tuple[Way, bool]]:
    """Return a way for each key, and whether its right hand has a shape of its own.

    The last key's shape is, in the next key, a way to beat.
    """
    best: list[Way] = []
    for search in keys:
        best.append(search.best(search.fit(best[-1]) if best else None))
    ways = one_shape(best, [search.fit for search in keys])
    hands = [_seen(way.taken, _right_hand) for way in ways]
    usual = max(hands, key=hands.count)
    return [(way, hand != usual) for way, hand in zip(ways, hands, strict=True)]


class Search:
    """A progression in one key: which choice is made when, and what each of its positions costs."""

    def __init__(self, order: Sequence[int], choices: Sequence[Choice]) -> None:
        self._order, self._choices = order, choices
        self._options = [[(own_cost(choice, one), one) for one in choice.positions] for choice in choices]
        self._links: dict[tuple[int, int], Link] = {}
        self._fits: dict[Hashable, Way | None] = {}

    def best(self, beat: Way | None = None) -> Way:
        """Return the best way of all; `beat` is one to beat.

        What is clean beats all that is not, so only where nothing is clean is the rest looked at.
        """
        limit = beat.total if beat else None
        if limit is None or limit < CLEAN:
            clean = [[option for option in options if option[0] < CLEAN] for options in self._options]
            if all(clean):
                way = self._cheapest(clean, limit)
                if way.total < CLEAN:
                    return way
                limit = way.total
        if limit is None:
            return self._cheapest(self._options)
        able = [[option for option in options if option[0] <= limit] for options in self._options]
        return self._cheapest(able, limit)

    def fit(self, way: Way) -> Way | None:
        """Return the best way in the shape of another key's: with its bass, unless another bass is better."""
        if way.shape not in self._fits:
            whole = self._alike(way, _whole)
            right = None if whole and whole.cost <= way.cost else self._alike(way, _right_hand)
            found = [each for each in (whole, right) if each]
            self._fits[way.shape] = min(found, key=lambda each: each.cost, default=None)
        return self._fits[way.shape]

    def _alike(self, way: Way, look: _Look) -> Way | None:
        """Return the best way that looks like another key's, wherever it stands."""
        found = [self._cheapest(options) for options in self._moved(way, look)]
        return min(found, key=lambda each: each.total, default=None)

    def _moved(self, way: Way, look: _Look) -> Iterator[_Options]:
        """Yield the options that look like another key's way, moved to each place where all have some."""
        wanted = [(look(each), each.keys[1]) for each in way.taken]
        for place in sorted({one.keys[1] - wanted[0][1] for _, one in self._options[0]} if wanted else ()):
            options: list[list[tuple[int, Position]]] = []
            for sight, tenor in wanted:
                every = self._options[len(options)]
                options.append([o for o in every if o[1].keys[1] == tenor + place and look(o[1]) == sight])
                if not options[-1]:
                    break
            else:
                yield options

    def _cheapest(self, options: _Options, limit: int | None = None) -> Way:
        positions = [[position for _, position in row] for row in options]

        def step(earlier: int, option: int, later: int) -> list[int]:
            asked, before = self._link(earlier, later), positions[earlier][option]
            return [step_cost(asked, before, after) for after in positions[later]]

        def back(earlier: int, option: int, later: int) -> list[int]:
            asked, after = self._link(later, earlier), positions[earlier][option]
            return [step_cost(asked, before, after) for before in positions[later]]

        own = [[cost for cost, _ in row] for row in options]
        total, picks = cheapest(self._order, own, step, back=back, limit=limit)
        return Way(total, tuple(row[pick] for row, pick in zip(positions, picks, strict=True)))

    def _link(self, before: int, after: int) -> Link:
        if (before, after) not in self._links:
            old, new = self._choices[before], self._choices[after]
            self._links[before, after] = link(old.chord, new.chord, old.at.key)
        return self._links[before, after]


def _seen(taken: Sequence[Position], look: _Look) -> _Shape:
    return tuple((look(each), each.keys[1] - taken[0].keys[1]) for each in taken)


def _whole(position: Position) -> Hashable:
    return position.shape


def _right_hand(position: Position) -> Hashable:
    _, tenor, alto, soprano = position.keys
    return position.tones, alto - tenor, soprano - tenor
