"""A term: a level's requirements spread over weeks, climbing to the tempo that is asked for.

Conventions
- Weeks count from 1. A *meeting* is a week in which a key is played for one requirement, counted from 0.
- New keys come in the order in which the requirement lists them, over the first three weeks in five.
- A key comes again one, three and seven weeks after it was new, then every seventh week, and once more in
  the last week with every other: the gaps double, as spaced revision has them (convention).
- Each meeting begins at the tempo where the last one ended and climbs on, in another of the requirement's
  ways each time. The last meetings, one for every way, all reach the goal, and one rung above it, to have
  something in hand. Where a key has too few for that it still climbs in two; `short_of_goal` tells the rest.
- A key that the student has played before is no new one: it is *kept* up from week 1, on from the slowest
  tempo that was reached in such a key.
- Hands go first alone, then with the track, then against it: a key's first meeting has the hands in turn,
  the last leaves each hand to the player.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta

from tracks.drill import ladder
from tracks.drill.drill import Climb, Mix
from tracks.lessons.level import Level, Requirement
from tracks.lessons.progress import Played, reached
from tracks.model import Heading
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.tempo import FASTEST, MARKS

MOST_WEEKS = 52
_GAPS = (1, 2, 4)
_LAST_GAP = 7
_RUNGS_A_MEETING = 2
_FEWEST_CLIMBS = 2
"""A climb from the first tempo to the goal takes two meetings at least, where there are two."""

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
    known: bool = False

    @property
    def is_new(self) -> bool:
        """Whether the keys are played for the first time."""
        return self.meeting == 0 and not self.known

    @property
    def name(self) -> str:
        """The drill's name: the requirement's, and which meeting it is."""
        number = f"kept-{self.meeting + 1}" if self.known else f"again-{self.meeting}"
        return f"{self.requirement.name}-{'new' if self.is_new else number}"

    @property
    def fields(self) -> dict[str, object]:
        """The task as a lesson's drill."""
        when = "first" if self.is_new else "last" if self.meeting == self.meetings - 1 else "middle"
        return {
            "name": self.name,
            "progression": self.requirement.progression,
            "keys": [self.requirement.note_names.printed(key.name) for key in self.keys],
            **self.requirement.fields,
            **self.way,
            "tempos": list(self.tempos),
            "mixes": [mix.value for mix in _MIXES[when]],
            **({"climb": Climb.HANDS_IN_TURN.value} if self.is_new and len(self.tempos) > 1 else {}),
        }


@dataclass(frozen=True, slots=True)
class Short:
    """Keys that a term does not bring to the goal in one way, and the tempo reached, None if never met."""

    requirement: Requirement
    way: Mapping[str, object]
    keys: tuple[Key, ...]
    reached: int | None


@dataclass(frozen=True, slots=True)
class Week:
    """A week's tasks, new keys first."""

    number: int
    tasks: tuple[Task, ...]


def term(level: Level, weeks: int, played: Iterable[Played] = ()) -> tuple[Week, ...]:
    """Return the weeks of a term on a level; raise RequestError outside 1 to 52 weeks.

    It goes on from what the level's student has played before.
    """
    if not 1 <= weeks <= MOST_WEEKS:
        raise RequestError(f"{weeks} is outside 1 to {MOST_WEEKS}", place="weeks")
    planned: dict[int, list[Task]] = {number: [] for number in range(1, weeks + 1)}
    played = tuple(played)
    for requirement in level.requirements:
        for number, task in _tasks(requirement, weeks, _reached(level, requirement, played)):
            planned[number].append(task)
    return tuple(
        Week(number, tuple(sorted(tasks, key=lambda task: not task.is_new)))
        for number, tasks in planned.items()
    )


def short_of_goal(level: Level, weeks: Iterable[Week]) -> tuple[Short, ...]:
    """Return what a term leaves below a requirement's goal: every way to play it, and the keys in it."""
    best: dict[tuple[str, int, Key], int] = {}
    for task in (task for week in weeks for task in week.tasks):
        for key in task.keys:
            at = (task.requirement.name, task.requirement.ways.index(task.way), key)
            best[at] = max(task.tempos[-1], best.get(at, 0))
    short: dict[tuple[str, int, int | None], Short] = {}
    for requirement in level.requirements:
        for number, way in enumerate(requirement.ways):
            for key in requirement.keys:
                reached = best.get((requirement.name, number, key))
                if reached is None or reached < requirement.goal:
                    alike = (requirement.name, number, reached)
                    keys = (*short[alike].keys, key) if alike in short else (key,)
                    short[alike] = Short(requirement, way, keys, reached)
    return tuple(short.values())


def meetings(new: int, weeks: int) -> tuple[int, ...]:
    """Return the weeks in which a key is played that is new in week `new` of a term."""
    found, gaps = [new], iter(_GAPS)
    while (after := found[-1] + next(gaps, _LAST_GAP)) < weeks:
        found.append(after)
    return (*found, weeks) if found[-1] < weeks else tuple(found)


def week_heading(level: Level, week: Week, weeks: int) -> Heading:
    """Return the heading of a week's lesson: seven days after that of the week before, due seven later."""
    first = level.heading.date
    day = first + timedelta(days=7 * (week.number - 1)) if first else None
    return replace(
        level.heading,
        title=f"{level.heading.title}, week {week.number} of {weeks}",
        date=day,
        due=day + timedelta(days=7) if day else level.heading.due,
    )


def _reached(level: Level, requirement: Requirement, played: tuple[Played, ...]) -> dict[Key, int]:
    """Return the tempo reached in every key of a requirement that the student has played before."""
    is_drill = re.compile(rf"{re.escape(requirement.name)}(-new|-(again|kept)-\d+)?").fullmatch
    at = {key: reached(played, level.heading.student, is_drill, key) for key in requirement.keys}
    return {key: bpm for key, bpm in at.items() if bpm is not None}


def _tasks(requirement: Requirement, weeks: int, known: Mapping[Key, int]) -> Iterator[tuple[int, Task]]:
    """Yield each week's tasks; keys whose meetings are alike share one, as do those that are known."""
    together: dict[tuple[int, int, int, bool], list[Key]] = {}
    unknown = tuple(key for key in requirement.keys if key not in known)
    for key, new in (*((key, 1) for key in known), *_new_weeks(unknown, weeks)):
        when = meetings(new, weeks)
        for meeting, week in enumerate(when):
            together.setdefault((week, meeting, len(when), key in known), []).append(key)
    for (week, meeting, count, kept), keys in sorted(together.items(), key=lambda item: item[0]):
        first = min(known[key] for key in keys) if kept else requirement.first
        climbs = _climbs(count, len(requirement.ways))
        tempos = _tempos(min(first, requirement.goal), requirement.goal, meeting, climbs)
        way = requirement.ways[meeting % len(requirement.ways)]
        yield week, Task(requirement, tuple(keys), meeting, count, tempos, way, kept)


def _new_weeks(keys: tuple[Key, ...], weeks: int) -> Iterator[tuple[Key, int]]:
    """Yield each key and the week in which it is new, spread evenly over the first three weeks in five."""
    opening = max(weeks * 3 // 5, 1)
    for place, key in enumerate(keys):
        yield key, 1 + place * opening // max(len(keys), opening)


def _climbs(meetings: int, ways: int) -> int:
    """Return in how many meetings a key climbs to the goal; each after that plays another way at the goal."""
    return max(meetings - ways + 1, min(_FEWEST_CLIMBS, meetings))


def _tempos(first: int, goal: int, meeting: int, climbs: int) -> tuple[int, ...]:
    """Return a meeting's share of the ladder, from where the one before ended, at the goal one more."""
    rungs = ladder.by_rungs(first, goal, _RUNGS_A_MEETING * climbs) if first < goal else (goal,)
    place = min(meeting, climbs - 1)
    start, end = place * len(rungs) // climbs, (place + 1) * len(rungs) // climbs
    share = rungs[max(start - 1, 0) : max(end, 1)]
    return share if place < climbs - 1 else (*share, _above(goal))


def _above(goal: int) -> int:
    """Return the metronome's next mark above a tempo, or the fastest tempo."""
    return next((mark for mark in MARKS if mark > goal), min(goal + 8, FASTEST))
