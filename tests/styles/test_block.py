"""Block chords."""

from itertools import pairwise
from random import Random

import pytest

from styles.block import STYLE
from tracks.model import Role, Texture
from tracks.style import Brief
from tracks.style.testing import trial
from tracks.theory.meter import Meter


def brief(meter: Meter, texture: Texture, level: int) -> Brief:
    chords, length = trial(meter, texture)
    return Brief(chords, meter, length, texture, level)


def test_it_plays_both_textures_in_whole_bars_or_beats() -> None:
    assert STYLE.info.textures[:2] == (Texture.DOUBLED, Texture.OVER_BASS)
    assert len(STYLE.info.levels) == 2
    assert STYLE.info.roles == (Role.RIGHT, Role.LEFT)


@pytest.mark.parametrize("texture", Texture)
def test_each_chord_is_struck_whole_in_both_hands_and_held_to_the_bar_line(texture: Texture) -> None:
    four = Meter(4, 4)
    given = brief(four, texture, level=1)

    right, left = STYLE.play(given, Random(1))

    for part in (right, left):
        expected = []
        for voiced in given.chords:
            hand = voiced.right if part is right else voiced.left
            if hand:
                starts = [
                    at for at in range(0, given.length, four.bar) if voiced.at.start < at < voiced.at.end
                ]
                bounds = [voiced.at.start, *starts, voiced.at.end]
                expected += [
                    (start, end - start, pitch, finger)
                    for start, end in pairwise(bounds)
                    for pitch, finger in zip(hand.pitches, hand.fingers, strict=True)
                ]
        assert [(note.start, note.length, note.pitch, note.finger) for note in part.notes] == expected


@pytest.mark.parametrize(
    ("meter", "beats"), [(Meter(4, 4), 4), (Meter(3, 4), 3), (Meter(6, 8), 2), (Meter(12, 8), 4)]
)
def test_level_two_strikes_on_every_felt_beat(meter: Meter, beats: int) -> None:
    # Repeated chords: R. Hutchinson, Music Theory for the 21st-Century Classroom, 14.4.4. In 6/8 and
    # 12/8 the beat is the dotted quarter (convention).
    right, left = STYLE.play(brief(meter, Texture.DOUBLED, level=2), Random(1))

    for part in (right, left):
        first_bar = sorted({note.start for note in part.notes if note.start < meter.bar})
        assert first_bar == [beat * meter.beat for beat in range(beats)]
