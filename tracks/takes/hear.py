"""Hearing: a take's tries, and what was heard in each of every group asked for.

Conventions
- A *try* begins where the player starts from the beginning; a *restart* is a leap back to anywhere else.
  What is played again counts as it was played last.
- Notes more than a beat before the first step of a try or after its last one are strays, and passed over.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from tracks.takes.align import Step, align
from tracks.takes.clusters import Cluster, clusters, notes_of
from tracks.takes.expected import Asked
from tracks.takes.heard import Heard, take_exact, take_neighbors, tell_apart, unplayed
from tracks.takes.settle import GROUPS_BACK, seconds_a_beat, settled
from tracks.takes.take import PlayedNote, Take

_NEAR = 2
"""Groups that may be missing at either end of a pass and still be placed by time."""
_PAUSE_BEATS = 1.5


@dataclass(frozen=True, slots=True)
class Try:
    """One way through from a start: what was heard of every group, and the groups that were gone back to."""

    heard: tuple[Heard, ...]
    restarts: tuple[int, ...] = ()
    strays: int = 0

    @property
    def faults(self) -> int:
        """Wrong, missing and extra notes; a wrong note and the one it stands for are one fault."""
        return sum(len(each.missing) + len(each.extra) for each in self.heard)


class Pass(NamedTuple):
    """Steps without a leap, and the clusters from `first` to before `after` that were played meanwhile."""

    steps: tuple[Step, ...]
    first: int
    after: int


def hear(take: Take, asked: Asked) -> tuple[Try, ...]:
    """Return the tries of a take, in order of playing; none where nothing of it is what was asked.

    Raises RequestError where the take cannot be aligned.
    """
    played, steps, _ = _alignment(take, asked)
    if not steps:
        return ()
    hearing = _Hearing(take, asked, played)
    tries: list[list[Pass]] = []
    for stretch in _passes(steps, played, [group.beat for group in asked.groups]):
        if not tries or stretch.steps[0].group == 0:
            tries.append([])
        tries[-1].append(stretch)
    return tuple(hearing.of(passes) for passes in tries)


def unlikeness(take: Take, asked: Asked) -> int:
    """Return the cost of the cheapest alignment: how unlike a take and what was asked are."""
    return _alignment(take, asked)[2]


def _alignment(take: Take, asked: Asked) -> tuple[list[Cluster], tuple[Step, ...], int]:
    played = clusters([(note.onset_s, note.midi) for note in take.notes])
    groups = [notes_of(note.pitch.midi for note in group.notes) for group in asked.groups]
    found = align(played, groups)
    return played, found.steps, found.cost


def _passes(steps: Sequence[Step], played: Sequence[Cluster], beats: Sequence[float]) -> Iterator[Pass]:
    """Yield the stretches without a leap.

    The first chord played again after a pause is a start; any other one played twice is not. Nor is a leap
    over a few groups, which were left out.
    """
    pause = _PAUSE_BEATS * seconds_a_beat(played, beats, steps)
    starts = [0]
    for place, (before, step) in enumerate(pairwise(steps), 1):
        waited = played[step.first].first_s - played[before.first].first_s
        ahead = step.group - before.group
        goes_on = 0 < ahead <= GROUPS_BACK or (ahead == 0 and (step.group or waited <= pause))
        if step.leap and not goes_on:
            starts.append(place)
    for start, end in pairwise([*starts, len(steps)]):
        first = steps[start].first if start else 0
        after = steps[end].first if end < len(steps) else len(played)
        yield Pass(tuple(steps[start:end]), first, after)


class _Hearing:
    """Tells the notes of one try apart."""

    def __init__(self, take: Take, asked: Asked, played: Sequence[Cluster]) -> None:
        self._notes, self._asked, self._played = take.notes, asked.groups, played
        self._groups = [notes_of(note.pitch.midi for note in group.notes) for group in asked.groups]
        self._beats = [group.beat for group in asked.groups]

    def of(self, passes: Sequence[Pass]) -> Try:
        """Return what was heard in the passes of a try, the first from the beginning."""
        heard: dict[int, Heard] = {}
        restarts: list[int] = []
        strays = 0
        for number, stretch in enumerate(passes):
            begun = stretch.steps[0].group
            if number and begun <= passes[number - 1].steps[-1].group:
                restarts.append(begun)
            bounds = self._bounds(stretch, number == 0, number == len(passes) - 1)
            steps = settled(self._played, self._groups, self._beats, stretch.steps, bounds)
            found, passed_over = self._told_apart(steps, stretch)
            for each in found.values():
                each.stretch = number
            strays += passed_over
            heard |= found
        every = (heard.get(place) or unplayed(group) for place, group in enumerate(self._asked))
        return Try(tuple(every), tuple(restarts), strays)

    def _bounds(self, stretch: Pass, first: bool, last: bool) -> tuple[int, int]:
        """Return the groups that a pass may begin and end with, a few unplayed ones included."""
        low, high = stretch.steps[0].group, stretch.steps[-1].group
        end = len(self._groups) - 1
        return (0 if first and low <= _NEAR else low), (end if last and end - high <= _NEAR else high)

    def _told_apart(self, steps: Sequence[Step], stretch: Pass) -> tuple[dict[int, Heard], int]:
        """Return what was heard of each group of a pass, and how many strays were passed over."""
        beat_s = seconds_a_beat(self._played, self._beats, steps)
        heard = {group: unplayed(self._asked[group]) for group in range(steps[0].group, steps[-1].group + 1)}
        left: dict[int, list[PlayedNote]] = {}
        for step in steps:
            left[step.group] = take_exact(heard[step.group], self._notes_in(step.first, step.after))
        passed_over = 0
        between: list[tuple[int, list[PlayedNote]]] = []
        begun, ended = self._played[steps[0].first].first_s, self._played[steps[-1].after - 1].last_s
        for cluster, group in self._between(steps, stretch):
            notes, when = self._notes_in(cluster, cluster + 1), self._played[cluster].first_s
            if max(begun - when, when - ended) > beat_s:
                passed_over += len(notes)
            else:
                between.append((group, notes))
        strays = [notes for _, notes in between]
        take_neighbors(heard, left, strays, beat_s)
        for group, notes in left.items():
            tell_apart(heard[group], notes)
        for group, notes in between:
            if notes in strays:
                heard[group].extra += notes
        return heard, passed_over

    def _notes_in(self, first: int, after: int) -> list[PlayedNote]:
        return [self._notes[place] for each in self._played[first:after] for place in each.places]

    def _between(self, steps: Sequence[Step], stretch: Pass) -> Iterator[tuple[int, int]]:
        """Yield every cluster of a pass that was played for no group, and the group it stands nearest to."""
        taken = {cluster for step in steps for cluster in range(step.first, step.after)}
        at = 0
        for cluster in range(stretch.first, stretch.after):
            if cluster in taken:
                continue
            while at < len(steps) - 1 and steps[at + 1].first <= cluster:
                at += 1
            when = self._played[cluster].first_s
            near = min(steps[at : at + 2], key=lambda step: abs(self._played[step.first].first_s - when))
            yield cluster, near.group
