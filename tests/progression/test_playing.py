"""Bars as notation programs write them, and the beats that are played of them."""

import pytest
from score_pages import Bar, score_xml

from tracks.progression.lead_sheet import LeadSheet, excerpt
from tracks.progression.musicxml import read_musicxml
from tracks.progression.playing import progression
from tracks.progression.romantext import parse_romantext
from tracks.theory.errors import RequestError
from tracks.theory.meter import QUARTER


def sheet(*bars: Bar) -> LeadSheet:
    return read_musicxml(score_xml(bars).encode())


def played(music: LeadSheet) -> str:
    """Return roots with their quarter notes: `C4 F2`."""
    return " ".join(f"{chord.text}{chord.length // QUARTER}" for chord in progression(music).chords)


SPLIT = (Bar("1", "C"), Bar("2", "F", 2), Bar("2", "D", 2), Bar("3", "G"))
SPLIT_UNNUMBERED = (Bar("1", "C"), Bar("2", "F", 2), Bar("X1", "D", 2), Bar("3", "G"))
PICKUP_AGAIN = (Bar("0", "G", 1), Bar("1", "C"), Bar("2", "F"), Bar("3", "C", 3, closes=True))
PICKUP_IN_EACH_HALF = (
    *(Bar("0", "G", 1), Bar("1", "C"), Bar("2", "F", 3, closes=True)),
    *(Bar("3", "G", 1), Bar("4", "D"), Bar("5", "C", 3, closes=True)),
)


@pytest.mark.parametrize(
    ("bars", "sounds"),
    [
        (SPLIT, "C4 F2 D2 G4"),
        (SPLIT_UNNUMBERED, "C4 F2 D2 G4"),
        ((Bar("1", "C"), Bar("X1", "F"), Bar("2", "G")), "C4 F4 G4"),
        ((Bar("1", "C"), Bar("2", "F"), Bar("4", "G"), Bar("5", "C")), "C4 F4 G4 C4"),
        ((Bar("1", "C", 2), Bar("X1", "F", 2), Bar("2", "G"), Bar("3", "C")), "C2 F2 G4 C4"),
        ((Bar("0", "G", 1), Bar("1", "C"), Bar("2", "F")), "G1 C4 F4"),
        (PICKUP_AGAIN, "G1 C4 F4 C3 G1 C4 F4 C3"),
        (PICKUP_IN_EACH_HALF, "G1 C4 F3 G1 C4 F3 G1 D4 C3 G1 D4 C3"),
        ((Bar("1", "C"), Bar("2", "G", closes=True, times=3), Bar("3", "C")), "C4 G4 C4 G4 C4 G4 C4"),
        (
            (
                Bar("0", "G", 1),
                Bar("1", "C"),
                Bar("2", "F", 3, closes=True, ending=1),
                Bar("3", "D", ending=2),
            ),
            "G1 C4 F3 G1 C4 D4",
        ),
        ((Bar("0", "G", 1), Bar("1", "C"), Bar("2", "F", closes=True), Bar("3", "C")), "G1 C4 F4 C4 F4 C4"),
    ],
)
def test_every_bar_of_the_page_is_played(bars: tuple[Bar, ...], sounds: str) -> None:
    assert played(sheet(*bars)) == sounds


def test_romantext_repeats_from_its_pickup() -> None:
    made = progression(parse_romantext("m0 b4 C: V\nm1 I\nm2 IV\nm3 V\nm4 I :||"))

    assert made.length == 32 * QUARTER
    assert [chord.text for chord in made.chords] == ["V", "I", "IV", "V", "I"] * 2


def test_halves_of_a_bar_are_chosen_together() -> None:
    assert played(excerpt(sheet(*SPLIT), 2, 2)) == "F2 D2"
    assert played(excerpt(sheet(*SPLIT_UNNUMBERED), 2, 3)) == "F2 D2 G4"


@pytest.mark.parametrize(
    ("bars", "fault"),
    [
        ((Bar("1", "C"), Bar("2", "F", 3), Bar("3", "G"), Bar("4", "C")), "measure 2 is no whole bar of 4/4"),
        ((Bar("1", "C"), Bar("2", "F", 3, closes=True), Bar("3", "G")), "repeat that ends in measure 2"),
        ((Bar("1", "C"), Bar("2", "F", ending=1), Bar("3", "G", ending=2)), "measure 2: add the repeat sign"),
        (
            (Bar("1", "C"), Bar("2", "F", closes=True, ending=1), Bar("3", "G", closes=True, ending=2)),
            "measure 3: a second ending that repeats again",
        ),
        ((Bar("1", "C"), Bar("2", "G", closes=True, times=65)), "measure 2: 65 times is outside 2 to 64"),
        (
            (Bar("1", "C"), Bar("2", "G", closes=True, ending=1, times=3), Bar("3", "C", ending=2)),
            "measure 2: 3 times with endings",
        ),
        ((Bar("1", "C", closes=True, ending=1), Bar("2", "G", ending=2)), "nothing before it"),
    ],
)
def test_what_the_page_does_not_say_is_refused_with_its_measure(bars: tuple[Bar, ...], fault: str) -> None:
    with pytest.raises(RequestError, match=fault):
        played(sheet(*bars))


def test_more_bars_than_we_can_play_are_refused_before_they_are_made() -> None:
    with pytest.raises(
        RequestError, match=r"line 2, measure 999999999: .* 999,999,999 bars, .* 10,000 at most"
    ):
        parse_romantext("m1 C: I\nm999999999 V")
    with pytest.raises(RequestError, match="12500 bars are more than the 10000"):
        progression(parse_romantext("m1 C: I\nm6250 V :||"))
