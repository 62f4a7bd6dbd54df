import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tracks.drill.ladder import USUAL, by_marks, by_rungs, by_step, chosen
from tracks.theory.errors import RequestError

TEMPO = st.integers(20, 300)


def test_the_usual_ladder_climbs_from_60_to_100_by_8() -> None:
    assert USUAL == (60, 68, 76, 84, 92, 100)


def test_the_top_tempo_is_a_rung_where_the_step_misses_it() -> None:
    assert by_step(60, 95, 10) == (60, 70, 80, 90, 95)


def test_a_step_past_the_top_leaves_the_two_ends() -> None:
    assert by_step(60, 70, 50) == (60, 70)


def test_rungs_are_the_same_ratio_apart() -> None:
    assert by_rungs(50, 200, 3) == (50, 100, 200)


def test_rungs_that_round_to_one_tempo_are_one_rung() -> None:
    assert by_rungs(60, 62, 9) == (60, 61, 62)


def test_one_rung_will_do_where_both_ends_are_one_tempo() -> None:
    assert by_rungs(72, 72, 1) == by_rungs(72, 72, 5) == (72,)


def test_marks_between_two_tempos_keep_both_ends() -> None:
    assert by_marks(61, 75) == (61, 63, 66, 69, 72, 75)


def test_chosen_tempos_are_sorted_each_once() -> None:
    assert chosen([90, 60, 90, 72]) == (60, 72, 90)


@given(TEMPO, TEMPO, st.integers(1, 400), st.integers(2, 281))
def test_every_ladder_climbs_from_end_to_end_in_whole_tempos(
    one: int, other: int, step: int, rungs: int
) -> None:
    assume(one <= other)
    for ladder in (by_step(one, other, step), by_rungs(one, other, rungs), by_marks(one, other)):
        assert (ladder[0], ladder[-1]) == (one, other)
        assert list(ladder) == sorted(set(ladder))
        assert all(type(bpm) is int for bpm in ladder)


@given(TEMPO, TEMPO, st.integers(2, 281))
def test_ratio_ladders_have_no_more_rungs_than_asked_for(one: int, other: int, rungs: int) -> None:
    assume(one <= other)
    assert len(by_rungs(one, other, rungs)) <= rungs


@pytest.mark.parametrize(
    ("ladder", "message"),
    [
        (lambda: by_step(100, 60, 8), "from: 100 to 60 run down"),
        (lambda: by_marks(100, 60), "from: 100 to 60 run down"),
        (lambda: by_step(60, 100, 0), "step: 0"),
        (lambda: by_step(60, 100, -8), "step: -8"),
        (lambda: by_rungs(60, 100, 1), "rungs: 1 is outside 2"),
        (lambda: by_rungs(60, 100, 0), "rungs: 0"),
        (lambda: by_rungs(60, 60, 0), "rungs: 0 is outside 1"),
        (lambda: by_rungs(60, 100, 10**9), "rungs: 1000000000"),
        (lambda: by_step(19, 100, 8), "tempo 19"),
        (lambda: by_rungs(60, 301, 3), "tempo 301"),
        (lambda: chosen([]), "needs a tempo"),
        (lambda: chosen([60, 400]), "tempo 400"),
    ],
)
def test_a_wrong_ladder_is_refused_with_its_number(ladder, message: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(RequestError, match=message) as caught:
        ladder()

    assert "\n" not in str(caught.value)
