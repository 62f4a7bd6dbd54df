"""Improvise: a seeded tune in the right hand over held chords in the left.

The tune comes from `tracks.melody`: phrases of two or four bars with breaths, chord tones on the strong
beats, leaps that recover, sevenths that resolve; each level has its device. It ends on the last chord's root.

Source: the devices and their names, R. Hutchinson, *Music Theory for the 21st-Century Classroom*, chapter 31
(guide tones, chord scales, the blues scale); phrases and breaths, convention.
"""

from random import Random

from tracks.melody.tune import improvise
from tracks.model import Part, Role, Texture
from tracks.patterns import EVERYDAY_METERS, held, lay
from tracks.style import Brief, Style, StyleInfo

CHORDS = 64


def play(brief: Brief, rng: Random) -> tuple[Part, ...]:
    """Return the tune and the left hand under it."""
    tune = Part(Role.MELODY, improvise(brief, rng))
    return tune, lay(brief, Role.LEFT, held(brief.meter), loudness=CHORDS)


STYLE = Style(
    StyleInfo(
        name="improvise",
        summary="a new melody for every seed, over held chords in the left hand",
        meters=EVERYDAY_METERS,
        roles=(Role.MELODY, Role.LEFT),
        textures=(Texture.DOUBLED, Texture.OVER_BASS),
        levels=(
            "chord tones",
            "passing and neighbor tones",
            "guide-tone lines through the changes",
            "approach notes and enclosures",
            "blues and pentatonic",
            "motifs that return, move in sequence and answer themselves",
        ),
    ),
    play,
)
