"""Chord scales and guide tones, against R. Hutchinson, *Music Theory for the 21st-Century Classroom*.

The table: 31.10.3 (kinds of chord) and 31.9.4 (other scales), semitones above the root worked out by hand.
Guide tones: 31.7.1 and 31.8. The spelling of diatonic modes is checked against music21.
"""

from itertools import pairwise
from typing import Any

import pytest

from tracks.theory.chord import parse_symbol
from tracks.theory.chord_scales import chord_scales, guide_tones, intervals_of, published_scales
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.numeral import parse_numeral

# Chord, its scales in the order of the table. The book's 7alt alters fifth and ninth at will.
PAIRS = [
    ("maj7", "0 2 4 5 7 9 11 / 0 2 4 6 7 9 11"),
    ("maj7(#11)", "0 2 4 6 7 9 11"),
    ("maj7(#5)", "0 2 4 6 8 9 11"),
    ("m7", "0 2 3 5 7 9 10 / 0 2 3 5 7 8 10"),
    ("m7b5", "0 1 3 5 6 8 10 / 0 2 3 5 6 8 10"),
    ("m7b5(add9)", "0 2 3 5 6 8 10"),
    ("dim7", "0 2 3 5 6 8 9 11"),
    ("m(maj7)", "0 2 3 5 7 9 11"),
    ("m6/9", "0 2 3 5 7 9 10 / 0 2 3 5 7 9 11"),
    ("7", "0 2 4 5 7 9 10"),
    ("7(#11)", "0 2 4 6 7 9 10"),
    ("7(#5)", "0 2 4 6 8 10"),
    ("7(b5)", "0 2 4 6 8 10"),
    ("7(b9)", "0 1 3 4 6 7 9 10"),
    ("7(#9)", "0 1 3 4 6 7 9 10"),
    ("13(#11,#9)", "0 1 3 4 6 7 9 10"),
    ("7(b5,b9)", "0 1 3 4 6 8 10"),
    ("7(b5,#9)", "0 1 3 4 6 8 10"),
    ("7(#5,b9)", "0 1 3 4 6 8 10"),
    ("7(#5,#9)", "0 1 3 4 6 8 10"),
]
SCALES = {
    "blues": "0 3 5 6 7 10",
    "minor pentatonic": "0 3 5 7 10",
    "bebop dominant": "0 2 4 5 7 9 10 11",
    "bebop major": "0 2 4 5 7 8 9 11",
    "harmonic minor": "0 2 3 5 7 8 11",
    "Phrygian": "0 1 3 5 7 8 10",
    "Mixolydian b6": "0 2 4 5 7 8 10",
    "Phrygian-Dorian": "0 1 3 5 7 9 10",
}


@pytest.mark.parametrize(("suffix", "expected"), PAIRS)
@pytest.mark.parametrize("root", ["C", "F#", "Bb"])
def test_kind_of_chord_has_the_scales_of_the_table(root: str, suffix: str, expected: str) -> None:
    chord = parse_symbol(root + suffix)

    found = [
        sorted((tone.chroma - chord.root.chroma) % 12 for tone in scale.tones)
        for scale in published_scales(chord)
    ]

    assert found == [list(map(int, scale.split())) for scale in expected.split("/")]


@pytest.mark.parametrize("suffix", [suffix for suffix, _ in PAIRS])
@pytest.mark.parametrize("key", KEY_SETS["all"], ids=str)
def test_every_tone_of_the_chord_is_in_each_of_its_scales_as_the_chord_spells_it(
    key: Key, suffix: str
) -> None:
    chord = parse_symbol("C" + suffix)

    for scale in (*published_scales(chord), *chord_scales(chord, key)):
        # The altered scale of a minor key's plain dominant takes the place of its perfect fifth.
        left_out = {chord.factor(5)} if scale.name.endswith("altered") and "5" not in suffix else set()
        assert set(chord.tones) - left_out <= set(scale.tones), scale.name


@pytest.mark.parametrize(("name", "expected"), SCALES.items())
def test_named_scale_has_the_semitones_of_the_table(name: str, expected: str) -> None:
    assert [interval.semitones for interval in intervals_of(name)] == list(map(int, expected.split()))


def test_the_key_wins_over_the_kind() -> None:
    # 31.10: the sixth chord of A flat takes F Aeolian; Dorian's D natural would clash with the key's D flat.
    scale, dorian = chord_scales(parse_symbol("Fm7"), Key.parse("Ab"))

    assert (scale.name, dorian.name) == ("F Aeolian", "F Dorian")
    assert "Db" in [tone.name for tone in scale.tones]


@pytest.mark.parametrize("key", KEY_SETS["all-30"], ids=str)
def test_a_chord_of_the_key_takes_the_keys_own_mode_spelled_as_music21_spells_it(key: Key) -> None:
    from music21.key import Key as TheirKey

    theirs: Any = TheirKey(key.tonic.name.replace("b", "-"), key.mode.value)
    names = [pitch.name.replace("-", "b") for pitch in theirs.getScale(key.mode.value).pitches[:7]]
    for number in range(1, 8):
        numeral = "I ii iii IV V vi viio" if not key.is_minor else "i iio III iv v VI VII"
        chord = parse_numeral(numeral.split()[number - 1], key)

        scale = chord_scales(chord, key)[0]

        assert [tone.name for tone in scale.tones] == names[number - 1 :] + names[: number - 1]


@pytest.mark.parametrize(
    ("symbol", "expected"),
    [
        ("Dm7", "F C"),
        ("G7", "B F"),
        ("Cmaj7", "E B"),
        ("Db7", "F Cb"),  # a tritone from G7, and the same two keys
        ("C6", "E A"),  # the sixth acts as the seventh
        ("G7sus4", "C F"),  # the fourth acts as the third
        ("F", "A"),
    ],
)
def test_guide_tones_are_the_third_and_the_seventh(symbol: str, expected: str) -> None:
    assert [tone.name for tone in guide_tones(parse_symbol(symbol))] == expected.split()


def test_falling_fifths_hold_a_guide_tone_and_let_the_other_fall_by_step() -> None:
    # 31.8: Dm7 (F C), G7 (F B), Cmaj7 (E B).
    for before, after in pairwise(("Dm7", "G7", "Cmaj7")):
        third, seventh = guide_tones(parse_symbol(before))
        next_third, next_seventh = guide_tones(parse_symbol(after))

        assert third == next_seventh
        assert (seventh.chroma - next_third.chroma) % 12 in (1, 2)


def test_descending_bebop_scale_puts_chord_tones_on_the_beats() -> None:
    # 31.9.2: from the root down in eighths, with a natural seventh added.
    chord = parse_symbol("C7")
    downwards = [*reversed(intervals_of("bebop dominant")), intervals_of("bebop dominant")[0]]
    on_beats = [12, *[interval.semitones for interval in downwards][1::2]]

    tones = {(tone.chroma - chord.root.chroma) % 12 for tone in chord.tones}
    assert {semitones % 12 for semitones in on_beats} <= tones
