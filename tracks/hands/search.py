"""The exact search: the cheapest way through a row of choices, some of which come again.

Conventions
- A choice is numbered by its first coming, from 0; `order` says which one is made at each moment, and a
  number that comes again is the same choice, made alike. A plain row is `range(n)`.
- An option is a place in its choice's list of costs. Costs are integers from 0; a caller with several aims
  packs them into one, the weightiest highest.
- Going from one option to another costs the same in both directions, unless the caller tells the way back.

The method is dynamic programming by elimination: after each choice only those options are remembered
that a later choice still meets. In a plain row that is the last choice alone; inside a repeated section
it is the last one and the section's first, which the section's end meets again. A first pass that remembers
only the few best of them gives a total to beat; the second drops only what cannot come down to it.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Hashable, Mapping, Sequence
from heapq import nsmallest
from itertools import pairwise
from math import inf
from operator import itemgetter

Step = Callable[[int, int, int], Sequence[int]]
"""From (earlier choice, its option, later choice) to the cost of each option of the later choice."""

State = tuple[int, ...]

_FEW = 1


def numbered(made: Sequence[Hashable]) -> tuple[list[int], list[int]]:
    """Return the `order` of choices told apart by what is made, and the place of each one's first."""
    firsts: dict[Hashable, int] = {}
    for place, choice in enumerate(made):
        firsts.setdefault(choice, place)
    numbers = {choice: number for number, choice in enumerate(firsts)}
    return [numbers[choice] for choice in made], list(firsts.values())


def cheapest(
    order: Sequence[int],
    own: Sequence[Sequence[int]],
    step: Step,
    least: Callable[[int, int], int] = lambda _earlier, _later: 0,
    back: Step | None = None,
    limit: int | None = None,
) -> tuple[int, tuple[int, ...]]:
    """Return the least total cost and the option of each choice that reaches it.

    `own[choice][option]` is paid each time the choice is made, `step` each time one follows another;
    `back`, asked like `step`, is paid where the later choice comes before the earlier one again.
    `least` is a cost that no step between two choices goes below; the closer it is, the quicker the
    search, as it is with a `limit`, a total that some way comes down to. Every choice needs an option. Of
    equal totals the option that stands first is taken.
    """
    row = _Row(order, own, (step, back or step), least)
    guessed, _ = row.search(limit=inf, width=_FEW) if limit is None else (limit, ())
    return row.search(guessed)


class _Row:
    """The choices, how often each is made, and which ones meet."""

    def __init__(
        self,
        order: Sequence[int],
        own: Sequence[Sequence[int]],
        steps: tuple[Step, Step],
        least: Callable[[int, int], int],
    ) -> None:
        self.steps = steps
        made = Counter(order)
        self.own = [[cost * made[now] for cost in costs] for now, costs in enumerate(own)]
        # How often two choices meet, forwards and on the way back.
        self.meetings: dict[tuple[int, int], list[int]] = defaultdict(lambda: [0, 0])
        for before, after in pairwise(order):
            if before != after:
                self.meetings[min(before, after), max(before, after)][before > after] += 1
        self.earlier: dict[int, list[int]] = defaultdict(list)
        self.last_met: dict[int, int] = {}
        self.rest = [0] * len(own)
        for (earlier, later), times in sorted(self.meetings.items()):
            self.earlier[later].append(earlier)
            self.last_met[earlier] = later
            # `rest` is the least that is still to pay once a choice is made.
            self.rest[later - 1] += sum(times) * least(earlier, later)
        for now in reversed(range(len(own) - 1)):
            self.rest[now] += self.rest[now + 1]

    def search(self, limit: float, width: int | None = None) -> tuple[int, tuple[int, ...]]:
        """Return the least total and its options; some way must come to the limit or below it.

        With a `width` only so many of the best are followed, and the total may not be the least.
        """
        front: tuple[int, ...] = ()
        totals: dict[State, int] = {(): 0}
        trail: list[dict[State, State]] = []
        for now in range(len(self.own)):
            most = limit - self.rest[now]
            keep = [place for place, earlier in enumerate(front) if self.last_met.get(earlier, now) > now]
            best: dict[State, int] = {}
            came_from: dict[State, State] = {}
            for state, total in totals.items():
                kept = tuple([state[place] for place in keep])
                for option, cost in enumerate(self._costs(now, dict(zip(front, state, strict=True)))):
                    if total + cost <= most:
                        after = (*kept, option)
                        if after not in best or total + cost < best[after]:
                            best[after] = total + cost
                            came_from[after] = state
            totals = best if width is None else dict(nsmallest(width, best.items(), key=itemgetter(1)))
            trail.append(came_from)
            front = (*[front[place] for place in keep], now)
        return _walk_back(totals, trail)

    def _costs(self, now: int, taken: Mapping[int, int] | Sequence[int]) -> Sequence[int]:
        """Return the cost of each option of the choice, after the options taken earlier."""
        costs = self.own[now]
        for earlier in self.earlier[now]:
            for times, step in zip(self.meetings[earlier, now], self.steps, strict=True):
                if times:
                    steps = step(earlier, taken[earlier], now)
                    costs = [cost + times * one for cost, one in zip(costs, steps, strict=True)]
        return costs


def _walk_back(totals: dict[State, int], trail: list[dict[State, State]]) -> tuple[int, tuple[int, ...]]:
    state = min(totals, key=totals.__getitem__)
    total = totals[state]
    options = []
    for came_from in reversed(trail):
        options.append(state[-1])
        state = came_from[state]
    return total, tuple(reversed(options))
