from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.lessons.exam import exam
from tracks.lessons.level import Level, Requirement
from tracks.model import Heading
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS

WAYS = ({"start": "root"}, {"start": "first"})
LEVEL = Level(
    Heading(title="Lamp"),
    (
        Requirement("cadences", "I V7 I", KEY_SETS["all-major"], 48, 72, WAYS, {}),
        Requirement("songs", "axis", KEY_SETS["all-major"][:2], 48, 84, ({},), {"meter": "3/4"}),
    ),
)


@given(st.integers(0, 10**6), st.integers(1, 24))
def test_each_requirement_is_drawn_alike_and_no_key_again_before_all_have_come(seed: int, draws: int) -> None:
    drawn = exam(LEVEL, seed, draws)

    assert [draw.number for draw in drawn] == list(range(1, 2 * draws + 1))
    for requirement in LEVEL.requirements:
        keys = Counter(draw.key for draw in drawn if draw.requirement is requirement)
        assert keys.total() == draws
        assert max(keys.values()) <= -(-draws // len(requirement.keys))


def test_one_seed_draws_one_exam_and_another_another() -> None:
    assert exam(LEVEL, 7) == exam(LEVEL, 7)
    assert len({exam(LEVEL, seed)[0].key for seed in range(40)}) > 5


def test_a_draw_is_a_lessons_drill_at_the_required_tempo() -> None:
    songs = next(draw for draw in exam(LEVEL, 1) if draw.requirement.name == "songs")

    assert songs.fields == {
        "name": f"{songs.number:02d}-songs",
        "progression": "axis",
        "keys": [songs.key.name],
        "meter": "3/4",
        "tempos": [84],
        "mixes": ["hands-together"],
    }


def test_an_exam_draws_one_to_twenty_four() -> None:
    for draws in (0, 25):
        with pytest.raises(RequestError, match=f"draws: {draws} is outside 1 to 24"):
            exam(LEVEL, 1, draws)
