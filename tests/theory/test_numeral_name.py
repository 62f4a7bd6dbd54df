"""Numerals as people read them.

The plain 7: Hutchinson, *Music Theory for the 21st-Century Classroom*, 8.3 (a minor seventh; the major one is
written out), against RomanText (the key's own seventh): where the two differ, neither is printed.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.theory.analysis import numeral_of
from tracks.theory.chord import Chord, parse_symbol
from tracks.theory.chord_kinds import KINDS
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.numeral import parse_numeral
from tracks.theory.numeral_name import numeral_name, printed_text
from tracks.theory.pitch import Interval, signs

ROOTS = ["C", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B"]
SPELLED = [kind.spellings[0] for kind in KINDS if kind.spellings]
NAMED = [
    "I7",
    "Id7",
    "IVd65",
    "ii/o65",
    "viio7/V",
    "N6",
    "Ger65",
    "Fr43",
    "It6",
    "Cad64",
    "V54",
    "V74",
    "I53",
    "V13",
]


def in_key(symbol: str, key: Key, inversion: int = 0) -> Chord:
    from dataclasses import replace

    chord = parse_symbol(symbol)
    if inversion and inversion < len(chord.intervals) and chord.intervals[inversion].steps in (2, 4, 6):
        chord = parse_symbol(f"{symbol}/{chord.tones[inversion]}")
    return replace(chord, numeral=numeral_of(chord, key))


@pytest.mark.parametrize(
    ("symbol", "key", "name"),
    [
        ("C7", "C", "Idom7"),
        ("Cmaj7", "C", "Imaj7"),
        ("F7/A", "C", "IVdom65"),
        ("Fmaj7/A", "C", "IVmaj65"),
        ("G7", "C", "V7"),
        ("Am7", "C", "vi7"),
        ("Abmaj7", "c", "VImaj7"),
        ("Bb7", "c", "VII7"),
        ("Bb7", "C", "bVIIdom7"),
        ("Cm(maj7)", "c", "imaj7"),
        ("D7/F#", "C", "V65/V"),
        ("Dm7b5/F", "c", "ii/o65"),
        ("G13", "C", "V13"),
        ("G9", "C", "V9"),
        ("G9", "c", "V7(9)"),
        ("G7(b9)", "c", "V7(b9)"),
        ("G7(#9)", "c", "V7(#9)"),
        ("G7(b9,#11)", "C", "V7(b9,#11)"),
        ("G9sus4", "C", "V9sus4"),
        ("Em9", "C", "iii7(9)"),
        ("Am9", "C", "vi9"),
        ("Cmaj9", "C", "Imaj9"),
        ("Cadd9", "C", "I(add9)"),
        ("C6", "C", "I(add6)"),
        ("C7#5", "C", "Idom7(#5)"),
        ("G7#5", "C", "V+7"),
        ("C/Bb", "C", "I/Bb"),
        ("Dm7/G", "C", "ii7/G"),
    ],
)
def test_symbols_have_the_numerals_a_teacher_reads(symbol: str, key: str, name: str) -> None:
    assert numeral_name(in_key(symbol, Key.parse(key)), Key.parse(key)) == name


@given(st.sampled_from(ROOTS), st.sampled_from(SPELLED), st.sampled_from(KEY_SETS["all"]), st.integers(0, 3))
def test_what_is_printed_reads_back_as_the_same_chord(root: str, kind: str, key: Key, inversion: int) -> None:
    chord = in_key(root + kind, key, inversion)

    read = parse_numeral(signs(numeral_name(chord, key)), key)

    assert (read.root, read.intervals, read.bass) == (chord.root, chord.intervals, chord.bass)


@given(st.sampled_from(NAMED), st.sampled_from(KEY_SETS["all"]))
def test_typed_numerals_read_back_as_printed(text: str, key: Key) -> None:
    chord = parse_numeral(text, key)

    read = parse_numeral(numeral_name(chord, key), key)

    assert (read.root, read.intervals, read.bass) == (chord.root, chord.intervals, chord.bass)


@given(
    st.sampled_from(KEY_SETS["all"]),
    st.tuples(st.sampled_from(ROOTS), st.sampled_from(SPELLED), st.integers(0, 3)),
    st.tuples(st.sampled_from(ROOTS), st.sampled_from(SPELLED), st.integers(0, 3)),
)
def test_no_two_chords_of_a_key_print_alike(
    key: Key, one: tuple[str, str, int], other: tuple[str, str, int]
) -> None:
    first, second = (in_key(root + kind, key, inversion) for root, kind, inversion in (one, other))
    same = (first.root, first.intervals, first.bass) == (second.root, second.intervals, second.bass)
    if not same:
        assert numeral_name(first, key) != numeral_name(second, key)


@pytest.mark.parametrize("key", KEY_SETS["all"], ids=str)
def test_a_plain_seven_is_a_minor_seventh_in_every_key_but_of_a_diminished_chord(key: Key) -> None:
    for root in ROOTS:
        for kind in ("7", "maj7", "m7", "m(maj7)"):
            name = numeral_name(in_key(root + kind, key), key)
            if "maj" not in name:
                assert "maj" not in kind
                assert in_key(root + kind, key).factor(7) == in_key(root, key).root.up(Interval.parse("m7"))


def test_extended_major_sevenths_are_read() -> None:
    key = Key.parse("C")
    assert parse_numeral("Imaj9", key).intervals == parse_symbol("Cmaj9").intervals
    assert parse_numeral("IVmaj13", key).intervals == parse_symbol("Fmaj13").intervals
    assert parse_numeral("Imaj65", key).symbol == "Cmaj7/E"
    assert parse_numeral("V7(b9,#11)", key).intervals == parse_symbol("G7(b9,#11)").intervals


@pytest.mark.parametrize(
    ("text", "key", "printed"),
    [
        ("Id7 IVd7 | I7 V7 |", "C", "Idom7 IVdom7 | Imaj7 V7 |"),
        ("Eb: I7 c: i7 | V7[add9]", "C", "Eb: Imaj7 c: i7 | V7(b9)"),
        ("C7 Fmaj7 % N.C.", "C", "C7 Fmaj7 % N.C."),
        ("1 57 4", "C", "1 57 4"),
    ],
)
def test_a_text_is_printed_in_its_key(text: str, key: str, printed: str) -> None:
    assert printed_text(text, Key.parse(key)) == printed
