"""The short call against tables by hand, and against the exact sentence."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.hands.call import call, finger_call
from tracks.hands.motion import what_moves
from tracks.theory.pitch import Pitch


def notes(text: str) -> tuple[Pitch, ...]:
    return tuple(Pitch.parse(name) for name in text.split())


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ("C4 E4 G4", "C4 F4 A4", "top two up"),
        ("F4 A4 C5", "F4 B4 D5", "top two up"),
        ("D4 F4 C5", "F4 G4 B4", "bottom two up, top down"),
        ("C4 F4 A4", "B3 D4 G4", "all down"),
        ("C4 E4 G4", "C4 E4 G4", "all hold"),
        ("C4 E4 G4", "B3 E4 G#4", "bottom down, top up"),
        ("C4 E4 G4", "B3 E4 F#4", "outside down"),
        ("C4 E4 G4", "D4 Eb4 A4", "outside up, middle down"),
        ("C4 E4 G4", "D4 D#4 F4", "bottom up, top two down"),
        ("C4 E4 G4", "C4 Eb4 G4", "middle down"),
        ("C4 E4", "D4 F4", "all up"),
        ("C4 E4", "C4 F4", "top up"),
        ("G3 B3 D4 F4", "G3 C4 E4 F4", "middle two up"),
        ("G3 B3 D4 F4", "A3 C4 E4 F4", "bottom three up"),
        ("G3 B3 D4 F4", "A3 B3 D4 E4", "bottom up, top down"),
        ("G3 B3 D4 F4", "A3 B3 E4 F4", "bottom and upper middle up"),
        ("G3 B3 D4 F4", "F3 B3 D4 E4", "outside down"),
        ("C4 E4 G4", "C4 E4 G4 B4", "top splits"),
        ("G3 B3 D4 F4", "G3 C4 E4", "middle two meet, top down"),
    ],
)
def test_calls_as_teachers_say_them(before: str, after: str, said: str) -> None:
    """Convention: voices that go one way are called together; who is not named holds."""
    assert call(notes(before), notes(after)) == said


VOICE = r"(bottom|middle|top|outside|top two|bottom two|all)"
KEYS = [Pitch.parse(f"{name}4") for name in "C Db D Eb E F Gb G Ab A Bb B".split()]
HANDS = st.lists(st.sampled_from(KEYS), min_size=3, max_size=3, unique=True).map(
    lambda hand: tuple(sorted(hand, key=lambda pitch: pitch.midi))
)


@given(HANDS, HANDS)
def test_call_names_the_voices_that_move_and_says_nothing_else(
    before: tuple[Pitch, ...], after: tuple[Pitch, ...]
) -> None:
    said = call(before, after)
    assert re.fullmatch(rf"{VOICE} (up|down|hold)(, {VOICE} (up|down))*", said)
    places = {"bottom": [0], "middle": [1], "top": [2], "outside": [0, 2], "top two": [1, 2]}
    places |= {"bottom two": [0, 1], "all": [0, 1, 2]}
    heard = {
        place: words.split()[-1] for words in said.split(", ") for place in places[words.rsplit(" ", 1)[0]]
    }
    for place, (old, new) in enumerate(zip(before, after, strict=True)):
        way = "up" if new.midi > old.midi else "down" if new.midi < old.midi else "hold"
        assert heard.get(place, "hold") == way, what_moves(before, after)


def test_a_changed_inner_finger_is_told_with_its_hand() -> None:
    assert finger_call("right", (1, 3, 5), (1, 2, 5)) == "right hand: 2"
    assert finger_call("left", (5, 3, 1), (5, 2, 1)) == "left hand: 2"
    assert finger_call("right", (1, 2, 3, 5), (1, 2, 4, 5)) == "right hand: 2 4"
    assert finger_call("right", (1, 3, 5), (1, 3, 5)) == ""
    assert finger_call("left", (5,), (1,)) == ""
