"""What moves, in numbers and in words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21.interval import Interval

from tracks.hands.motion import (
    factor_name,
    interval_words,
    left_out,
    matching,
    size,
    what_left_hand_does,
    what_moves,
)
from tracks.theory.chord import parse_symbol
from tracks.theory.key import Key
from tracks.theory.numeral import parse_numeral
from tracks.theory.pitch import Pitch


def pitches(text: str) -> tuple[Pitch, ...]:
    return tuple(map(Pitch.parse, text.split()))


@pytest.mark.parametrize(
    ("before", "after", "sentence"),
    [
        ("C4 E4 G4", "C4 E4 A4", "bottom and middle hold, top up a whole step"),
        ("C4 F4 A4", "C4 F4 Ab4", "bottom and middle hold, top down a half step"),
        ("C4 E4 A4", "C4 F4 A4", "bottom and top hold, middle up a half step"),
        ("B3 D4 G4", "C4 E4 G4", "top holds, bottom up a half step, middle up a whole step"),
        ("C4 E4 G4", "C4 E4 G4", "all three hold"),
        ("C4 E4 G4", "D4 F#4 A4", "all three up a whole step"),
        ("E4 G4 C5", "F4 Ab4 C5", "top holds, bottom and middle up a half step"),
        ("C4 E4 G4", "D4 F4 A4", "bottom and top up a whole step, middle up a half step"),
        ("C4 E4 G4", "F3 A3 C4", "all three down a fifth"),
        ("B3 D4 F4 G4", "B3 D4 F4 Ab4", "bottom, lower middle and upper middle hold, top up a half step"),
        ("C4 G4", "C4 G4", "both hold"),
    ],
)  # fmt: skip
def test_equal_moves_stand_together_and_what_holds_comes_first(
    before: str, after: str, sentence: str
) -> None:
    assert what_moves(pitches(before), pitches(after)) == sentence


def test_respelling_a_key_is_a_hold() -> None:
    assert what_moves(pitches("D4 Ab4 B4"), pitches("D4 G#4 Cb5")) == "all three hold"


@pytest.mark.parametrize(
    ("before", "after", "sentence"),
    [
        ("B3 D4 F4", "C4 C4 E4", "bottom and middle meet on C, top down a half step"),
        ("D4 G4 B4", "E4 C5 C5", "bottom up a whole step, middle and top meet on C"),
        ("C4 C4 E4", "B3 D4 G4", "bottom splits to B and D, top up a minor third"),
        ("C4 C4 E4", "C4 C4 F4", "bottom holds, top up a half step"),
    ],
)
def test_voices_on_one_pitch_are_told_as_one_note(before: str, after: str, sentence: str) -> None:
    assert what_moves(pitches(before), pitches(after)) == sentence


def test_more_notes_split_and_fewer_meet() -> None:
    grown = what_moves(pitches("C4 E4 G4"), pitches("C4 D4 F4 A4"))
    assert grown == "bottom splits to C and D, middle up a half step, top up a whole step"
    shrunk = what_moves(pitches("B3 D4 F4 G4"), pitches("C4 E4 G4"))
    assert shrunk == "top holds, bottom and lower middle meet on C, upper middle down a half step"


@pytest.mark.parametrize(
    ("semitones", "words"),
    [
        (1, "a half step"),
        (3, "a minor third"),
        (6, "a tritone"),
        (12, "an octave"),
        (17, "an octave and a fourth"),
        (24, "two octaves"),
    ],
)
def test_interval_words(semitones: int, words: str) -> None:
    assert interval_words(semitones) == words


def test_left_hand_over_a_bass() -> None:
    c3, f3, bb2 = pitches("C3 F3 Bb2")
    assert what_left_hand_does(c3, f3) == "left hand up a fourth to F"
    assert what_left_hand_does(c3, bb2) == "left hand down a whole step to Bb"
    assert what_left_hand_does(c3, c3) == "left hand holds"


def test_what_is_left_out_names_the_leading_tone() -> None:
    g7, c = parse_symbol("G7"), Key.parse("C")
    third, fifth = g7.tones[1:3]
    assert left_out(g7, (third,), c) == "left out: B, the leading tone"
    assert left_out(g7, (third,), Key.parse("c")) == "left out: B, the leading tone"
    assert left_out(g7, (third,), Key.parse("G")) == "left out: B, the third"
    assert left_out(g7, (fifth,), c) == "left out: D, the fifth"
    assert left_out(g7, (), c) == ""
    g13, g11 = parse_symbol("G13"), parse_symbol("G11")
    assert left_out(g13, (g13.tones[0], g13.tones[4]), c) == "left out: G, the root, and A, the ninth"
    assert left_out(g11, g11.tones[5:], c) == "left out: C, the eleventh"


def test_leading_tone_is_the_chords_own() -> None:
    eb = Key.parse("Eb")
    applied = parse_numeral("V7/vi", eb)
    assert left_out(applied, applied.tones[1:3], eb) == "left out: B, the leading tone, and D, the fifth"
    within = parse_numeral("V7/IV", eb)
    assert left_out(within, within.tones[1:2], eb) == "left out: G, the leading tone"
    three = parse_numeral("iii7", eb)
    assert left_out(three, three.tones[2:3], eb) == "left out: D, the fifth"


@pytest.mark.parametrize(("key", "one", "flat_three"), [("Eb", "Eb", "Gb"), ("c", "C", "Eb")])
def test_german_sixth_is_counted_from_its_flat_sixth(key: str, one: str, flat_three: str) -> None:
    here = Key.parse(key)
    german = parse_numeral("Ger65", here)
    said = left_out(german, german.tones[2:], here)
    assert said == f"left out: {one}, the third, and {flat_three}, the fifth"


def test_natural_eleventh_of_a_thirteenth_is_not_missed() -> None:
    c = Key.parse("C")
    for symbol in ("G13", "Gm13", "Gmaj13"):
        chord = parse_symbol(symbol)
        assert left_out(chord, chord.tones[5:6], c) == ""
    sharp = parse_symbol("G13#11")
    assert left_out(sharp, sharp.tones[5:6], c) == "left out: C#, the eleventh"


midi = st.integers(40, 84)
voicing = st.lists(midi, min_size=1, max_size=4, unique=True).map(sorted)


@given(voicing, voicing)
def test_every_note_has_a_partner_and_none_cross(before: list[int], after: list[int]) -> None:
    pairs = matching(before, after)
    assert {i for i, _ in pairs} == set(range(len(before)))
    assert {j for _, j in pairs} == set(range(len(after)))
    assert list(pairs) == sorted(pairs)
    assert [j for _, j in pairs] == sorted(j for _, j in pairs)


@given(voicing, voicing)
def test_size_is_that_of_its_matching_and_the_same_both_ways(before: list[int], after: list[int]) -> None:
    moves = [abs(before[i] - after[j]) for i, j in matching(before, after)]
    assert size(before, after) == (sum(moves), sum(map(bool, moves)), sum(m * m for m in moves))
    assert size(before, after) == size(after, before)


@given(voicing, voicing)
def test_words_are_one_ascii_line_that_names_every_voice(before: list[int], after: list[int]) -> None:
    sentence = what_moves(on_keys(before), on_keys(after))
    assert sentence.isascii()
    assert sentence.isprintable()
    if len(before) == 3:
        assert "all three" in sentence or all(voice in sentence for voice in ("bottom", "middle", "top"))


def on_keys(midis: list[int]) -> tuple[Pitch, ...]:
    keys = "C Db D Eb E F F# G Ab A Bb B".split()
    return tuple(Pitch.parse(f"{keys[midi % 12]}{midi // 12 - 1}") for midi in midis)


# Half steps, whole steps and the tritone are the trade's words; the rest are music21's.
OWN_WORDS = {1: "a half step", 2: "a whole step", 6: "a tritone", 12: "an octave"}


@pytest.mark.parametrize("semitones", range(1, 13))
def test_every_interval_within_an_octave_is_named_as_the_reference_names_it(semitones: int) -> None:
    name = Interval(semitones).niceName.removeprefix("Perfect ").lower()

    assert interval_words(semitones) == OWN_WORDS.get(semitones, f"a {name}")


@pytest.mark.parametrize("octaves", range(2, 6))
def test_octaves_are_counted(octaves: int) -> None:
    count = ("two", "three", "four", "five")[octaves - 2]

    assert interval_words(12 * octaves) == f"{count} octaves"


@pytest.mark.parametrize(
    ("symbol", "names"),
    [
        ("C13", "root third fifth seventh ninth eleventh thirteenth"),
        ("Csus2", "root second fifth"),
        ("C7sus4", "root fourth fifth seventh"),
        ("C6", "root third fifth sixth"),
        ("Cadd#8", "root third fifth octave"),
        ("C7addb10", "root third fifth seventh tenth"),
        ("C7add#12", "root third fifth seventh twelfth"),
    ],
)
def test_a_tone_is_named_by_its_place_in_the_chord(symbol: str, names: str) -> None:
    """A chord's factors are numbered from its root (convention)."""
    chord = parse_symbol(symbol)

    assert " ".join(factor_name(chord, tone) for tone in chord.tones) == names
