"""The alignment's search: exact, whatever it leaves out."""

from itertools import pairwise
from random import Random
from statistics import median

import pytest

from tracks.takes.align import MOST_FRAGMENTS, PAUSE, REPEAT, SPREAD_S, START, align, leap_cost
from tracks.takes.clusters import NOTE, Cluster, Notes, clusters, cost, keys_of, merged, notes_of


def whole_table(played: list[Cluster], groups: list[Notes]) -> float:
    """Return the least cost by filling in every state: no band, every leap."""
    leap, none = leap_cost(groups), 10**9
    sizes = [NOTE * group.size for group in groups]
    rows: list[dict[int, float]] = [{-1: 0}]

    def go_over_missing(row: dict[int, float]) -> None:
        for group in range(len(groups)):
            if group - 1 in row:
                row[group] = min(row.get(group, none), row[group - 1] + sizes[group])

    go_over_missing(rows[0])
    onsets = [cluster.first_s for cluster in played]
    gaps = [later - before for before, later in pairwise(onsets)]
    for row in range(1, len(played) + 1):
        here = {group: at + NOTE * played[row - 1].notes.size for group, at in rows[row - 1].items()}
        for before in range(row - 1, max(row - 1 - MOST_FRAGMENTS, -1), -1):
            if row - before > 1 and played[row - 1].last_s - played[before].first_s > SPREAD_S:
                break
            heard, least = merged(played, before, row), min(rows[before].values())
            for group, asked in enumerate(groups):
                if row - before > 1 and asked.size <= played[row - 1].notes.size:
                    continue
                paused = before == 0 or gaps[before - 1] > PAUSE * median(gaps)
                start = leap - START if paused else leap
                ways = [rows[before].get(group - 1, none), least + (leap if group else start)]
                if group in rows[before]:
                    ways.append(rows[before][group] + REPEAT)
                here[group] = min(here.get(group, none), min(ways) + cost(heard, asked))
        go_over_missing(here)
        rows.append(here)
    return min(at + min(leap, sum(sizes[group + 1 :])) for group, at in rows[-1].items())


def a_take(rng: Random) -> tuple[list[Cluster], list[Notes]]:
    """Return a few groups out of a few kinds, and a playing of them full of faults."""
    size = rng.choice((1, 1, 2, 3))
    pool = [notes_of(rng.sample(range(60, 60 + rng.choice((6, 14))), size)) for _ in range(rng.randint(1, 6))]
    groups = [rng.choice(pool) for _ in range(rng.randint(1, 12))]
    onsets, time, at = [], 0.0, 0
    for _ in range(rng.randint(1, 14)):
        time += rng.choice((0.1, 0.3, 0.5, 1.2))
        at = rng.randrange(len(groups)) if rng.random() < 0.15 else min(at, len(groups) - 1)
        keys = list(keys_of(groups[at].keys))
        if rng.random() < 0.3:
            keys[rng.randrange(len(keys))] += rng.choice((1, -1, 12, 2))
        if len(keys) > 1 and rng.random() < 0.1:
            keys.pop()
        onsets += [(time + rng.uniform(0, 0.06), key) for key in keys]
        at += rng.random() < 0.9
    return clusters(sorted(onsets)), groups


@pytest.mark.parametrize("seed", range(30))
def test_the_band_finds_what_the_whole_table_finds(seed: int) -> None:
    rng = Random(seed)
    for _ in range(12):
        played, groups = a_take(rng)
        found = align(played, groups)
        assert found.exact
        assert found.cost == pytest.approx(whole_table(played, groups), abs=0.01)


def test_what_is_asked_dozens_of_times_is_aligned_near_by_and_that_is_said() -> None:
    """The condition of exactness does not hold; the cost found is no less than that of the whole table."""
    pattern = [notes_of((midi,)) for midi in (48, 55, 52, 55)]
    groups = pattern * 40
    keys = [next(iter(keys_of(group.keys))) for group in groups]
    rng = Random(3)
    onsets = [(0.3 * place, key + (rng.random() < 0.05)) for place, key in enumerate(keys[:60] + keys[20:])]
    played = clusters(onsets)

    found = align(played, groups)

    assert not found.exact
    assert whole_table(played, groups) <= found.cost <= whole_table(played, groups) + NOTE
    assert [step.group for step in found.steps if step.leap]


def test_the_band_stays_narrow_in_a_long_take_with_faults() -> None:
    rng = Random(1)
    groups = [notes_of(rng.sample(range(48, 84), 3)) for _ in range(1000)]
    onsets = [
        (0.5 * place + rng.gauss(0, 0.01), key + (rng.random() < 0.03))
        for place, group in enumerate(groups)
        for key in keys_of(group.keys)
        if rng.random() > 0.02
    ]
    steps = align(clusters(sorted(onsets)), groups).steps

    assert len({step.group for step in steps}) > 990
    assert [step.group for step in steps] == sorted(step.group for step in steps)


def test_a_chord_is_one_cluster_and_a_rolled_one_may_be_several() -> None:
    chord = [(0.0, 60), (0.03, 64), (0.06, 67)]
    rolled = [(0.0, 60), (0.08, 64), (0.16, 67)]

    assert len(clusters(chord)) == 1
    assert len(clusters(rolled)) == 3
    (step,), price, _ = align(clusters(rolled), [notes_of((60, 64, 67))])
    assert (step.first, step.after, price) == (0, 3, 0)


@pytest.mark.parametrize(
    ("played", "price"),
    [
        ((60, 64, 67), 0),
        ((72, 76, 79), NOTE // 2),  # an octave higher
        ((64, 67, 72), NOTE // 2),  # an inversion
        ((60, 64, 68), NOTE),  # a wrong note
        ((60, 64), NOTE),  # one missing
        ((60, 64, 67, 69), NOTE),  # one too many
    ],
)
def test_what_a_fault_costs(played: tuple[int, ...], price: int) -> None:
    assert cost(notes_of(played), notes_of((60, 64, 67))) == price
