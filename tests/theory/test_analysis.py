import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.theory.analysis import likely_key, numeral_of
from tracks.theory.chord import parse_symbol
from tracks.theory.chord_kinds import KINDS
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.numeral import parse_numeral

ROOTS = ["C", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B"]
SPELLED = [kind.spellings[0] for kind in KINDS if kind.spellings]


@given(st.sampled_from(ROOTS), st.sampled_from(SPELLED), st.sampled_from(KEY_SETS["all"]), st.integers(0, 3))
def test_numeral_reads_back_to_the_same_chord(root: str, kind: str, key: Key, inversion: int) -> None:
    chord = parse_symbol(root + kind)
    if inversion and inversion < len(chord.intervals) and chord.intervals[inversion].steps in (2, 4, 6):
        chord = parse_symbol(f"{root}{kind}/{chord.tones[inversion]}")

    read = parse_numeral(numeral_of(chord, key), key)

    assert (read.root, read.intervals) == (chord.root, chord.intervals)
    if all(chord.factor(number) for number in (3, 5)):
        assert read.bass == chord.bass


@pytest.mark.parametrize(
    ("symbol", "key", "numeral"),
    [
        ("D7", "C", "V7/V"),
        ("D7/F#", "C", "V65/V"),
        ("F#dim7", "C", "viio7/V"),
        ("Em7b5", "C", "vii/o7/IV"),
        ("E7", "a", "V7"),
        ("C7", "C", "Id7"),
        ("F7", "C", "IVd7"),
        ("Bdim", "a", "iio"),
        ("G#dim7", "a", "viio7"),
        ("Fm", "C", "iv"),
        ("Ab", "C", "bVI"),
        ("G7sus4", "C", "V7[sus4]"),
        ("F#m", "a", "vi"),
    ],
)
def test_numerals_a_teacher_would_write(symbol: str, key: str, numeral: str) -> None:
    assert numeral_of(parse_symbol(symbol), Key.parse(key)) == numeral


@pytest.mark.parametrize(
    ("symbols", "key"),
    [
        ("Dm7 G7 Cmaj7", "C major"),
        ("Am Dm E7 Am", "A minor"),
        ("Gb7 Cb Fb", "Cb major"),
        ("Eb Cm Ab Bb7", "Eb major"),
        ("Em B7 Em", "E minor"),
    ],
)
def test_likely_key_of_symbols(symbols: str, key: str) -> None:
    assert likely_key(tuple(map(parse_symbol, symbols.split()))).name == key
