"""Alignment: which of the groups asked for each group of played notes stands for. An exact dynamic program.

Conventions
- A group asked for may be played as several clusters in a row (a rolled chord, a late hand) within 250 ms, if
  it is larger than the last of them.
- Costs are whole numbers (`tracks.takes.clusters.cost`). Playing a group again costs REPEAT, and going on
  anywhere else, back or ahead, LEAP: the price of three notes and a chord of usual size. A start from the
  very beginning costs less after a pause. Of leaps that cost the same, the one after a pause is taken, then
  the shortest. What was left unplayed at the end, or at the start, costs LEAP at most.
- A *step* is a group asked for and the clusters played for it; `leap` says that the player came to it from
  elsewhere than the group before.

Why the search is exact: from every state a leap leads to every group. So a state that costs LEAP more than
the best one after the same cluster lies on no cheaper way than that best state and a leap, and is dropped;
what is left is a band around the way taken. A leap's own target is looked for only where the best cost has
just risen, since a leap into a group of cost c is worth while only where the rise is over c; and where the
player goes on, only among the groups that go on alike.

The condition: the cost found is that of the whole table so long as no cluster has more than MOST_LEAPS places
to leap to on either side, and no row more than MOST_STATES; `Alignment.exact` says whether it was so
(`test_the_band_finds_what_the_whole_table_finds`). Beyond, where a pattern is asked dozens of times over, the
nearest places and the cheapest states are kept. So a take's cost grows with its length, times the width of
the band, plus what faults add.

Sources: the program is the alignment of sequences by least cost (R. A. Wagner and M. J. Fischer, "The
string-to-string correction problem", Journal of the ACM 21(1), 1974), here with leaps. The costs are our
judgment; the tests hold them against faults that were put in on purpose.
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from heapq import nsmallest
from itertools import pairwise
from operator import itemgetter
from statistics import median
from typing import NamedTuple

from tracks.takes.clusters import NOTE, Cluster, Notes, cost, merged
from tracks.takes.places import MOST_AHEAD, Places
from tracks.theory.errors import RequestError

REPEAT = 6
START = NOTE - 1
"""What a start from the beginning costs less than another leap: less than a first note left out."""
SPREAD_S = 0.25
MOST_FRAGMENTS = 6
MOST_WORK = 6_000_000
"""States and places looked at; beyond, a take is nothing like what was asked, and is refused."""

MOST_LEAPS = 24
"""Of places that sound alike, how many back and how many ahead a player may have leapt to."""
MOST_STATES = 64
"""How wide the band is at most."""
PAUSE = 1.5
"""How many times as long as the usual gap between clusters a pause is."""
_NEARER = 1e-8
"""What a leap costs more for every group that it passes, and all of them where no pause came before it."""


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


class Alignment(NamedTuple):
    """The cheapest way through a take: its steps in order of playing, its cost, and whether it is exact."""

    steps: tuple[Step, ...]
    cost: int
    exact: bool


def align(played: Sequence[Cluster], groups: Sequence[Notes]) -> Alignment:
    """Return the cheapest way through a take.

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


class _Search:
    """The table, a row for each cluster: the cost of every group that is worth while to be at after it.

    `back` tells how a state was come to: (row before, group before, whether clusters were played for it).
    """

    def __init__(self, played: Sequence[Cluster], groups: Sequence[Notes]) -> None:
        self._played, self._groups = played, groups
        self._leap = leap_cost(groups)
        self._start = self._leap - START
        self._rows: list[dict[int, float]] = [{-1: 0}]
        self._back: list[dict[int, tuple[int, int, bool]]] = [{}]
        self._best: list[tuple[float, int]] = [(0, -1)]
        self._work = 0
        self._exact = True
        self._places = Places(groups)
        self._largest = max(group.size for group in groups)
        gaps = [later.first_s - before.first_s for before, later in pairwise(played)]
        pause = PAUSE * (median(gaps) if gaps else 0.0)
        self._paused = [True, *(gap > pause for gap in gaps)]
        self._lacking()

    def run(self) -> Alignment:
        self._pass_over_missing(0)
        for row in range(1, len(self._played) + 1):
            self._fill(row)
            if self._work + self._places.looked_at > MOST_WORK:
                raise RequestError(
                    "the take is too unlike what was asked to be aligned", "name the drill that was played"
                )
        ends = {group: at + self._unplayed(group + 1) for group, at in self._rows[-1].items()}
        last = min(ends, key=lambda group: (ends[group], -group))
        return Alignment(self._steps(last), int(ends[last]), self._exact)

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
        sizes, kinds, last = self._group_sizes, self._places.kind_of, len(self._groups) - 1
        least, costs = self._least(row, before), self._places.costs_of(heard)
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
        costs, kinds = self._places.costs_of(heard), self._places.kind_of
        paused = self._paused[before]
        total = at + (self._start if paused else self._leap) + costs[kinds[0]]
        if self._groups[0].size > least and total < here.get(0, best + self._leap):
            here[0], back[0] = total, (before, origin, True)
        for group in self._worth_a_leap(row, heard, best - at, origin):
            passed = abs(group - origin) + (0 if paused else len(self._groups))
            total = at + self._leap + costs[kinds[group]] + _NEARER * passed
            if self._groups[group].size > least and total < here.get(group, total + 1):
                here[group], back[group] = total, (before, origin, True)

    def _worth_a_leap(self, row: int, heard: Notes, rise: float, origin: int) -> Iterable[int]:
        """Return the groups that cost less than the rise, and not at once more after it."""
        if rise <= 0:
            return ()
        if rise <= NOTE and (ahead := self._goes_on(row, rise)):
            run = [heard, *(each.notes for each in self._played[row : row + ahead])]
            alike = [self._places.of_run(run)]
        else:
            alike = self._places.below(heard, rise)
        found = [place for places in alike for place in self._nearest(places, origin)]
        self._work += len(found)
        return found

    def _nearest(self, places: Sequence[int], origin: int) -> Sequence[int]:
        """Return the places nearest to where the player was, MOST_LEAPS of them on either side at most."""
        if len(places) <= 2 * MOST_LEAPS:
            return places
        self._exact = False
        middle = bisect_right(places, origin)
        return places[max(middle - MOST_LEAPS, 0) : middle + MOST_LEAPS]

    def _goes_on(self, row: int, rise: float) -> int:
        """Return how many clusters a state so far goes on with, one group each, for what a leap has left.

        Then whatever leaps here and does not go on with them either is dropped where they end.
        """
        groups, played = self._groups, self._played
        onward, best = list(self._rows[row].items()), min(self._rows[row].values())
        for ahead in range(MOST_AHEAD):
            if row + ahead >= len(played) or self._may_be_one(row + ahead, row + ahead + 1):
                return ahead
            costs, kinds = self._places.costs_of(played[row + ahead].notes), self._places.kind_of
            onward = [
                (group + 1, total)
                for group, at in onward
                if group + 1 < len(groups) and (total := at + costs[kinds[group + 1]]) <= best + NOTE - rise
            ]
            if not onward:
                return ahead
        return MOST_AHEAD

    def _may_be_one(self, first: int, last: int) -> bool:
        """Whether two clusters in a row may be played for one group."""
        if last >= len(self._played):
            return False
        before, after = self._played[first], self._played[last]
        return self._largest > after.notes.size and after.last_s - before.first_s <= SPREAD_S

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
        """Keep the states that may still be on the cheapest way."""
        here = self._rows[row]
        least = min(here.values())
        limit = least + self._leap
        kept = {group: at for group, at in here.items() if at < limit}
        if len(kept) > MOST_STATES:
            self._exact = False
            kept = dict(nsmallest(MOST_STATES, kept.items(), key=itemgetter(1)))
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
