import pytest

from tracks.progression.changes import home_key, realize
from tracks.progression.library import LIBRARY, Entry, text_of
from tracks.progression.music import parse
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS
from tracks.theory.meter import Meter


@pytest.mark.parametrize("entry", LIBRARY, ids=lambda entry: entry.name)
def test_every_progression_plays_in_every_key_of_its_mode_and_in_every_meter(entry: Entry) -> None:
    for meter in ("2/4", "3/4", "4/4", "6/8", "12/8"):
        progression = parse(entry.text, Meter.parse(meter))
        for key in KEY_SETS["all-30"]:
            if key.mode is entry.mode:
                assert realize(progression, key).length == progression.length
    assert home_key(progression).mode is entry.mode


def test_names_are_unique_and_say_where_they_come_from() -> None:
    assert len({entry.name for entry in LIBRARY}) == len(LIBRARY)
    assert all(entry.source and entry.about for entry in LIBRARY)


def test_twelve_bar_blues_has_twelve_bars() -> None:
    meter = Meter(4, 4)
    for name in ("twelve-bar-blues", "twelve-bar-blues-quick-change", "minor-blues"):
        assert parse(text_of(name), meter).length == 12 * meter.bar


def test_mistyped_name_is_refused_with_the_near_one() -> None:
    with pytest.raises(RequestError, match="did you mean turnaround"):
        text_of("turnarond")
    assert text_of("I IV") == "I IV"


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("twelve bar blues", "did you mean twelve-bar-blues?"),
        ("Circle of Fifths", "did you mean circle-of-fifths?"),
        ("12 bar blues", "did you mean twelve-bar-blues?"),
        ("minor blues", "did you mean minor-blues?"),
        ("blues", "twelve-bar-blues, twelve-bar-blues-quick-change or minor-blues?"),
        ("Blues in F", "or minor-blues?"),
    ],
)
def test_words_of_a_name_are_refused_with_the_names_that_have_them(text: str, names: str) -> None:
    with pytest.raises(RequestError) as caught:
        text_of(text)
    assert names in str(caught.value)
    assert "rungwise progressions lists all" in str(caught.value)


@pytest.mark.parametrize("text", ["a b", "| blues |", "hello", "I minor", "", "   ", "x: blues"])
def test_text_that_means_no_name_is_left_to_the_reader_of_chords(text: str) -> None:
    assert text_of(text) == text
