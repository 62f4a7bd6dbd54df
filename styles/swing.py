"""Swing: chords off the beat over a walking bass, the ride cymbal swinging with the tempo.

Over a bass the left hand walks and the band's bass with it; hands together, both comp and the bass walks.

Sources: the walk, `tracks.patterns.walking`; the Charleston, R. Hutchinson, Music Theory for the 21st-Century
Classroom, 14.4.1; how far it swings, `tracks.patterns.feel`; ride and hi-hat, convention.
"""

from dataclasses import replace
from random import Random

from tracks.model import Part, Role, Texture
from tracks.patterns import (
    ACOUSTIC_BASS,
    CHARLESTON,
    LEFT_HAND,
    LIGHT_FILLS,
    PEDAL_HI_HAT,
    RIDE_CYMBAL,
    Groove,
    figure,
    kit,
    lay,
    rhythm,
    walk,
)
from tracks.style import Brief, Feel, Style, StyleInfo
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(3, 4), Meter(2, 4))
FOUR = Groove({RIDE_CYMBAL: figure("x . x> x", 2), PEDAL_HI_HAT: figure(". x")}, LIGHT_FILLS, 1, 8)
THREE = Groove({RIDE_CYMBAL: figure("x . x x x .", 2), PEDAL_HI_HAT: figure(". x .")}, LIGHT_FILLS, 1, 8)
COMPING = (
    rhythm(CHARLESTON, anew=True),
    rhythm(CHARLESTON, anew=True),
    figure(". . . A . . . A", 2),
)
COMPING_IN_THREE = (*(figure("A - - A - .", 2),) * 2, figure(". . . A . A", 2))


def play(brief: Brief, rng: Random) -> tuple[Part, ...]:
    """Return the comping, the bass in two (level 1) or walking, and the drums."""
    three = brief.meter.beats == 3
    comping = (COMPING_IN_THREE if three else COMPING)[brief.level - 1]
    left, bass = in_two(brief) if brief.level == 1 else walking(brief, rng)
    if brief.texture is Texture.DOUBLED:
        left = lay(brief, Role.LEFT, comping, loudness=74)
    drums = kit(brief, THREE if three else FOUR, rng, loudness=78)
    return (lay(brief, Role.RIGHT, comping, loudness=76), left, bass, drums)


def in_two(brief: Brief) -> tuple[Part, Part]:
    """Return root and fifth for the left hand and for the bass."""
    turning = figure("B - F" if brief.meter.beats == 3 else "B - F -", anew=True)
    return (
        lay(brief, Role.LEFT, turning),
        lay(brief, Role.BASS, turning, loudness=72, program=ACOUSTIC_BASS),
    )


def walking(brief: Brief, rng: Random) -> tuple[Part, Part]:
    """Return one walking line, for the left hand and an octave lower for the bass."""
    rights = [voiced.right.pitches[0].midi for voiced in brief.chords if voiced.right]
    low, high = LEFT_HAND
    bass = walk(brief, rng, register=(low - 12, min(high, *rights) - 13))
    higher = (replace(note, pitch=note.pitch.octaves_up(1)) for note in bass.notes)
    return Part(Role.LEFT, tuple(higher)), bass


STYLE = Style(
    StyleInfo(
        name="swing",
        summary="swing: comping over a walking bass",
        meters=METERS,
        roles=(Role.RIGHT, Role.LEFT, Role.BASS, Role.DRUMS),
        textures=(Texture.OVER_BASS, Texture.DOUBLED),
        levels=(
            "bass in two, chords on 1 and the and of 2",
            "walking bass, chords on 1 and the and of 2",
            "walking bass, chords off the beat",
        ),
        follows_tempo=True,
        feel=Feel(swing=None),
    ),
    play,
)
