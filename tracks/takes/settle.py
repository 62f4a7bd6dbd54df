"""Settling: where alignments are equally good, the beat decides which of them was played.

Conventions
- A *pass* is a stretch of steps without a leap. Its *anchors* are steps beyond doubt: every note right, and
  the groups and clusters before and after them accounted for.
- Around whatever is in doubt, two steps more on each side and all like groups beside them are aligned anew
  between the anchors: by cost first, then by how far each group lies from where the anchors expect it. So of
  three like chords, one of them left out, the one that is missing is found by its time.
"""

from bisect import bisect_left
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import pairwise
from statistics import median

from tracks.takes.align import MOST_FRAGMENTS, SPREAD_S, Step
from tracks.takes.clusters import NOTE, RENAMED, Cluster, Notes, cost, merged

_AROUND = 2
_MOST_IN_ZONE = 80
_FAR = 2.0

Price = tuple[int, float]


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
    beat_s = seconds_a_beat(played, beats, steps)
    doubtful = _in_doubt(steps, bounds)
    anchors = {
        beats[step.group]: played[step.first].first_s
        for step, doubt in zip(steps, doubtful, strict=True)
        if not doubt
    }
    found: list[Step] = []
    upto = 0
    for start, end in _zones(steps, groups, doubtful):
        found += steps[upto:start]
        upto = end
        low = bounds[0] if start == 0 else steps[start].group
        high = bounds[1] if end == len(steps) else steps[end - 1].group
        place = range(low, high + 1), range(steps[start].first, steps[end - 1].after)
        if not anchors or max(len(place[0]), len(place[1])) > _MOST_IN_ZONE:
            found += _each_once(steps[start:end])
            continue
        inside = beats[steps[start].group], beats[steps[end - 1].group]
        expected = _expectation(anchors, inside, beat_s)
        times = {group: expected(beats[group]) for group in place[0]}
        found += _aligned(played, groups, place, times, beat_s)
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


def _in_doubt(steps: Sequence[Step], bounds: tuple[int, int]) -> list[bool]:
    """Return which steps are not beyond doubt."""
    doubtful = [step.cost > RENAMED for step in steps]
    for place, (before, later) in enumerate(pairwise(steps)):
        if later.group != before.group + 1 or later.first != before.after:
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
        if not doubt:
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


def _expectation(
    anchors: Mapping[float, float], zone: tuple[float, float], beat_s: float
) -> Callable[[float], float]:
    """Return when a beat is expected: between the anchors around a zone, or at the usual pace from one."""
    places = list(anchors)
    at = bisect_left(places, zone[0])
    before = places[at - 1] if at > 0 else None
    after = next((beat for beat in places[at:] if beat > zone[1]), None)
    if before is not None and after is not None:
        pace = (anchors[after] - anchors[before]) / (after - before)
    else:
        pace = beat_s
    known = next((beat for beat in (before, after) if beat is not None), places[0])
    return lambda beat: anchors[known] + (beat - known) * pace


def _aligned(
    played: Sequence[Cluster],
    groups: Sequence[Notes],
    place: tuple[range, range],
    times: Mapping[int, float],
    beat_s: float,
) -> list[Step]:
    """Return the steps of a small stretch, by the whole table: by cost, then by time."""
    asked, heard = place
    table: dict[tuple[int, int], tuple[Price, int]] = {(heard.start, asked.start): ((0, 0.0), 0)}
    for after in range(heard.start, heard.stop + 1):
        for group in range(asked.start, asked.stop + 1):
            options = list(_ways(played, groups, (after, group), place, table, times, beat_s))
            if options:
                table[after, group] = min(options)
    steps, after, group = [], heard.stop, asked.stop
    while (after, group) != (heard.start, asked.start):
        fragments = table[after, group][1]
        if fragments > 0:
            price = cost(merged(played, after - fragments, after), groups[group - 1])
            steps.append(Step(group - 1, after - fragments, after, cost=price))
        after -= 1 if fragments < 0 else fragments
        group -= fragments >= 0
    return steps[::-1]


def _ways(
    played: Sequence[Cluster],
    groups: Sequence[Notes],
    cell: tuple[int, int],
    place: tuple[range, range],
    table: Mapping[tuple[int, int], tuple[Price, int]],
    times: Mapping[int, float],
    beat_s: float,
) -> Iterator[tuple[Price, int]]:
    """Yield the ways into a cell: fragments played for the group, 0 where it is missing, -1 for an extra."""
    after, group = cell
    if after > place[1].start:
        so_far, dev = table[after - 1, group][0]
        yield (so_far + NOTE * played[after - 1].notes.size, dev), -1
    if group == place[0].start:
        return
    so_far, dev = table[after, group - 1][0]
    yield (so_far + NOTE * groups[group - 1].size, dev), 0
    for fragments in range(1, min(MOST_FRAGMENTS, after - place[1].start) + 1):
        first = after - fragments
        if fragments > 1 and (
            played[after - 1].last_s - played[first].first_s > SPREAD_S
            or groups[group - 1].size <= played[after - 1].notes.size
        ):
            return
        so_far, dev = table[first, group - 1][0]
        price = cost(merged(played, first, after), groups[group - 1])
        away = min(abs(played[first].first_s - times[group - 1]) / beat_s, _FAR)
        yield (so_far + price, dev + away), fragments


def _each_once(steps: Sequence[Step]) -> list[Step]:
    """Return the steps, of those for one group the cheapest, the last of the like."""
    best: dict[int, Step] = {}
    for step in steps:
        if step.group not in best or step.cost <= best[step.group].cost:
            best[step.group] = step
    return sorted(best.values(), key=lambda step: step.first)
