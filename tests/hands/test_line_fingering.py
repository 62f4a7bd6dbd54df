"""Fingers for lines: the dynamic program against brute force, and what a hand can do."""

import random
from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracks.hands.line_fingering import SPANS, LineHand, difficulty, line_fingers
from tracks.theory.pitch import Pitch

NAMES = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


def on_key(midi: int) -> Pitch:
    return Pitch.parse(f"{NAMES[midi % 12]}{midi // 12 - 1}")


def fingers(text: str, hand: LineHand = LineHand.RIGHT) -> str:
    return "".join(map(str, line_fingers([Pitch.parse(name) for name in text.split()], hand)))


@pytest.mark.parametrize("hand", LineHand)
@pytest.mark.parametrize("seed", range(3))
def test_no_fingering_is_easier(hand: LineHand, seed: int) -> None:
    dice = random.Random(seed)
    for _ in range(6):
        line = [on_key(dice.randint(55, 70)) for _ in range(dice.randint(2, 6))]
        found = difficulty(line, line_fingers(line, hand), hand)
        assert found == min(difficulty(line, way, hand) for way in product(range(1, 6), repeat=len(line)))


def test_five_finger_position_takes_the_fingers_in_turn() -> None:
    assert fingers("C4 D4 E4 F4 G4") == "12345"
    assert fingers("C3 D3 E3 F3 G3", LineHand.LEFT) == "54321"
    assert fingers("G4 F4 E4 D4 C4") == "54321"


def test_left_hand_is_the_right_hands_mirror() -> None:
    up = [on_key(midi) for midi in (60, 62, 64, 65, 67, 69, 71, 72)]
    # Around D the keyboard is its own mirror.
    mirrored = [on_key(124 - pitch.midi) for pitch in up]
    assert line_fingers(up, LineHand.RIGHT) == line_fingers(mirrored, LineHand.LEFT)


def test_key_struck_again_keeps_its_finger() -> None:
    assert len(set(fingers("E4 E4 E4"))) == 1


def test_nothing_and_one_note_have_their_fingers() -> None:
    assert fingers("") == ""
    assert fingers("C4") == "3"


@settings(max_examples=60)
@given(st.lists(st.integers(0, 4).map(lambda step: step - 2), min_size=1, max_size=20))
def test_steps_are_never_a_stretch_beyond_the_practical_span(steps: list[int]) -> None:
    midis = [64]
    for step in steps:
        midis.append(midis[-1] + step)
    line = [on_key(midi) for midi in midis]
    for hand, way in ((LineHand.RIGHT, 1), (LineHand.LEFT, -1)):
        for (a, b), (x, y) in zip(pairwise(line_fingers(line, hand)), pairwise(midis), strict=True):
            move = way * (y - x)
            if x == y:
                continue
            assert a != b
            span = move if a < b else -move
            limits = SPANS[min(a, b), max(a, b)]
            assert limits.min_practical <= span <= limits.max_practical


def test_leap_wider_than_any_hand_still_has_fingers() -> None:
    assert len(fingers("C3 C6 D6 E6")) == 4
