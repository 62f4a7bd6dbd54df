"""Settling: where alignments are equally good, the beat decides which of them was played.

Conventions
- A *pass* is a stretch of steps without a leap. A *zone* is what is in doubt in it: groups left out, clusters
  played for none, groups of which more than half is wrong, or that come
  much too soon or too late; with two steps more on each side and all like
  groups beside them.
- A zone is aligned anew, by cost and by time: from each group to the next that is played, as much time should
  go by as their beats are apart. A halt costs once and less than wrong notes do; of three like chords, one of
  them left out, the one that is missing is found by its time.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import accumulate, chain, pairwise
from statistics import median
from typing import NamedTuple

from tracks.takes.align import MOST_FRAGMENTS, REPEAT, SPREAD_S, Step
from tracks.takes.clusters import NOTE, Cluster, Notes, cost, merged

_AROUND = 2
_PACE = 8
"""Steps on either side that tell the pace of a zone."""
_MOST_IN_ZONE = 120
GROUPS_BACK = 8
"""How many groups on the next one that is played may lie: the others were left out."""
_CLUSTERS_BACK = 8
_UNTIMELY = 0.4
"""What share of a gap may be lacking or too much before it is in doubt what was played."""
_FREE, _FREE_S = 0.3, 0.07
"""What share of a gap, and how many seconds, are free to come early or late by: professionals' chords are
as far apart as that (95 %, Vienna 4x22)."""
_LATE, _MOST_LATE = 10.0, 7.5
"""What a gap late costs, and at most: less than two notes, since players halt."""
_EARLY, _MOST_EARLY = 20.0, 16.0
"""What a gap early costs, and at most: nobody comes early by much."""


def settled(
    played: Sequence[Cluster],
    groups: Sequence[Notes],
    beats: Sequence[float],
    steps: Sequence[Step],
    bounds: tuple[int, int],
) -> list[Step]:
    """Return a pass's steps with each group once, what was in doubt settled by time.

    `beats` are where the groups stand; `bounds` the first group that the pass may begin with, and the last
    that it may end with.
    """
    found: list[Step] = []
    upto = 0
    for start, end in _zones(steps, groups, _in_doubt(played, groups, beats, steps, bounds)):
        found += steps[upto:start]
        upto = end
        low = bounds[0] if start == 0 else steps[start].group
        high = bounds[1] if end == len(steps) else steps[end - 1].group
        around = steps[max(start - _PACE, 0) : end + _PACE]
        zone = _Zone(
            groups=range(low, high + 1),
            clusters=range(steps[start].first, steps[end - 1].after),
            before=steps[start - 1] if start else None,
            after=steps[end] if end < len(steps) else None,
            beat_s=seconds_a_beat(played, beats, around),
        )
        small = max(len(zone.groups), len(zone.clusters)) <= _MOST_IN_ZONE
        once = _each_once(steps[start:end])
        found += _Settling(played, groups, beats, zone).steps(once) if small else once
    return found + list(steps[upto:])


def seconds_a_beat(played: Sequence[Cluster], beats: Sequence[float], steps: Sequence[Step]) -> float:
    """Return how long a felt beat usually lasts, half a second where nothing tells."""
    rates = [
        (played[later.first].first_s - played[before.first].first_s)
        / (beats[later.group] - beats[before.group])
        for before, later in pairwise(steps)
        if beats[later.group] > beats[before.group]
    ]
    return median(rates) if rates and median(rates) > 0 else 0.5


def _in_doubt(
    played: Sequence[Cluster],
    groups: Sequence[Notes],
    beats: Sequence[float],
    steps: Sequence[Step],
    bounds: tuple[int, int],
) -> list[bool]:
    """Return which steps are not beyond doubt."""
    beat_s = seconds_a_beat(played, beats, steps)
    doubtful = [2 * step.cost > NOTE * groups[step.group].size for step in steps]
    for place, (before, later) in enumerate(pairwise(steps)):
        passed_over = later.group != before.group + 1 or later.first != before.after
        gone = played[later.first].first_s - played[before.first].first_s
        due = (beats[later.group] - beats[before.group]) * beat_s
        if passed_over or abs(gone - due) > _UNTIMELY * due:
            doubtful[place] = doubtful[place + 1] = True
    doubtful[0] |= steps[0].group != bounds[0]
    doubtful[-1] |= steps[-1].group != bounds[1]
    return doubtful


def _zones(
    steps: Sequence[Step], groups: Sequence[Notes], doubtful: Sequence[bool]
) -> Iterator[tuple[int, int]]:
    """Yield the stretches of steps to align anew, apart from one another."""
    zone: tuple[int, int] | None = None
    for place, doubt in enumerate(doubtful):
        if not doubt or (zone and place + _AROUND < zone[1]):
            continue
        start, end = max(place - _AROUND, 0), min(place + _AROUND + 1, len(steps))
        while start > 0 and groups[steps[start - 1].group] == groups[steps[start].group]:
            start -= 1
        while end < len(steps) and groups[steps[end].group] == groups[steps[end - 1].group]:
            end += 1
        if zone and start <= zone[1]:
            zone = (min(zone[0], start), max(zone[1], end))
        else:
            if zone:
                yield zone
            zone = (start, end)
    if zone:
        yield zone


class _Zone(NamedTuple):
    """Groups and clusters to align, the steps on either side, and the seconds of a beat around them."""

    groups: range
    clusters: range
    before: Step | None
    after: Step | None
    beat_s: float


class _Node(NamedTuple):
    """A cluster played for a group, the price of the cheapest way there, and the node before."""

    step: Step
    price: float
    origin: "_Node | None"


class _Settling:
    """The cheapest way through a zone, from one group that was played to the next."""

    def __init__(
        self, played: Sequence[Cluster], groups: Sequence[Notes], beats: Sequence[float], zone: _Zone
    ) -> None:
        self._played, self._groups, self._beats, self._zone = played, groups, beats, zone
        self._extra = [0, *accumulate(self._for_none(each) for each in zone.clusters)]
        self._missing = [0, *accumulate(NOTE * groups[each].size for each in zone.groups)]
        gaps = [later - before for before, later in pairwise(beats[zone.groups.start : zone.groups.stop])]
        self._gap_s = zone.beat_s * (median(gaps) if gaps else 1.0)
        self._at: dict[int, dict[int, _Node]] = defaultdict(dict)
        self._limit = 0.0

    def steps(self, known: Sequence[Step]) -> list[Step]:
        """Return the cheapest steps, `known` where none are cheaper."""
        zone = self._zone
        self._limit = self._price(known)
        for after in range(zone.clusters.start + 1, zone.clusters.stop + 1):
            for group in zone.groups:
                for first in self._firsts(after, group):
                    self._reach(first, after, group)
        price, last = self._cheapest_to(self._end(), zone.after)
        if price >= self._limit:
            return list(known)
        steps = []
        while last:
            steps.append(last.step)
            last = last.origin
        return steps[::-1]

    def _end(self) -> Step:
        """Return what comes after the zone's last group and cluster."""
        return Step(self._zone.groups.stop, self._zone.clusters.stop, self._zone.clusters.stop)

    def _price(self, steps: Sequence[Step]) -> float:
        """Return the cost of some steps through the zone."""
        group, cluster, before = self._zone.groups.start, self._zone.clusters.start, self._zone.before
        total = 0.0
        for step in steps:
            price = cost(merged(self._played, step.first, step.after), self._groups[step.group])
            total += price + self._skipped(group, cluster, step) + self._untimely(before, step)
            group, cluster, before = step.group + 1, step.after, step
        return total + self._skipped(group, cluster, self._end()) + self._untimely(before, self._zone.after)

    def _for_none(self, cluster: int) -> int:
        """Return the cost of a cluster that was played for no group, or was struck twice."""
        notes = self._played[cluster].notes
        again = REPEAT + cost(notes, self._played[cluster - 1].notes) if cluster else NOTE * notes.size
        return min(NOTE * notes.size, again)

    def _firsts(self, after: int, group: int) -> Iterator[int]:
        """Yield where the clusters that end here may begin to be played for a group."""
        yield after - 1
        last = self._played[after - 1]
        lowest = max(self._zone.clusters.start, after - MOST_FRAGMENTS)
        if self._groups[group].size > last.notes.size:
            for first in range(after - 2, lowest - 1, -1):
                if last.last_s - self._played[first].first_s > SPREAD_S:
                    return
                yield first

    def _reach(self, first: int, after: int, group: int) -> None:
        price = cost(merged(self._played, first, after), self._groups[group])
        step = Step(group, first, after, cost=price)
        if price > self._limit:
            return
        best, origin = self._cheapest_to(step, step)
        if best + price > self._limit:
            return
        known = self._at[after].get(group)
        if known is None or best + price < known.price:
            self._at[after][group] = _Node(step, best + price, origin)

    def _cheapest_to(self, step: Step, timed: Step | None) -> tuple[float, "_Node | None"]:
        """Return the cheapest way to a step, from the zone's beginning or from a node, and its cost."""
        zone = self._zone
        skipped = self._skipped(zone.groups.start, zone.clusters.start, step)
        best, origin = skipped + self._untimely(zone.before, timed), None
        for node in self._before(step) if timed is step else self._nodes():
            price = node.price + self._skipped(node.step.group + 1, node.step.after, step)
            if price < best and (price := price + self._untimely(node.step, timed)) < best:
                best, origin = price, node
        return best, origin

    def _nodes(self) -> Iterator["_Node"]:
        return chain.from_iterable(nodes.values() for nodes in self._at.values())

    def _before(self, step: Step) -> Iterator["_Node"]:
        """Yield the nodes from which a step may follow."""
        for after in range(step.first, max(step.first - _CLUSTERS_BACK, self._zone.clusters.start), -1):
            for group, node in self._at[after].items():
                if step.group - GROUPS_BACK <= group < step.group:
                    yield node

    def _skipped(self, group: int, cluster: int, step: Step) -> int:
        """Return the cost of the groups and clusters between a place and a step."""
        groups, clusters = self._zone.groups.start, self._zone.clusters.start
        missing = self._missing[step.group - groups] - self._missing[group - groups]
        return missing + self._extra[step.first - clusters] - self._extra[cluster - clusters]

    def _untimely(self, before: Step | None, after: Step | None) -> float:
        """Return the cost of coming early or late from one step to the next."""
        if before is None or after is None:
            return 0.0
        gone = self._played[after.first].first_s - self._played[before.first].first_s
        beats = self._beats[after.group] - self._beats[before.group]
        late = (gone - beats * self._zone.beat_s) / self._gap_s
        over = max(abs(late) - max(_FREE, _FREE_S / self._gap_s), 0.0)
        price = min(_LATE * over, _MOST_LATE) if late > 0 else min(_EARLY * over, _MOST_EARLY)
        return price + min(abs(late) / 100, 0.4)


def _each_once(steps: Sequence[Step]) -> list[Step]:
    """Return the steps, of those for one group the cheapest, the last of the like."""
    best: dict[int, Step] = {}
    for step in steps:
        if step.group not in best or step.cost <= best[step.group].cost:
            best[step.group] = step
    return sorted(best.values(), key=lambda step: step.first)
