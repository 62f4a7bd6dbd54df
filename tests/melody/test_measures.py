"""The measuring instrument itself, on tunes whose counts are known."""

from airs import Air
from measures import MEASURES, habits

from tracks.theory.meter import QUARTER

FRERE = (60, 62, 64, 60)


def air(pitches: tuple[int, ...], pickup: int = 0) -> Air:
    """A tune in quarters in 4/4."""
    notes = tuple((n * QUARTER, QUARTER, midi) for n, midi in enumerate(pitches))
    return Air("test", "test", "4/4", 4 * QUARTER, pickup, notes)


def test_a_bar_played_twice_returns() -> None:
    round_song = air(FRERE + FRERE)

    assert MEASURES["bars that return, %"](round_song) == 50
    # 60-62-64-60 stands twice; the three figures between are each there once.
    assert MEASURES["four-note figures that recur, %"](round_song) == 40
    assert MEASURES["repeated notes, %"](round_song) == 100 / 7
    assert MEASURES["bars attacked on 1, %"](round_song) == 100


def test_a_note_over_the_bar_line_is_held_and_its_bar_not_attacked() -> None:
    tied = Air("t", "t", "4/4", 4 * QUARTER, 0, ((0, 3 * QUARTER, 60), (3 * QUARTER, 5 * QUARTER, 62),
                                                 (8 * QUARTER, QUARTER, 64)))  # fmt: skip

    assert MEASURES["bar lines held across, %"](tied) == 50
    assert round(MEASURES["bars attacked on 1, %"](tied)) == 67


def test_habits_are_shares_of_pairs() -> None:
    shares = habits(air(FRERE))

    assert shares["i2,2"] == shares["i2,-4"] == 0.5
    assert sum(share for name, share in shares.items() if name.startswith("r")) == 1
