"""Fingers of block chords by shape. The triads' sources stand in published/test_triad_fingering.py."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.hands.fingering import left_fingers, right_fingers
from tracks.theory.errors import RequestError
from tracks.theory.pitch import Pitch


def fingers(text: str) -> tuple[str, str]:
    pitches = [Pitch.parse(name) for name in text.split()]
    right, left = right_fingers(pitches), left_fingers(pitches)
    return "".join(map(str, right)), "".join(map(str, left))


@pytest.mark.parametrize(
    ("notes", "right", "left"),
    [
        # A close second on top, and at the bottom (convention).
        ("B3 F4 G4", "145", "521"),
        ("D4 F4 G4", "145", "521"),
        ("F4 G4 B4", "125", "541"),
        ("F4 G4 D5", "125", "541"),
        # Root position without fifth, and without third (convention).
        ("G3 B3 F4", "125", "531"),
        ("G3 D4 F4", "135", "521"),
        # Suspensions and doubled roots.
        ("C4 F4 G4", "145", "521"),
        ("C4 D4 G4", "125", "541"),
        ("C4 G4 C5", "125", "521"),
    ],
)
def test_three_note_shapes(notes: str, right: str, left: str) -> None:
    assert fingers(notes) == (right, left)


@pytest.mark.parametrize(
    ("notes", "right", "left"),
    [
        ("G3 B3 D4 F4", "1235", "5321"),
        ("B3 D4 F4 G4", "1245", "5421"),
        ("D4 F4 G4 B4", "1235", "5321"),
        ("F4 G4 B4 D5", "1245", "5421"),
        ("Eb4 Gb4 Bb4 Db5", "1235", "5321"),
    ],
)
def test_four_note_sevenths_as_teachers_finger_them(notes: str, right: str, left: str) -> None:
    """Convention. Of those in inversion, the unique least stretches under the span table of
    Parncutt et al., "An Ergonomic Model of Keyboard Fingering", Music Perception 14(4), 1997, agree:
    right 1-2-4-5 in first and 1-2-3-5 in second, left 5-3-2-1 in second and 5-4-2-1 in third inversion.
    """
    assert fingers(notes) == (right, left)


@pytest.mark.parametrize(
    ("notes", "respelled"),
    [
        ("C4 Eb4 F#4", "C#4 E4 G4"),  # minor thirds, the upper one spelled as a second
        ("Ab4 Eb5 F#5", "G4 D5 F5"),
        ("C4 D#4 G4", "C4 Eb4 G4"),
        ("B3 D4 F4 Ab4", "Ab3 B3 D4 F4"),  # a diminished seventh in two positions
        ("C4 E4 G#4", "E4 G#4 C5"),
    ],
)
def test_fingers_follow_the_keys_and_not_the_spelling(notes: str, respelled: str) -> None:
    """Convention: the hand feels keys; equal distances are one hand."""
    assert fingers(notes) == fingers(respelled)


@given(st.lists(st.integers(0, 12), min_size=1, max_size=4, unique=True).map(sorted), st.integers(1, 11))
def test_fingers_are_the_same_a_few_half_steps_higher(keys: list[int], up: int) -> None:
    names = "C Db D Eb E F F# G Ab A Bb B".split()

    def hand(base: int) -> list[Pitch]:
        return [Pitch.parse(f"{names[(base + key) % 12]}{(base + key) // 12 - 1}") for key in keys]

    assert right_fingers(hand(60)) == right_fingers(hand(60 + up))
    assert left_fingers(hand(60)) == left_fingers(hand(60 + up))


def test_two_notes_by_size() -> None:
    pairs = ["C4 D4", "C4 E4", "C4 F4", "C4 G4", "C4 C5"]
    assert [fingers(pair)[0] for pair in pairs] == ["12", "13", "14", "15", "15"]
    assert [fingers(pair)[1] for pair in pairs] == ["21", "31", "41", "51", "51"]


def test_more_notes_than_the_table_knows_are_a_fault() -> None:
    with pytest.raises(RequestError, match="5 notes"):
        right_fingers([Pitch.parse(name) for name in "C4 D4 E4 F4 G4".split()])


@given(st.lists(st.integers(0, 11), min_size=2, max_size=4, unique=True).map(sorted))
def test_fingers_go_one_way_from_thumb_to_little_finger(steps: list[int]) -> None:
    pitches = [Pitch.parse(f"{'CDEFGAB'[step % 7]}{3 + step // 7}") for step in steps]
    right, left = right_fingers(pitches), left_fingers(pitches)
    assert list(right) == sorted(set(right))
    assert list(left) == sorted(set(left), reverse=True)
    assert len(right) == len(left) == len(pitches)
    if len(pitches) > 2:
        assert (right[0], right[-1], left[0], left[-1]) == (1, 5, 5, 1)
