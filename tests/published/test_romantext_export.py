"""RomanText that we write, read by music21: the same chords in the same places."""

import warnings
from fractions import Fraction
from itertools import pairwise
from typing import Any

import music21
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracks.model import Changes
from tracks.progression.changes import home_key, realize
from tracks.progression.library import LIBRARY
from tracks.progression.music import parse
from tracks.progression.playing import progression
from tracks.progression.romantext import parse_romantext
from tracks.progression.romantext_writer import changes_to_romantext
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import QUARTER, Meter

Sounding = tuple[float, frozenset[str], str]


def changes(text: str, meter: str, key: Key | None = None) -> Changes:
    written = parse(text, Meter.parse(meter))
    return realize(written, key or home_key(written))


def ours(played: Changes) -> list[Sounding]:
    return [
        (float(Fraction(at.start, QUARTER)), frozenset(t.name for t in at.chord.tones), at.chord.bass.name)
        for at in played.chords
        if at.chord
    ]


def music21s(text: str) -> list[Sounding]:
    """Return what music21 reads; what it copies into further bars is left out."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        score: Any = music21.converter.parse(text, format="romantext")
    found = []
    for numeral in score.recurse().getElementsByClass("RomanNumeral"):
        if numeral.tie is None or numeral.tie.type == "start":
            names = frozenset(pitch.name.replace("-", "b") for pitch in numeral.pitches)
            at = float(numeral.getOffsetInHierarchy(score))
            found.append((at, names, numeral.bass().name.replace("-", "b")))
    return found


NUMERALS = [
    "I", "V65", "ii6", "viio7", "vii/o7", "V7/V", "vii/o65/V", "bVI", "bVII", "N6", "Ger65", "It6",
    "Fr43", "Cad64", "IV[add9]", "V7[no5]", "V[sus4]", "V7[sus4]", "V54", "I[add6]", "Id7", "V9",
    "iv6", "III+", "V7[b9]", "bVII[sus4]", "V[add9]/V", "i[no3no5]", "viio42/ii", "IV64",
]  # fmt: skip
SYMBOLS = [
    "C",
    "Am7",
    "D7/F#",
    "G7sus4",
    "Fmaj7",
    "Fm6",
    "Bdim7",
    "C6/9",
    "Dm7b5",
    "G7(b9)",
    "Ab",
    "E+",
    "Gm9",
]


def texts(words: list[str]) -> st.SearchStrategy[str]:
    bar = st.lists(st.sampled_from(words), min_size=1, max_size=2).map(" ".join)
    return st.lists(bar, min_size=2, max_size=5).map(lambda bars: f"| {' | '.join(bars)} |")


@settings(max_examples=25)
@given(
    texts(NUMERALS),
    st.sampled_from(KEY_SETS["all-30"]),
    st.sampled_from(["4/4", "3/4", "6/8", "2/2", "12/8"]),
)
def test_numerals_in_any_key_are_the_same_chords_to_music21(text: str, key: Key, meter: str) -> None:
    played = changes(text, meter, key)

    assert music21s(changes_to_romantext(played)) == ours(played)


@settings(max_examples=15)
@given(texts(SYMBOLS))
def test_chord_symbols_are_the_same_chords_to_music21(text: str) -> None:
    played = changes(text, "4/4")

    assert music21s(changes_to_romantext(played)) == ours(played)


@pytest.mark.parametrize(
    ("text", "meter"),
    [
        ("| V / | I | IV / V7 / | I |", "4/4"),
        ("Eb: | I / | V7 I | c: V7 | i |", "6/8"),
        ("| I | N.C. V | % | I |", "4/4"),
    ],
)
def test_pickup_keys_and_silence_come_along(text: str, meter: str) -> None:
    played = changes(text, meter)

    assert heard(music21s(changes_to_romantext(played))) == heard(ours(played))


def heard(chords: list[Sounding]) -> list[Sounding]:
    """Leave out what is struck again at once, as the last chord of a bar that readers would shorten."""
    return [
        chord for before, chord in pairwise([(-1.0, frozenset(), ""), *chords]) if before[1:] != chord[1:]
    ]


@pytest.mark.parametrize("entry", LIBRARY, ids=lambda entry: entry.name)
def test_library_reads_back_through_our_own_reader(entry: Any) -> None:
    key = Key.parse("eb" if entry.mode.value == "minor" else "F#")
    played = changes(entry.text, "4/4", key)
    again = realize(progression(parse_romantext(changes_to_romantext(played, entry.name))), key)

    assert ours(again) == ours(played)
    assert again.length == played.length


def test_bass_that_is_no_tone_of_its_chord_goes_into_a_note() -> None:
    text = changes_to_romantext(changes("| C | F G/C |", "4/4"))

    assert "Note: m2 b3 has C in the bass" in text


@pytest.mark.parametrize(
    ("text", "meter"),
    [("| V / | I | IV |", "4/4"), ("| V / / | I | IV V |", "4/4"), ("| V / | I | IV V |", "3/4")],
)
def test_last_bar_is_whole_where_it_is_played_so(text: str, meter: str) -> None:
    played = changes(text, meter)
    again = realize(
        progression(parse_romantext(changes_to_romantext(played))), home_key(parse(text, Meter.parse(meter)))
    )

    assert again.length == played.length
