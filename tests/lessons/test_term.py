from dataclasses import replace
from datetime import date
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.lessons.level import Level, Requirement
from tracks.lessons.progress import Played
from tracks.lessons.term import Task, meetings, short_of_goal, term, week_heading
from tracks.model import Heading
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key

WAYS = ({"start": "root"}, {"start": "first"})
REQUIREMENT = Requirement("cadences", "I V7 I", KEY_SETS["all-major"], 48, 72, WAYS, {"meter": "3/4"})

levels = st.builds(
    Requirement,
    st.just("cadences"),
    st.just("I V7 I"),
    st.lists(st.sampled_from(KEY_SETS["all-30"]), min_size=1, unique=True).map(tuple),
    st.integers(20, 100),
    st.integers(101, 300),
    st.just(WAYS),
    st.just({}),
).map(lambda requirement: Level(Heading(title="Lamp"), (requirement,)))


def tasks_of(level: Level, weeks: int, key: Key, played: tuple[Played, ...] = ()) -> list[tuple[int, Task]]:
    return [(w.number, task) for w in term(level, weeks, played) for task in w.tasks if key in task.keys]


def test_keys_come_again_at_gaps_that_double_and_all_in_the_last_week() -> None:
    assert meetings(1, 30) == (1, 2, 4, 8, 15, 22, 29, 30)
    assert meetings(1, 10) == (1, 2, 4, 8, 10)
    assert meetings(6, 10) == (6, 7, 9, 10)
    assert meetings(9, 10) == (9, 10)
    assert meetings(1, 1) == (1,)


@given(levels, st.integers(1, 52))
def test_every_key_climbs_from_the_first_tempo_to_a_rung_above_the_goal(level: Level, weeks: int) -> None:
    (requirement,) = level.requirements
    for key in requirement.keys:
        met = tasks_of(level, weeks, key)
        assert [task.meeting for _, task in met] == list(range(len(met)))
        assert tuple(number for number, _ in met) == meetings(met[0][0], weeks)
        assert met[-1][0] == weeks
        assert met[0][1].tempos[0] == requirement.first
        assert requirement.goal in met[-1][1].tempos
        assert max(met[-1][1].tempos) > requirement.goal or requirement.goal == 300
        for (_, before), (_, after) in pairwise(met):
            assert after.tempos[0] <= before.tempos[-1] <= after.tempos[-1]
        for _, task in met[: -len(WAYS)]:
            assert max(task.tempos) <= requirement.goal


@given(levels, st.integers(1, 52))
def test_every_way_reaches_the_goal_before_the_exam_or_is_told(level: Level, weeks: int) -> None:
    (requirement,) = level.requirements
    plan = term(level, weeks)
    told = {
        (key, each.way["start"]): each.reached for each in short_of_goal(level, plan) for key in each.keys
    }
    for key, way in product(requirement.keys, WAYS):
        met = [task.tempos[-1] for _, task in tasks_of(level, weeks, key) if task.way == way]
        if not met or max(met) < requirement.goal:
            assert told.pop((key, way["start"])) == max(met, default=None)
    assert not told


@pytest.mark.parametrize(("weeks", "left"), [(1, 1), (2, 1), (5, 0), (10, 0), (52, 0)])
def test_two_starts_reach_the_goal_where_the_weeks_allow(weeks: int, left: int) -> None:
    level = Level(Heading(title="Lamp"), (replace(REQUIREMENT, keys=REQUIREMENT.keys[:5]),))

    assert len({str(each.way) for each in short_of_goal(level, term(level, weeks))}) == left


@given(levels, st.integers(1, 52))
def test_new_keys_come_in_order_and_no_week_has_many_more_than_another(level: Level, weeks: int) -> None:
    (requirement,) = level.requirements
    new = [[key for t in week.tasks if t.is_new for key in t.keys] for week in term(level, weeks)]

    assert tuple(key for keys in new for key in keys) == requirement.keys
    opening = new[: max(weeks * 3 // 5, 1)]
    assert max(map(len, opening)) - min(map(len, opening)) <= 1
    assert not any(new[len(opening) :])


@given(levels, st.integers(1, 52))
def test_no_two_drills_of_a_week_share_a_name(level: Level, weeks: int) -> None:
    for week in term(level, weeks):
        names = [task.name for task in week.tasks]
        assert len(names) == len(set(names))


def test_ways_take_turns_from_meeting_to_meeting() -> None:
    met = tasks_of(Level(Heading(title="Lamp"), (REQUIREMENT,)), 10, REQUIREMENT.keys[0])

    assert [task.way["start"] for _, task in met] == ["root", "first", "root", "first", "root"]


def test_a_task_is_a_lessons_drill() -> None:
    (_, first), *_, (_, last) = tasks_of(
        Level(Heading(title="Lamp"), (REQUIREMENT,)), 10, REQUIREMENT.keys[0]
    )

    assert first.fields == {
        "name": "cadences-new",
        "progression": "I V7 I",
        "keys": ["C major", "G major"],
        "meter": "3/4",
        "start": "root",
        "tempos": [48, 51],
        "mixes": ["right-alone", "left-alone", "hands-together"],
        "climb": "hands-in-turn",
    }
    assert last.fields["tempos"] == [64, 68, 72, 76]
    assert last.fields["mixes"] == ["hands-together", "you-play-right", "you-play-left"]


@pytest.mark.parametrize("weeks", [0, 53, -1])
def test_a_term_has_one_to_fifty_two_weeks(weeks: int) -> None:
    with pytest.raises(RequestError, match=f"weeks: {weeks} is outside 1 to 52"):
        term(Level(Heading(title="Lamp"), (REQUIREMENT,)), weeks)


def test_a_term_goes_on_from_where_the_student_stands() -> None:
    key, other = REQUIREMENT.keys[:2]
    level = Level(Heading(student="Wren", title="Lamp"), (REQUIREMENT,))
    at = (REQUIREMENT.first + REQUIREMENT.goal) // 2
    played = Played(date(2026, 3, 2), "Wren", f"{REQUIREMENT.name}-new", key, None, at, True)

    known = tasks_of(Level(level.heading, (REQUIREMENT,)), 10, key, (played,))
    unknown = tasks_of(level, 10, other, (played,))

    assert known[0][0] == 1
    assert not any(task.is_new for _, task in known)
    assert known[0][1].tempos[0] == at
    assert known[-1][1].tempos[-1] > REQUIREMENT.goal
    assert unknown[0][1].is_new
    for week in term(level, 10, (played,)):
        names = [task.name for task in week.tasks]
        assert len(set(names)) == len(names)


def test_each_week_has_its_day_and_is_due_a_week_later() -> None:
    level = Level(Heading(title="Lamp", date=date(2026, 3, 2)), (REQUIREMENT,))
    _, second, *_ = term(level, 3)

    heading = week_heading(level, second, 3)

    assert heading.title == "Lamp, week 2 of 3"
    assert (heading.date, heading.due) == (date(2026, 3, 9), date(2026, 3, 16))
