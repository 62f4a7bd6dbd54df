"""A seeded melody over the left hand's chords."""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from styles.improvise import STYLE
from tracks.drill.drill import Drill
from tracks.drill.in_key import in_each_key
from tracks.model import Note, Role, Texture
from tracks.style import Brief
from tracks.style.testing import trial
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter

FOUR = Meter(4, 4)
LEVELS = range(1, len(STYLE.info.levels) + 1)


def brief(text: str, key: Key, level: int = 2, texture: Texture = Texture.OVER_BASS) -> Brief:
    in_key = in_each_key(Drill("lantern", text, (key,), FOUR, (60,), texture=texture))[0]
    return Brief(in_key.chords, FOUR, in_key.changes.length, texture, level)


def tune(given: Brief, seed: int) -> tuple[Note, ...]:
    return STYLE.play(given, Random(seed))[0].notes


def test_the_melody_is_the_right_hand_and_the_left_has_the_chords() -> None:
    melody, left = STYLE.play(brief("I IV V7 I", Key.parse("C")), Random(1))

    assert (melody.role, left.role) == (Role.MELODY, Role.LEFT)
    assert STYLE.info.roles == (Role.MELODY, Role.LEFT)


def test_there_are_six_levels() -> None:
    assert len(STYLE.info.levels) == 6


@pytest.mark.parametrize("level", LEVELS)
def test_same_seed_plays_the_same_tune_and_another_seed_another(level: int) -> None:
    given = brief("I vi IV V7", Key.parse("D"), level)

    assert tune(given, 7) == tune(given, 7)
    assert len({tune(given, seed) for seed in range(20)}) == 20


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("texture", [Texture.DOUBLED, Texture.OVER_BASS])
def test_one_seed_plays_one_tune_in_every_key(texture: Texture, level: int) -> None:
    contours = set()
    for key in KEY_SETS["all-major"]:
        notes = tune(brief("I vi ii V7 | V7/V V7 I I", key, level, texture), 3)
        contours.add(tuple((n.start, n.length, n.pitch.midi - notes[0].pitch.midi) for n in notes))

    assert len(contours) == 1


@settings(max_examples=40)
@given(
    seed=st.integers(0, 10_000),
    meter=st.sampled_from([Meter(4, 4), Meter(3, 4), Meter(6, 8), Meter(12, 8), Meter(7, 8)]),
    texture=st.sampled_from(STYLE.info.textures),
    level=st.sampled_from(LEVELS),
)
def test_tune_is_silent_where_the_chords_are(seed: int, meter: Meter, texture: Texture, level: int) -> None:
    chords, length = trial(meter, texture)

    notes = tune(Brief(chords, meter, length, texture, level), seed)

    silences = [voiced.at for voiced in chords if voiced.at.chord is None]
    assert silences
    assert not [note for note in notes for at in silences if note.start < at.end and at.start < note.end]


@pytest.mark.parametrize("turn", [2, 4])
def test_tune_breathes_at_every_turn(turn: int) -> None:
    given = replace(brief("I vi ii V7 iii vi ii V7", Key.parse("C")), turn=turn)

    for seed in range(20):
        ends = {note.end for note in tune(given, seed)}
        for line in range(turn * FOUR.bar, given.length, turn * FOUR.bar):
            assert line not in ends
