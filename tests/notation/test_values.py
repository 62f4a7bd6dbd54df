"""A length is cut into note values that fill it exactly and let the reader see the beats."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.notation.values import Tuplet, cut, cut_in_tuplet, quantized, tuplet_of
from tracks.theory.meter import QUARTER, Meter

METERS = tuple(
    map(Meter.parse, "2/4 3/4 4/4 5/4 6/4 7/4 3/8 5/8 6/8 7/8 8/8 9/8 12/8 2/2 3/2 4/2 6/16 12/16".split())
)
NAMES = {8: "breve", 4: "whole", 2: "half", 1: "quarter", 0.5: "eighth", 0.25: "16th", 0.125: "32nd"}


def written(meter: str, start: float, length: float, is_rest: bool = False) -> str:
    """The values of a stretch, both in quarter notes, each with its dots."""
    pieces = cut(round(start * QUARTER), round((start + length) * QUARTER), Meter.parse(meter), is_rest)
    return " ".join(NAMES[value.plain / QUARTER] + "." * value.dots for _, value in pieces)


# Convention throughout.


@pytest.mark.parametrize(
    ("meter", "start", "length", "values"),
    [
        ("4/4", 0, 4, "whole"),
        ("4/4", 0, 3, "half."),
        ("4/4", 1, 2, "half"),
        ("4/4", 1, 3, "quarter half"),
        ("4/4", 0.5, 1, "quarter"),
        ("4/4", 1.5, 1, "eighth eighth"),
        ("4/4", 0, 1.5, "quarter."),
        ("4/4", 0, 2.5, "half eighth"),
        ("4/4", 0.75, 0.5, "16th 16th"),
        ("3/4", 0, 3, "half."),
        ("3/4", 1, 2, "half"),
        ("2/4", 0, 2, "half"),
        ("5/4", 0, 5, "half. half"),
        ("7/8", 0, 3.5, "half quarter."),
        ("6/8", 0, 3, "half."),
        ("6/8", 0, 1.5, "quarter."),
        ("6/8", 1, 1, "eighth eighth"),
        ("9/8", 0, 4.5, "half. quarter."),
        ("12/8", 0, 6, "whole."),
        ("2/2", 0, 4, "whole"),
        ("4/2", 0, 8, "breve"),
    ],
)
def test_note_is_written_as_a_reader_expects(meter: str, start: float, length: float, values: str) -> None:
    assert written(meter, start, length) == values


@pytest.mark.parametrize(
    ("meter", "start", "length", "values"),
    [
        ("4/4", 0, 2, "half"),
        ("4/4", 1, 2, "quarter quarter"),
        ("4/4", 0, 1.5, "quarter eighth"),
        ("3/4", 1, 2, "quarter quarter"),
        ("6/8", 0, 1.5, "quarter."),
        ("6/8", 0.5, 1, "eighth eighth"),
    ],
)
def test_rest_shows_the_beats(meter: str, start: float, length: float, values: str) -> None:
    assert written(meter, start, length, is_rest=True) == values


@given(st.sampled_from(METERS), st.data())
def test_pieces_fill_the_stretch_without_a_gap(meter: Meter, data: st.DataObject) -> None:
    grid = meter.beat // (12 if meter.is_compound else 8)
    places = st.integers(0, meter.bar // grid)
    start, end = sorted((data.draw(places) * grid, data.draw(places) * grid))
    for is_rest in (False, True):
        now = start
        for at, value in cut(start, end, meter, is_rest):
            assert at == now
            now += value.length
        assert now == end


@pytest.mark.parametrize(("parts", "normal"), [(3, 2), (6, 2), (5, 4), (7, 4)])
def test_beat_in_odd_parts_is_a_tuplet(parts: int, normal: int) -> None:
    meter = Meter.parse("4/4")
    positions = {QUARTER + n * QUARTER // parts for n in range(parts)}

    tuplet = tuplet_of(QUARTER, positions, meter)

    assert tuplet == Tuplet(QUARTER, QUARTER, 3 if parts == 6 else parts, normal)
    assert tuplet_of(0, positions, meter) is None
    pieces = list(cut_in_tuplet(0, QUARTER // parts, tuplet))
    assert [value.length for _, value in pieces] == [QUARTER // parts]


def test_compound_time_needs_no_tuplet_for_its_thirds() -> None:
    meter = Meter.parse("6/8")
    assert tuplet_of(0, {meter.beat // 3}, meter) is None


@given(st.sampled_from(METERS), st.lists(st.integers(0, 40 * QUARTER), max_size=12))
def test_settling_moves_little_and_only_once(meter: Meter, moments: list[int]) -> None:
    places = quantized(moments, meter)

    for moment, place in places.items():
        assert abs(place - moment) <= meter.beat // 16
    assert all(place == again for place, again in quantized(places.values(), meter).items())


@given(st.sampled_from([meter for meter in METERS if not meter.is_compound]), st.data())
def test_whole_parts_of_a_beat_are_not_moved(meter: Meter, data: st.DataObject) -> None:
    parts = data.draw(st.sampled_from([2, 3, 4, 5, 6, 7, 8]))
    moments = [n * (meter.beat // parts) for n in data.draw(st.lists(st.integers(0, 30)))]
    assert all(moment == place for moment, place in quantized(moments, meter).items())


def test_thirds_and_quarters_in_one_beat_go_to_plain_values() -> None:
    moments = [0, QUARTER // 4, QUARTER // 3, QUARTER]
    places = quantized(moments, Meter.parse("4/4"))
    assert [places[moment] for moment in moments] == [0, QUARTER // 4, 3 * QUARTER // 8, QUARTER]
