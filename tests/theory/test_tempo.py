import pytest

from tracks.theory.errors import RequestError
from tracks.theory.meter import Meter
from tracks.theory.tempo import micros_per_quarter, parse_bpm, seconds

FOUR, SIX_EIGHT = Meter(4, 4), Meter(6, 8)


@pytest.mark.parametrize(
    ("text", "meter", "bpm"),
    [
        ("72", FOUR, 72),
        ("half=60", FOUR, 120),
        ("minim=60", FOUR, 120),
        ("dotted crotchet = 60", Meter(6, 8), 60),
        ("quarter=90", SIX_EIGHT, 60),
        ("dotted-quarter=63", SIX_EIGHT, 63),
        ("eighth=144", FOUR, 72),
        ("half=60", Meter(2, 2), 60),
        ("60bpm", FOUR, 60),
        ("60 BPM", FOUR, 60),
        ("quarter = 60", FOUR, 60),
        ("dotted quarter=60", SIX_EIGHT, 60),
    ],
)
def test_tempo_is_counted_in_felt_beats(text: str, meter: Meter, bpm: int) -> None:
    assert parse_bpm(text, meter) == bpm


@pytest.mark.parametrize("text", ["0", "-60", "19", "301", "half=200"])
def test_tempo_outside_the_range_is_refused(text: str) -> None:
    with pytest.raises(RequestError, match="outside 20 to 300"):
        parse_bpm(text, FOUR)


@pytest.mark.parametrize("text", ["", "fast", "60bmp", "bpm", "half=", "=60", "tone=60"])
def test_what_is_no_tempo_is_refused(text: str) -> None:
    with pytest.raises(RequestError, match="is no tempo"):
        parse_bpm(text, FOUR)


def test_tempo_between_whole_felt_beats_is_refused_with_what_it_is() -> None:
    with pytest.raises(RequestError, match=r"66\.67 felt beats"):
        parse_bpm("quarter=100", SIX_EIGHT)


def test_felt_beat_of_compound_time_is_a_quarter_and_a_half() -> None:
    assert micros_per_quarter(60, SIX_EIGHT) == 666_667
    assert seconds(SIX_EIGHT.bar, 60, SIX_EIGHT) == 2.0
