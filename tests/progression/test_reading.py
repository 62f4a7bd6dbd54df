"""In which key chord symbols are read. Convention, as the guide tells it."""

import pytest

from tracks.progression.changes import realize
from tracks.progression.music import parse
from tracks.progression.reading import key_read_in, remark_on_reading
from tracks.theory.key import Key
from tracks.theory.meter import Meter

COMMON_TIME = Meter(4, 4)


def sounding(text: str, *names: str) -> list[str]:
    """The symbols that sound in each key asked for."""
    progression, keys = parse(text, COMMON_TIME), tuple(map(Key.parse, names))
    written_in = key_read_in(progression, keys)
    return [
        " ".join(at.chord.symbol for at in realize(progression, key, written_in).chords if at.chord)
        for key in keys
    ]


@pytest.mark.parametrize(
    ("text", "keys", "expected"),
    [
        ("C Am F G", ["G", "D"], ["G Em C D", "D Bm G A"]),
        ("C Am F G", ["Eb"], ["Eb Cm Ab Bb"]),
        ("Am Dm E7 Am", ["c"], ["Cm Fm G7 Cm"]),
        ("C7 F7 C7 G7", ["C", "Bb"], ["C7 F7 C7 G7", "Bb7 Eb7 Bb7 F7"]),
        # The likeliest key of the mode asked for, not of any mode.
        ("Am F C G", ["C", "D"], ["Am F C G", "Bm G D A"]),
        ("Am F C G", ["a", "b"], ["Am F C G", "Bm G D A"]),
    ],
)
def test_symbols_are_read_in_their_likeliest_key_and_transposed(
    text: str, keys: list[str], expected: list[str]
) -> None:
    assert sounding(text, *keys) == expected


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("C Am F G", "C"),
        ("C F", "F"),  # every chord is F major's too
        ("Am Dm E7 Am", "a"),  # the leading tone is a minor key's own
        ("C7 F7 C7 G7", "C"),
        ("F7 Bb7 C7 F7", "F"),
        ("F C G", "G"),  # the last chord's root
        ("G D C G", "G"),
    ],
)
def test_symbols_sound_as_written_in_the_one_key_that_they_fit(text: str, key: str) -> None:
    assert sounding(text, key) == [text]


@pytest.mark.parametrize(
    ("text", "keys", "remark"),
    [
        ("C Am F G", ["G", "D"], "are read in C major and transposed; --written-in names another key"),
        ("F C Dm G", ["G"], 'as written, in G major; --written-in "C major" reads them so'),
        ("C Am F G", ["C"], ""),
        ("C7 F7 C7 G7", ["C"], ""),
        ("C F", ["F"], ""),
        ("I IV", ["G", "D"], ""),
        ("C: C G", ["G", "D"], ""),
    ],
)
def test_the_reading_is_said(text: str, keys: list[str], remark: str) -> None:
    said = remark_on_reading(parse(text, COMMON_TIME), tuple(map(Key.parse, keys)))
    assert remark in said
    assert bool(said) == bool(remark)


@pytest.mark.parametrize("text", ["I IV V", "1 4 5", "Eb: Eb Ab", "Eb: I V"])
def test_a_text_that_is_no_symbols_or_names_its_key_is_not_read_anew(text: str) -> None:
    assert key_read_in(parse(text, COMMON_TIME), (Key.parse("G"), Key.parse("D"))) is None
