"""How voices may move: each rule broken on purpose, and each way that keeps it."""

import pytest

from tracks.hands.part_writing import (
    Broken,
    Position,
    Rule,
    broken_between,
    has_direct_fifth,
    licenses_between,
    link,
)
from tracks.theory.key import Key
from tracks.theory.numeral import parse_numeral
from tracks.theory.pitch import Pitch, Tone


def position(chord: str, key: str, notes: str) -> Position:
    pitches = [Pitch.parse(name) for name in notes.split()]
    root = parse_numeral(chord, Key.parse(key)).root.fifths
    return Position(tuple(p.midi for p in pitches), tuple(p.tone.fifths - root for p in pitches), shape=0)


def step(before: str, after: str, key: str = "C") -> tuple[list[Broken], int]:
    """What two chords, each `numeral: bass tenor alto soprano`, break and are allowed."""
    (old, old_notes), (new, new_notes) = (text.split(": ") for text in (before, after))
    asked = link(parse_numeral(old, Key.parse(key)), parse_numeral(new, Key.parse(key)), Key.parse(key))
    pair = position(old, key, old_notes), position(new, key, new_notes)
    return broken_between(asked, *pair), licenses_between(asked, *pair)


def rules(before: str, after: str, key: str = "C") -> list[tuple[Rule, tuple[int, ...]]]:
    return [(each.rule, each.voices) for each in step(before, after, key)[0]]


@pytest.mark.parametrize(
    ("before", "after", "expected"),
    [
        (
            "I: C3 E4 G4 C5",
            "ii: D3 F4 A4 D5",
            [(Rule.PARALLEL_FIFTHS, (2, 0)), (Rule.PARALLEL_OCTAVES, (3, 0))],
        ),
        ("I: C3 C4 E4 G4", "IV: F3 C4 F4 A4", []),
        # By contrary motion too, here between the outer voices.
        ("I: C3 E4 G4 C5", "V: G2 D4 B4 G5", [(Rule.PARALLEL_OCTAVES, (3, 0))]),
        ("I: C3 C4 E4 G4", "IV: F2 A3 F4 C5", [(Rule.PARALLEL_FIFTHS, (3, 0))]),
        # Held notes are no parallels, nor is a bass that leaps an octave under them.
        ("I: C3 E4 G4 C5", "I: C4 E4 G4 C5", []),
        # A diminished fifth that becomes a perfect one is unequal (convention lets it pass).
        ("V43: D3 G4 B4 F5", "I6: E3 G4 C5 G5", []),
    ],
)
def test_parallel_fifths_and_octaves(
    before: str, after: str, expected: list[tuple[Rule, tuple[int, ...]]]
) -> None:
    assert rules(before, after) == expected


@pytest.mark.parametrize(
    ("before", "after", "expected"),
    [
        ("V7: G2 B3 F4 G4", "I: C3 C4 E4 G4", []),
        ("V7: G2 B3 F4 G4", "I: C3 C4 G4 C5", [(Rule.SEVENTH, (2,))]),
        ("V7: G2 F4 G4 B4", "I: C3 E4 G4 C5", []),
        ("V7: G2 F4 G4 B4", "I: C3 E4 G4 G4", [(Rule.LEADING_TONE, (3,))]),
        # Held, the seventh of ii resolves later.
        ("ii65: F2 A3 C4 D4", "I64: G2 G3 C4 E4", []),
        # The seventh may rise in tenths with the bass, and a leading tone in the bass may step down.
        ("V43: D3 G4 B4 F5", "I6: E3 G4 C5 G5", []),
        ("V6: B2 D4 G4 D5", "vi: A2 E4 A4 C5", []),
        # A six-four leans on the dominant: 6-5 and 4-3, whichever voices have them; held, it waits.
        ("Cad64: G2 G3 C4 E4", "V7: G2 F3 B3 D4", []),
        ("I64: G2 G3 C4 E4", "V7: G2 G3 B3 F4", [(Rule.SEVENTH, (3,))]),
        ("Cad64: G2 C4 E4 G4", "V: G2 D4 G4 B4", [(Rule.SEVENTH, (1,)), (Rule.SEVENTH, (2,))]),
        ("I64: G2 G3 C4 E4", "IV6: A2 A3 C4 F4", []),
        # Within one harmony the seventh may change its voice.
        ("V7: G2 B3 D4 F4", "V65: B2 D4 F4 G4", []),
        # A leading tone may sink a chromatic half step to the next chord's seventh.
        ("V7/V: D3 F#4 A4 C5", "V7: G2 F4 G4 B4", []),
        # Where the next chord brings no tonic, the leading tone is free.
        ("V: G2 G4 B4 D5", "iii: E3 G4 B4 E5", []),
    ],
)
def test_sevenths_fall_and_leading_tones_rise(
    before: str, after: str, expected: list[tuple[Rule, tuple[int, ...]]]
) -> None:
    assert [
        found for found in rules(before, after) if found[0] in (Rule.SEVENTH, Rule.LEADING_TONE)
    ] == expected


def test_leading_tone_inside_may_fall_to_the_dominant_as_a_license() -> None:
    assert step("V7: G2 B4 D5 F5", "I: C3 G4 C5 E5") == ([], 1)
    assert rules("V7: G2 D4 F4 B4", "I: C3 C4 E4 G4") == [(Rule.LEADING_TONE, (3,))]


def test_diminished_fifth_may_rise_as_a_license() -> None:
    assert step("viio6: D3 F4 B4 D5", "I: C3 G4 C5 E5")[1] == 1
    assert step("viio6: D3 F4 B4 D5", "I: C3 E4 C5 E5")[1] == 0


def test_dissonance_reached_by_leap_is_a_license() -> None:
    assert step("IV: F3 A4 C5 F5", "V7: G3 G4 B4 F5")[1] == 0
    assert step("I: C3 C5 E5 G5", "V7: G2 F4 D5 G5")[1] == 1


def test_soprano_that_leaps_a_fourth_is_a_license() -> None:
    assert step("I: C3 C4 E4 G4", "I6: E3 C4 G4 C5")[1] == 1
    assert step("I: C3 C4 E4 G4", "vi: A2 C4 E4 A4")[1] == 0


def test_alteration_in_another_voice_is_a_license() -> None:
    assert step("IV: F3 A3 C4 F4", "V7/V: F#3 A3 C4 D4")[1] == 0
    assert step("IV: F3 C4 F4 A4", "V7/V: D3 C4 F#4 A4")[1] == 0
    assert step("ii: D3 A3 D4 F4", "V7/V: D3 F#3 C4 D4")[1] == 1


def test_parallel_unisons_are_parallels() -> None:
    assert (Rule.PARALLEL_OCTAVES, (2, 1)) in rules("vi: A2 C4 C4 E4", "vi6: C3 E4 E4 A4")
    assert rules("V: G3 B3 D4 G4", "vi: A3 C4 C4 E4") == []


@pytest.mark.parametrize(
    ("after", "expected"),
    [
        ("I: C3 E4 G4 C5", []),  # from B up a half step
        ("IV: F2 A4 C5 F5", [(Rule.OUTER_OCTAVE, (3, 0))]),
    ],
)
def test_outer_octave_in_similar_motion_wants_a_soprano_that_steps(
    after: str, expected: list[tuple[Rule, tuple[int, ...]]]
) -> None:
    before = "V: G2 D4 G4 B4" if after.startswith("I:") else "I: G2 E5 G5 C6"
    assert [found for found in rules(before, after) if found[0] is Rule.OUTER_OCTAVE] == expected


@pytest.mark.parametrize(
    ("before", "after", "rule"),
    [
        ("VI: Ab2 C4 Eb4 Ab4", "V: G2 D4 G4 B4", Rule.AUGMENTED),
        ("I: C3 E4 G4 C5", "I: C3 G4 C5 E5", None),
        ("ii: F2 F4 A4 D5", "V: E3 F4 A4 D5", Rule.WIDE_LEAP),
        ("I: C3 C4 E4 G4", "I: C3 G4 C5 E5", Rule.OVERLAP),
        ("iv6: Ab2 C4 F4 C5", "Ger65: Ab2 C4 Eb4 F#4", Rule.TRITONE),
        ("V7: G2 D4 F4 B4", "V7: G2 B3 D4 F4", Rule.TRITONE),
    ],
)
def test_melodies_keep_to_sung_intervals_and_out_of_each_others_way(
    before: str, after: str, rule: Rule | None
) -> None:
    key = "c" if before.startswith(("VI", "iv")) else "C"
    found = {each for each, _ in rules(before, after, key)}
    assert (rule in found) if rule else Rule.AUGMENTED not in found


def test_a_broken_rule_is_said_with_voices_and_tone() -> None:
    assert Broken(Rule.PARALLEL_FIFTHS, (2, 0)).said(Tone(0)) == "parallel fifths between alto and bass"
    assert Broken(Rule.SEVENTH, (3,)).said(Tone(-1)) == "F in the soprano does not step down"


@pytest.mark.parametrize("key", ["C", "Eb", "F#", "Cb", "C#"])
def test_all_keys_ask_the_same(key: str) -> None:
    here = Key.parse(key)
    asked = link(parse_numeral("V7", here), parse_numeral("I", here), here)
    assert (asked.fall, asked.rise) == (frozenset({-2}), frozenset({4}))
    assert asked is link(parse_numeral("V7", here), parse_numeral("I", here), here)


@pytest.mark.parametrize(
    ("before", "after", "expected"),
    [
        ("I: C3 E4 G4 C5", "V: G3 D4 G4 B4", False),
        ("I: C3 C4 E4 G4", "ii: D3 D4 F4 A4", False),  # parallel, and by step
        ("ii: D3 D4 F4 A4", "V: G3 B3 G4 D5", True),
        ("ii: D3 D4 F4 A4", "V: G2 B3 G4 D5", False),  # in contrary motion
        ("IV: F3 F4 A4 C5", "V: G3 G4 B4 D5", False),
        ("vi: A3 C4 E4 A4", "ii: D3 F4 A4 D5", False),
    ],
)
def test_direct_fifths_are_reached_in_one_direction_with_a_leaping_soprano(
    before: str, after: str, expected: bool
) -> None:
    """G. Richmond (West Chester University), Part Writing, lesson 2; Open Music Theory allows them."""
    (old, old_notes), (new, new_notes) = (text.split(": ") for text in (before, after))
    assert has_direct_fifth(position(old, "C", old_notes), position(new, "C", new_notes)) is expected
