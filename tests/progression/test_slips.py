"""Slips of the pen: each told once, with the text as it should stand."""

import pytest

from tracks.progression.music import parse
from tracks.progression.slips import major_in_minor, major_sevenths
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter
from tracks.theory.numeral import parse_numeral

COMMON_TIME = Meter(4, 4)
ONE, ONES = "the dominant one is written", "the dominant ones are written"


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("I-IV-V", "column 1: put spaces between chords, nothing else, like I IV V"),
        ("I,IV,V", "column 1: put spaces between chords, nothing else, like I IV V"),
        ("I, IV, V", "column 1 and 4: put spaces between chords, nothing else, like I IV V"),
        ("I - IV - V", "column 3 and 8: put spaces between chords, nothing else, like I IV V"),
        ("2-5-1", "column 1: put spaces between chords, nothing else, like 2 5 1"),
        ("C-Am-F-G", "column 1: put spaces between chords, nothing else, like C Am F G"),
        ("c-am-f-g", "column 1: put spaces between chords, nothing else, like C Am F G"),
        ("c f g c", "column 1, 3, 5 and 7: chord letters are capitals: write C F G C (m makes"),
        ("am dm E7 am", "column 1, 4 and 10: chord letters are capitals: write Am Dm E7 Am (m makes"),
        ("canon", "column 1: 'canon' is no chord, nor a name that rungwise progressions lists; write"),
        (
            "I foo bar",
            "column 3: 'foo' is no chord, column 7: 'bar' is no chord; write a numeral like V7, "
            "a degree like 5 or a symbol like Bb7",
        ),
    ],
)
def test_slip_is_told_once_with_the_mend(text: str, fault: str) -> None:
    with pytest.raises(RequestError) as caught:
        parse(text, COMMON_TIME)
    assert str(caught.value).startswith(f"progression, {fault}")
    assert "\n" not in str(caught.value)


def test_hyphen_that_a_chord_symbol_knows_is_no_slip() -> None:
    assert [chord.text for chord in parse("C- F-7", COMMON_TIME).chords] == ["C-", "F-7"]


def test_different_faults_are_all_told() -> None:
    with pytest.raises(RequestError) as caught:
        parse("Q I-IV Zz", COMMON_TIME)
    for place in ("column 1: 'Q'", "column 3: put spaces", "column 8: 'Zz'"):
        assert place in str(caught.value)


@pytest.mark.parametrize(
    ("text", "key", "remark"),
    [
        ("I IV V I", "Am", "I IV V are major chords; in A minor the usual ones are i iv V"),
        ("I V7 I", "e", "I V are major chords; in E minor the usual ones are i V"),
        ("IV7 V", "a", "IV V are major chords; in A minor the usual ones are iv V"),
        ("I", "a", ""),
        ("VI V", "a", ""),
        ("a: I6 IV64 V", "d", "I IV V are major chords; in D minor the usual ones are i iv V"),
        ("i IV V", "a", ""),
        ("It6 V", "c", ""),
        ("It6 I V", "c", "I V are major chords; in C minor the usual ones are i V"),
        ("i iv V I", "a", ""),
        ("VI VII V7/IV V", "a", ""),
        ("I IV V I", "C", ""),
        ("1 4 5", "a", ""),
        ("A D E", "a", ""),
    ],
)
def test_major_numerals_in_a_minor_key_are_remarked_on(text: str, key: str, remark: str) -> None:
    assert major_in_minor(parse(text, COMMON_TIME), (Key.parse("C"), Key.parse(key))) == remark


def test_every_minor_key_is_named_in_the_remark() -> None:
    progression = parse("I IV V", COMMON_TIME)
    asked = [Key.parse(name) for name in ("Eb", "c", "G", "a")]
    assert major_in_minor(progression, asked).endswith("in C minor and A minor the usual ones are i iv V")
    assert "in minor keys the" in major_in_minor(progression, KEY_SETS["all"])
    assert major_in_minor(progression, KEY_SETS["all-major"]) == ""


@pytest.mark.parametrize(
    ("text", "key", "remark"),
    [
        ("I7 IV7 I7 V7", "C", f"I7 IV7 are major sevenths in a major key; {ONES} Idom7 IVdom7"),
        ("I I7 IV iv", "Eb", f"I7 is a major seventh in a major key; {ONE} Idom7"),
        ("I65 IV", "G", f"I65 is a major seventh in a major key; {ONE} Idom65"),
        ("Idom7 IVdom7 Idom7 V7", "C", ""),
        ("I7 IV7 vii/o7 iii7", "C", ""),
        ("I7 vi7 ii7 V7", "C", ""),
        ("Imaj7 IVmaj7", "C", ""),
        ("I7 iv7 I7 V7", "a", ""),
        ("Cmaj7 Fmaj7", "C", ""),
    ],
)  # fmt: skip
def test_major_sevenths_where_a_blues_has_dominant_ones_are_remarked_on(
    text: str, key: str, remark: str
) -> None:
    assert major_sevenths(parse(text, COMMON_TIME), (Key.parse(key),)) == remark


def test_what_the_remark_writes_is_dominant() -> None:
    assert parse_numeral("Idom7", Key.parse("Bb")).symbol == "Bb7"
    assert parse_numeral("IVdom65", Key.parse("C")).symbol == "F7/A"
