import pytest

from tracks.theory.errors import RequestError
from tracks.theory.meter import QUARTER, Meter


@pytest.mark.parametrize(
    ("text", "beats", "beat"),
    [
        ("4/4", 4, QUARTER),
        ("3/4", 3, QUARTER),
        ("2/2", 2, 2 * QUARTER),
        ("6/8", 2, 3 * QUARTER // 2),
        ("12/8", 4, 3 * QUARTER // 2),
        ("9/16", 3, 3 * QUARTER // 4),
        ("6/4", 6, QUARTER),
        ("3/8", 3, QUARTER // 2),
        ("5/4", 5, QUARTER),
    ],
)
def test_felt_beats_of_a_bar(text: str, beats: int, beat: int) -> None:
    meter = Meter.parse(text)

    assert (meter.beats, meter.beat, meter.bar) == (beats, beat, beats * beat)
    assert str(meter) == text


@pytest.mark.parametrize(("sign", "text"), [("C", "4/4"), ("C|", "2/2"), (" C ", "4/4")])
def test_printed_signs_of_common_and_cut_time_are_read(sign: str, text: str) -> None:
    assert str(Meter.parse(sign)) == text


@pytest.mark.parametrize("parts", [2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 15, 16, 32])
def test_every_tuplet_of_a_quarter_falls_on_whole_ticks(parts: int) -> None:
    assert QUARTER % parts == 0


@pytest.mark.parametrize("text", ["", "4", "4/3", "0/4", "33/4", "4/4/4", "-3/4", "a/b", "4/0", "c", "D"])
def test_what_cannot_be_counted_is_refused_with_the_mend(text: str) -> None:
    with pytest.raises(RequestError, match="like 4/4"):
        Meter.parse(text)
