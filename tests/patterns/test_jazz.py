"""Voicings without roots, and guide tones, against what is published of them."""

from collections.abc import Callable

import pytest

from tracks.drill.drill import Drill
from tracks.drill.in_key import in_each_key
from tracks.model import Texture
from tracks.patterns.jazz import forms, guide_tones, with_guide_tones, without_roots
from tracks.progression.library import LIBRARY
from tracks.style import Brief
from tracks.theory.chord import parse_symbol
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter

FOUR = Meter(4, 4)
C = Key.parse("C")


@pytest.mark.parametrize(
    ("symbol", "third", "seventh"),
    [("Dm7", "F", "C"), ("G7", "B", "F"), ("Cmaj7", "E", "B"), ("C6", "E", "A"), ("G7sus4", "C", "F")],
)
def test_guide_tones_are_the_third_and_the_seventh(symbol: str, third: str, seventh: str) -> None:
    # R. Hutchinson, Music Theory for the 21st-Century Classroom, 31.7.1 and 31.8: the sixth acts as the
    # seventh of a sixth chord, the fourth as the third of a suspended one.
    assert [tone.name for tone in guide_tones(parse_symbol(symbol))] == [third, seventh]


@pytest.mark.parametrize(
    ("symbol", "key", "first", "second"),
    [
        # 3-5-7-9 and 7-9-3-5, convention of jazz piano teaching; a dominant has its thirteenth for the fifth.
        ("Dm7", "C", "F A C E", "C E F A"),
        ("G7", "C", "B E F A", "F A B E"),
        ("Cmaj7", "C", "E G B D", "B D E G"),
        # The key has no natural ninth over iii7, and a flat one over the minor key's V7.
        ("Em7", "C", "G B D", "D G B"),
        ("G7", "c", "B D F Ab", "F Ab B D"),
        ("F", "C", "A C G", "G A C"),
    ],
)
def test_the_two_rootless_forms(symbol: str, key: str, first: str, second: str) -> None:
    made = forms(parse_symbol(symbol), Key.parse(key))

    assert [" ".join(tone.name for tone in form) for form in made] == [first, second]


def two_five_one(text: str, key: Key, texture: Texture = Texture.OVER_BASS) -> Brief:
    (found,) = in_each_key(Drill("sedge", text, (key,), FOUR, (120,), texture=texture))
    return Brief(found.chords, FOUR, found.changes.length, texture)


def test_a_two_five_one_alternates_the_forms_and_moves_little() -> None:
    # Hutchinson 31.8: the third of one chord is the seventh of the next, or holds.
    made = without_roots(two_five_one("ii7 Vdom7 Imaj7 Imaj7", C))

    hands = [[pitch.name for pitch in voiced.right.pitches] for voiced in made.chords if voiced.right]
    assert hands[0][0][0] in "FC"
    lowest = {"F": "third", "C": "seventh"}[hands[0][0][0]], {"B": "third", "F": "seventh"}[hands[1][0][0]]
    assert set(lowest) == {"third", "seventh"}


@pytest.mark.parametrize("revoiced", [with_guide_tones, without_roots])
@pytest.mark.parametrize("texture", [Texture.OVER_BASS, Texture.DOUBLED])
def test_no_voicing_has_a_half_step_on_top_or_meets_the_left_hand(
    revoiced: Callable[[Brief], Brief], texture: Texture
) -> None:
    for number, entry in enumerate(LIBRARY):
        key = KEY_SETS[f"all-{entry.mode.value}"][number % 12]
        for voiced in revoiced(two_five_one(entry.text, key, texture)).chords:
            if voiced.right and voiced.left and not voiced.last and voiced.at.chord:
                right = [pitch.midi for pitch in voiced.right.pitches]
                assert right == sorted(right)
                assert len(right) < 2 or right[-1] - right[-2] > 1, entry.name
                assert len(voiced.right.fingers) == len(right)
                if texture is Texture.DOUBLED:
                    assert voiced.left.pitches[-1].midi < right[0], entry.name


@pytest.mark.parametrize("revoiced", [with_guide_tones, without_roots])
def test_a_comping_left_hand_has_both_guide_tones_where_they_sound(
    revoiced: Callable[[Brief], Brief],
) -> None:
    # D3 to A4, about where two notes a tritone apart are heard apart: convention.
    for entry in LIBRARY:
        for key in KEY_SETS[f"all-{entry.mode.value}"]:
            for voiced in revoiced(two_five_one(entry.text, key, Texture.DOUBLED)).chords:
                if voiced.at.chord:
                    assert voiced.left
                    lowest, highest = voiced.left.pitches
                    assert 50 <= lowest.midi < highest.midi <= 69
                    assert {lowest.tone, highest.tone} == {*guide_tones(voiced.at.chord)}


def test_without_roots_leaves_the_root_to_the_bass_even_where_the_key_has_no_ninth() -> None:
    made = without_roots(two_five_one("ii7 Vdom7 iii7 vi7", C))

    for voiced in made.chords:
        assert voiced.right
        assert voiced.at.chord
        assert voiced.at.chord.root not in {pitch.tone for pitch in voiced.right.pitches}
