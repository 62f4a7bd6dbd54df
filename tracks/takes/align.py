"""Alignment: which of the groups asked for each group of played notes stands for. An exact dynamic program.

Conventions
- A group asked for may be played as several clusters in a row (a rolled chord, a late hand) within 250 ms, if
  it is larger than the last of them.
- Costs are whole numbers (`tracks.takes.clusters.cost`). Playing a group again costs REPEAT, and going on
  anywhere else, back or ahead, LEAP: the price of three notes and a chord of usual size. A start from the
  very beginning costs less. What was left unplayed at the end, or at the start, costs LEAP at most.
- A *step* is a group asked for and the clusters played for it; `leap` says that the player came to it from
  elsewhere than the group before.

Why the search is exact: from every state a leap leads to every group. So a state that costs LEAP more than
the best one after the same cluster lies on no cheaper way than that best state and a leap, and is dropped;
what is left is a band around the way taken, and the cost found is that of the whole table
(`test_the_band_finds_what_the_whole_table_finds`). A leap's own target is looked for only where the best cost
has just risen, since a leap into a group of cost c is worth while only where the rise is over c. So a take's
cost grows with its length, times the width of the band, plus what faults add.

Sources: the program is the alignment of sequences by least cost (R. A. Wagner and M. J. Fischer, "The
string-to-string correction problem", Journal of the ACM 21(1), 1974), here with leaps. The costs are our
judgment; the tests hold them against faults that were put in on purpose.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import chain, pairwise

from tracks.takes.clusters import NOTE, Cluster, Notes, cost, merged
from tracks.theory.errors import RequestError

REPEAT = 6
SPREAD_S = 0.25
MOST_FRAGMENTS = 6
MOST_WORK = 6_000_000
"""States looked at; beyond, a take is nothing like what was asked, and is refused."""

_NEARER = 1e-7
"""What a leap costs more for every group that it passes: of leaps that cost the same, the shortest."""


@dataclass(frozen=True, slots=True)
class Step:
    """A group asked for, and the clusters from `first` to before `after` that were played for it."""

    group: int
    first: int
    after: int
    leap: bool = False
    cost: int = 0


def leap_cost(groups: Sequence[Notes]) -> int:
    """Return what a leap costs: three notes and a group of usual size."""
    return NOTE * 3 + NOTE * sum(group.size for group in groups) // max(len(groups), 1)


def align(played: Sequence[Cluster], groups: Sequence[Notes]) -> tuple[tuple[Step, ...], int]:
    """Return the steps of the cheapest way through a take, in order of playing, and its cost.

    Raises RequestError where the take is so unlike what was asked that the search would not end in time.
    """
    validate(played, groups)
    return _Search(played, groups).run()


def validate(played: Sequence[Cluster], groups: Sequence[Notes]) -> None:
    """Raise ValueError where there is nothing to align, or time runs backwards."""
    if not played or not groups or not all(group.size for group in groups):
        raise ValueError("an alignment needs notes on both sides")
    if any(later.first_s < before.first_s for before, later in pairwise(played)):
        raise ValueError("clusters must come in order of time")


class _Costs(dict[int, int]):
    """What some played notes cost for each kind of group; worked out when it is first asked for."""

    def __init__(self, heard: Notes, kinds: Sequence[Notes]) -> None:
        super().__init__()
        self._heard, self._kinds = heard, kinds

    def __missing__(self, kind: int) -> int:
        found = self[kind] = cost(self._heard, self._kinds[kind])
        return found


class _Search:
    """The table, a row for each cluster: the cost of every group that is worth while to be at after it.

    `back` tells how a state was come to: (row before, group before, whether clusters were played for it).
    """

    def __init__(self, played: Sequence[Cluster], groups: Sequence[Notes]) -> None:
        self._played, self._groups = played, groups
        self._leap = leap_cost(groups)
        self._start = self._leap - NOTE
        self._rows: list[dict[int, float]] = [{-1: 0}]
        self._back: list[dict[int, tuple[int, int, bool]]] = [{}]
        self._best: list[tuple[float, int]] = [(0, -1)]
        self._work = 0
        self._kinds = list(dict.fromkeys(groups))
        numbers = {kind: number for number, kind in enumerate(self._kinds)}
        self._kind_of = [numbers[group] for group in groups]
        self._costs: dict[Notes, _Costs] = {}
        self._index()
        self._largest = max(group.size for group in groups)
        self._lacking()

    def run(self) -> tuple[tuple[Step, ...], int]:
        self._pass_over_missing(0)
        for row in range(1, len(self._played) + 1):
            self._fill(row)
            if self._work > MOST_WORK:
                raise RequestError(
                    "the take is too unlike what was asked to be aligned", "name the drill that was played"
                )
        ends = {group: at + self._unplayed(group + 1) for group, at in self._rows[-1].items()}
        last = min(ends, key=lambda group: (ends[group], -group))
        return self._steps(last), int(ends[last])

    def _index(self) -> None:
        """Note where each kind of group stands, and what kinds have the same keys or classes."""
        self._places: list[list[int]] = [[] for _ in self._kinds]
        for place, number in enumerate(self._kind_of):
            self._places[number].append(place)
        self._alike: dict[tuple[str, int], list[int]] = {}
        for number, kind in enumerate(self._kinds):
            self._alike.setdefault(("keys", kind.keys), []).append(number)
            self._alike.setdefault(("classes", kind.classes), []).append(number)
        self._pairs: dict[tuple[int, int], list[int]] = {}
        for place, (group, following) in enumerate(pairwise(self._groups)):
            self._pairs.setdefault((group.classes, following.classes), []).append(place)

    def _costs_of(self, heard: Notes) -> _Costs:
        found = self._costs.get(heard)
        if found is None:
            found = self._costs[heard] = _Costs(heard, self._kinds)
        return found

    def _lacking(self) -> None:
        """Note what the groups up to each place cost where they are not played."""
        self._group_sizes = [group.size for group in self._groups]
        self._sizes = [NOTE * size for size in self._group_sizes]
        self._upto = [0]
        for size in self._sizes:
            self._upto.append(self._upto[-1] + size)

    def _unplayed(self, group: int) -> int:
        return min(self._leap, self._upto[-1] - self._upto[group])

    def _fill(self, row: int) -> None:
        """Work out a row: the cluster is extra, or played for a group, or comes after a leap."""
        notes = self._played[row - 1].notes
        here: dict[int, float] = {}
        back: dict[int, tuple[int, int, bool]] = {}
        extra = NOTE * notes.size
        for group, at in self._rows[row - 1].items():
            here[group] = at + extra
            back[group] = (row - 1, group, False)
        self._rows.append(here)
        self._back.append(back)
        together = list(self._ending_at(row))
        for before, heard in together:
            self._play(row, before, heard)
        best = min(here.values())
        for before, heard in together:
            self._leap_to(row, before, heard, best)
        self._pass_over_missing(row)
        self._drop(row)

    def _ending_at(self, row: int) -> Iterable[tuple[int, Notes]]:
        """Yield the clusters up to this one that may be one group, as the row before them and their notes."""
        yield row - 1, self._played[row - 1].notes
        end, fewest = self._played[row - 1].last_s, self._played[row - 1].notes.size
        if self._largest <= fewest:
            return
        for before in range(row - 2, max(row - 1 - MOST_FRAGMENTS, -1), -1):
            if end - self._played[before].first_s > SPREAD_S:
                return
            yield before, merged(self._played, before, row)

    def _least(self, row: int, before: int) -> int:
        """Return the size that a group must be over for the clusters to be played for it."""
        return 0 if row - before == 1 else self._played[row - 1].notes.size

    def _play(self, row: int, before: int, heard: Notes) -> None:
        here, back = self._rows[row], self._back[row]
        sizes, kinds, last = self._group_sizes, self._kind_of, len(self._groups) - 1
        least, costs = self._least(row, before), self._costs_of(heard)
        states = self._rows[before]
        self._work += len(states)
        for group, at in states.items():
            if group < last and sizes[group + 1] > least:
                total = at + costs[kinds[group + 1]]
                if total < here.get(group + 1, total + 1):
                    here[group + 1] = total
                    back[group + 1] = (before, group, True)
            if group >= 0 and sizes[group] > least:
                total = at + REPEAT + costs[kinds[group]]
                if total < here.get(group, total + 1):
                    here[group] = total
                    back[group] = (before, group, True)

    def _leap_to(self, row: int, before: int, heard: Notes, best: float) -> None:
        """Try leaps into the groups that are worth one: to the first always, to others after a rise."""
        here, back, least = self._rows[row], self._back[row], self._least(row, before)
        at, origin = self._best[before]
        costs, kinds = self._costs_of(heard), self._kind_of
        total = at + self._start + costs[kinds[0]]
        if self._groups[0].size > least and total < here.get(0, best + self._leap):
            here[0], back[0] = total, (before, origin, True)
        for group in self._worth_a_leap(row, heard, best - at):
            total = at + self._leap + costs[kinds[group]] + _NEARER * abs(group - origin)
            if self._groups[group].size > least and total < here.get(group, total + 1):
                here[group], back[group] = total, (before, origin, True)

    def _worth_a_leap(self, row: int, heard: Notes, rise: float) -> Iterable[int]:
        """Return the groups that cost less than the rise, and not at once more after it."""
        if rise <= 0:
            return ()
        if rise <= NOTE and self._goes_on(row, rise):
            found: Iterable[int] = self._pairs.get((heard.classes, self._played[row].notes.classes), ())
        elif rise <= NOTE:
            same_keys = self._alike.get(("keys", heard.keys), ())
            alike = {*same_keys, *self._alike.get(("classes", heard.classes), ())}
            found = chain.from_iterable(self._places[kind] for kind in sorted(alike))
        else:
            self._work += len(self._kinds)
            costs = self._costs_of(heard)
            near = [kind for kind in range(len(self._kinds)) if costs[kind] < rise]
            found = chain.from_iterable(self._places[kind] for kind in near)
        found = list(found)
        self._work += len(found)
        return found

    def _goes_on(self, row: int, rise: float) -> bool:
        """Whether the next cluster stands alone and a state so far goes on with it for what a leap has left.

        Then whatever leaps here and does not go on with it either is dropped in the next row.
        """
        if row >= len(self._played):
            return False
        here, groups, following = self._rows[row], self._groups, self._played[row]
        after = self._played[row + 1] if row + 1 < len(self._played) else None
        if after and self._largest > after.notes.size and after.last_s - following.first_s <= SPREAD_S:
            return False
        costs, kinds, last = self._costs_of(following.notes), self._kind_of, len(groups) - 1
        onward = min(
            (at + costs[kinds[group + 1]] for group, at in here.items() if group < last), default=None
        )
        return onward is not None and rise + onward - min(here.values()) <= NOTE

    def _pass_over_missing(self, row: int) -> None:
        """Go on from each state over groups that are not played, while that is worth while."""
        here, back, last = self._rows[row], self._back[row], len(self._groups) - 1
        limit = min(here.values()) + self._leap
        for group in sorted(here):
            at = here[group]
            while group < last:
                at += self._sizes[group + 1]
                if at >= limit or at >= here.get(group + 1, limit):
                    break
                group += 1
                here[group] = at
                back[group] = (row, group - 1, False)

    def _drop(self, row: int) -> None:
        here = self._rows[row]
        least = min(here.values())
        limit = least + self._leap
        kept = {group: at for group, at in here.items() if at < limit}
        self._rows[row] = kept
        self._best.append((least, next(group for group, at in kept.items() if at == least)))

    def _steps(self, group: int) -> tuple[Step, ...]:
        steps, row = [], len(self._played)
        while row > 0:
            before, origin, was_played = self._back[row][group]
            if was_played:
                leap = group != origin + 1
                price = cost(merged(self._played, before, row), self._groups[group])
                steps.append(Step(group, before, row, leap, price))
            row, group = before, origin
        return tuple(reversed(steps))
