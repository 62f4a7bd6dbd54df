"""A term: a level's requirements spread over weeks, climbing to the tempo that is asked for.

Conventions
- Weeks count from 1. A *meeting* is a week in which a key is played for one requirement, counted from 0.
- New keys come in the order in which the requirement lists them, over the first three weeks in five.
- A key comes again one, three and seven weeks after it was new, then every seventh week, and once more in
  the last week with every other: the gaps double, as spaced revision has them (convention).
- Each meeting begins at the tempo where the last one ended and climbs on, so that every key reaches the goal
  in the last week, and one rung above it, to have something in hand.
- Hands go first alone, then with the track, then against it: a key's first meeting has the hands in turn,
  the last leaves each hand to the player.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from tracks.drill import ladder
from tracks.drill.drill import Climb, Mix
from tracks.lessons.level import Level, Requirement
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.tempo import FASTEST, MARKS

MOST_WEEKS = 52
_GAPS = (1, 2, 4)
_LAST_GAP = 7
_RUNGS_A_MEETING = 2

_MIXES = {
    "first": (Mix.RIGHT_ALONE, Mix.LEFT_ALONE, Mix.HANDS_TOGETHER),
    "middle": (Mix.HANDS_TOGETHER, Mix.YOU_PLAY_RIGHT, Mix.YOU_PLAY_LEFT),
    "last": (Mix.HANDS_TOGETHER, Mix.YOU_PLAY_RIGHT, Mix.YOU_PLAY_LEFT),
}


@dataclass(frozen=True, slots=True)
class Task:
    """What to practice of a requirement in a week: keys that are met for the same time, at their tempos."""

    requirement: Requirement
    keys: tuple[Key, ...]
    meeting: int
    meetings: int
    tempos: tuple[int, ...]
    way: Mapping[str, object]

    @property
    def is_new(self) -> bool:
        """Whether the keys are played for the first time."""
        return self.meeting == 0

    @property
    def name(self) -> str:
        """The drill's name: the requirement's, and which meeting it is."""
        return f"{self.requirement.name}-{'new' if self.is_new else f'again-{self.meeting}'}"

    @property
    def fields(self) -> dict[str, object]:
        """The task as a lesson's drill."""
        when = "first" if self.is_new else "last" if self.meeting == self.meetings - 1 else "middle"
        return {
            "name": self.name,
            "progression": self.requirement.progression,
            "keys": [key.name for key in self.keys],
            **self.requirement.fields,
            **self.way,
            "tempos": list(self.tempos),
            "mixes": [mix.value for mix in _MIXES[when]],
            **({"climb": Climb.HANDS_IN_TURN.value} if self.is_new and len(self.tempos) > 1 else {}),
        }


@dataclass(frozen=True, slots=True)
class Week:
    """A week's tasks, new keys first."""

    number: int
    tasks: tuple[Task, ...]


def term(level: Level, weeks: int) -> tuple[Week, ...]:
    """Return the weeks of a term on a level; raise RequestError outside 1 to 52 weeks."""
    if not 1 <= weeks <= MOST_WEEKS:
        raise RequestError(f"weeks {weeks} is outside 1 to {MOST_WEEKS}")
    planned: dict[int, list[Task]] = {number: [] for number in range(1, weeks + 1)}
    for requirement in level.requirements:
        for number, task in _tasks(requirement, weeks):
            planned[number].append(task)
    return tuple(
        Week(number, tuple(sorted(tasks, key=lambda task: not task.is_new)))
        for number, tasks in planned.items()
    )


def meetings(new: int, weeks: int) -> tuple[int, ...]:
    """Return the weeks in which a key is played that is new in week `new` of a term."""
    found, gaps = [new], iter(_GAPS)
    while (after := found[-1] + next(gaps, _LAST_GAP)) < weeks:
        found.append(after)
    return (*found, weeks) if found[-1] < weeks else tuple(found)


def _tasks(requirement: Requirement, weeks: int) -> Iterator[tuple[int, Task]]:
    """Yield each week's tasks; keys whose meetings are alike share one."""
    together: dict[tuple[int, int, int], list[Key]] = {}
    for key, new in _new_weeks(requirement.keys, weeks):
        when = meetings(new, weeks)
        for meeting, week in enumerate(when):
            together.setdefault((week, meeting, len(when)), []).append(key)
    for (week, meeting, count), keys in sorted(together.items(), key=lambda item: item[0]):
        tempos = _tempos(requirement, meeting, count)
        way = requirement.ways[meeting % len(requirement.ways)]
        yield week, Task(requirement, tuple(keys), meeting, count, tempos, way)


def _new_weeks(keys: tuple[Key, ...], weeks: int) -> Iterator[tuple[Key, int]]:
    """Yield each key and the week in which it is new, spread evenly over the first three weeks in five."""
    opening = max(weeks * 3 // 5, 1)
    for place, key in enumerate(keys):
        yield key, 1 + place * opening // max(len(keys), opening)


def _tempos(requirement: Requirement, meeting: int, count: int) -> tuple[int, ...]:
    """Return a meeting's share of the ladder, from where the one before ended; the last goes a rung above."""
    rungs = ladder.by_rungs(requirement.first, requirement.goal, _RUNGS_A_MEETING * count)
    start, end = meeting * len(rungs) // count, (meeting + 1) * len(rungs) // count
    share = rungs[max(start - 1, 0) : max(end, 1)]
    return share if meeting < count - 1 else (*share, _above(requirement.goal))


def _above(goal: int) -> int:
    """Return the metronome's next mark above a tempo, or the fastest tempo."""
    return next((mark for mark in MARKS if mark > goal), min(goal + 8, FASTEST))
