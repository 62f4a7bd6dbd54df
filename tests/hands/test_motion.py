"""What moves, in numbers and in words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.hands.motion import interval_words, left_out, matching, size, what_left_hand_does, what_moves
from tracks.theory.chord import parse_symbol
from tracks.theory.key import Key
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


def test_more_notes_split_and_fewer_join() -> None:
    grown = what_moves(pitches("C4 E4 G4"), pitches("C4 D4 F4 A4"))
    assert grown == "bottom splits to C and D, middle up a half step, top up a whole step"
    shrunk = what_moves(pitches("B3 D4 F4 G4"), pitches("C4 E4 G4"))
    assert shrunk == "top holds, bottom and lower middle join on C, upper middle down a half step"


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
    g13 = parse_symbol("G13")
    assert left_out(g13, (g13.tones[0], g13.tones[5]), c) == "left out: G, the root, and C, the eleventh"


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
