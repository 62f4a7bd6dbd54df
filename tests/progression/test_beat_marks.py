import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.progression.beat_marks import beat_length, is_beat_mark, mark_of, time_of
from tracks.theory.errors import RequestError
from tracks.theory.meter import QUARTER, Meter

meters = st.sampled_from(["4/4", "3/4", "2/2", "6/8", "9/8", "12/8", "3/8", "5/4", "7/8", "6/4"]).map(
    Meter.parse
)


@given(meters, st.integers(0, 11), st.sampled_from([1, 2, 3, 4, 5, 6, 8, 12, 16]), st.integers(0, 15))
def test_mark_reads_back_to_its_time(meter: Meter, whole: int, parts: int, part: int) -> None:
    beat = beat_length(meter)
    time = whole * beat + part % parts * beat // parts

    assert time_of(mark_of(time, beat), beat) == time


@pytest.mark.parametrize(("word", "is_mark"), [("b2", True), ("b2.5", True), ("b", False), ("bVI", False)])
def test_what_is_a_mark(word: str, is_mark: bool) -> None:
    assert is_beat_mark(word) is is_mark


def test_septuplet_has_no_mark() -> None:
    with pytest.raises(RequestError, match="1/7 of a beat after beat 2"):
        mark_of(QUARTER + QUARTER // 7, QUARTER)
