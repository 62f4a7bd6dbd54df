"""The lead-in on the drums divides a beat as its band does."""

from fractions import Fraction

import pytest

from tracks.drill.drill import Drill
from tracks.model import Role
from tracks.patterns.drum_kit import SIDE_STICK
from tracks.patterns.feel import swing_ratio
from tracks.practice.played import played_in_each_key
from tracks.style.registry import load
from tracks.theory.key import Key
from tracks.theory.meter import Meter

THIRDS = float(Fraction(2, 3))


def off_beats(style: str, meter: str, bpm: int, feel: bool | None = None) -> set[float]:
    """Where in its beats the fill of a lead-in strikes between them."""
    found = load(style)
    drill = Drill(
        "heron", "ii7 Vdom7 Imaj7", (Key.parse("F"),), Meter.parse(meter), (bpm,), style,
        texture=found.info.textures[0], lead_in=True, feel=feel,
    )  # fmt: skip
    piece = next(next(iter(played_in_each_key(drill, found))).jobs()).piece
    click = next(part for part in piece.parts if part.role is Role.CLICK)
    fill = [hit.start for hit in click.hits if hit.key != SIDE_STICK and hit.start < piece.music_from]
    places = {round(at % piece.meter.beat / piece.meter.beat, 2) for at in fill}
    return places - {0.0}


@pytest.mark.parametrize(
    ("style", "meter", "place"),
    [
        ("rock", "4/4", 0.5),
        ("bossa-nova", "4/4", 0.5),
        ("shuffle", "4/4", round(THIRDS, 2)),
        ("boogie", "4/4", round(THIRDS, 2)),
    ],
)
def test_a_lead_in_is_as_even_or_as_long_and_short_as_its_band(style: str, meter: str, place: float) -> None:
    assert off_beats(style, meter, 120) == {place}


@pytest.mark.parametrize(("style", "meter"), [("swing", "4/4"), ("swing", "3/4"), ("jazz-waltz", "3/4")])
@pytest.mark.parametrize("bpm", [140, 200, 300])
def test_a_lead_in_swings_with_the_tempo_as_the_drummer_does(style: str, meter: str, bpm: int) -> None:
    ratio = swing_ratio(bpm)

    assert off_beats(style, meter, bpm) == {round(ratio / (ratio + 1), 2)}


def test_a_swing_that_is_played_as_written_is_led_in_even() -> None:
    assert off_beats("swing", "4/4", 140, feel=False) == {0.5}
