"""Doublings, omissions and tendency tones against the rules as the books print them.

Sources
- Open Music Theory, basso continuo and tendency tones (keyboard style).
- R. Hutchinson, Music Theory for the 21st-Century Classroom, chapters 26 and 27 (chorale style).
- That only the fifth of a triad may be left out: teaching pages that agree (UWO MU1649 notes among them).
"""

import pytest

from tracks.hands.doubling import never_doubled, uppers
from tracks.hands.part_writing import Rule
from tracks.hands.tendency import dissonances, leading_tones
from tracks.theory.chord import Chord
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.numeral import parse_numeral

# Figure, key, and the tones that may sound twice in a complete chord, as the books have it.
DOUBLED = (
    ("I", "C", "C"), ("ii", "C", "D"), ("IV", "C", "F"), ("V", "C", "G"), ("vi", "C", "A"),
    ("I64", "C", "G"), ("IV64", "C", "C"),
    ("I6", "C", "C G"), ("IV6", "C", "F C"), ("V6", "C", "G D"),
    # Over a fixed degree keyboard style doubles the bass, chorale style root or fifth.
    ("ii6", "C", "F D A"), ("vi6", "C", "C A E"),
    ("viio6", "C", "D"), ("iio6", "c", "F"), ("viio", "C", "D"), ("N6", "c", "F"), ("N6", "C", "F"),
    ("It6", "c", "C"), ("bVI", "C", "Ab"), ("V", "c", "G"), ("iv6", "C", "F C"),
)  # fmt: skip


def chord(figure: str, key: str) -> Chord:
    return parse_numeral(figure, Key.parse(key))


@pytest.mark.parametrize(("figure", "key", "doubled"), DOUBLED)
def test_complete_triads_double_what_the_books_double(figure: str, key: str, doubled: str) -> None:
    here = chord(figure, key)
    found = set()
    for upper in uppers(here, Key.parse(key)):
        sounding = [here.bass, *upper.tones]
        if upper.rule is None and set(sounding) == set(here.tones):
            found |= {tone.name for tone in sounding if sounding.count(tone) > 1}
    assert found == set(doubled.split())


def test_third_of_the_submediant_may_be_doubled_after_the_dominant() -> None:
    key = Key.parse("c")
    after_v = uppers(chord("VI", "c"), key, [chord("V7", "c")])
    plain = uppers(chord("VI", "c"), key)
    third = [key.tonic, key.tonic, key.degree(3)]
    assert [u.rule for u in after_v if sorted(u.tones) == sorted(third)] == [None]
    assert [u.rule for u in plain if sorted(u.tones) == sorted(third)] == [Rule.DOUBLING]


def test_doublings_alternate_in_a_row_of_sixth_chords() -> None:
    key = Key.parse("C")
    row = uppers(chord("I6", "C"), key, [chord("ii6", "C")])
    assert any(upper.rule is None and key.degree(3) in upper.tones for upper in row)


@pytest.mark.parametrize(
    ("figure", "key", "tones"),
    [
        ("V", "C", "B"), ("V7", "C", "B F"), ("viio6", "C", "B F"), ("V/V", "C", "F#"), ("iv", "C", "Ab"),
        ("bVI", "C", ""), ("IV", "c", ""), ("ii7", "C", "C"), ("viio7", "c", "B F Ab"), ("It6", "c", "F# Ab"),
        ("Ger65", "c", "F# Ab Eb"), ("Fr43", "c", "F# Ab C"), ("I", "C", ""), ("III+", "c", "B"),
    ],
)  # fmt: skip
def test_tendency_and_altered_tones_are_never_doubled(figure: str, key: str, tones: str) -> None:
    assert {tone.name for tone in never_doubled(chord(figure, key), Key.parse(key))} == set(tones.split())


@pytest.mark.parametrize("key", KEY_SETS["all-30"], ids=str)
def test_dominant_seventh_has_a_leading_tone_and_a_seventh_in_every_key(key: Key) -> None:
    here = parse_numeral("V7", key)
    assert {tone.name for tone in leading_tones(here, key)} == {here.tones[1].name}
    assert {tone.name for tone in dissonances(here, key)} == {here.tones[3].name}


@pytest.mark.parametrize("figure", ["I", "ii", "V", "I6", "IV64", "V7", "ii7", "V65", "V43", "V42", "viio7"])
def test_only_a_perfect_fifth_over_its_root_is_ever_left_out(figure: str) -> None:
    here = chord(figure, "C")
    for upper in uppers(here, Key.parse("C")):
        missing = set(here.tones) - {here.bass, *upper.tones}
        assert missing <= {here.factor(5)}
        assert not missing or (here.bass == here.root and upper.licenses)


def test_four_note_chord_has_each_tone_once_where_it_is_complete() -> None:
    for figure in ("V65", "V43", "V42", "viio7"):
        here = chord(figure, "c")
        (only,) = uppers(here, Key.parse("c"))
        assert {here.bass, *only.tones} == set(here.tones)
