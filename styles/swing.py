"""Swing: chords off the beat over a walking bass, the ride cymbal swinging with the tempo.

Over a bass the left hand walks and the band's bass with it; doubled, both comp and the bass walks.

Sources: the walk, `tracks.patterns.walking`; comping rhythms (four to the bar, Charleston, displaced
Charleston, a beat within it, the and of 2 and of 4 that anticipates), "The First 5 Comping Patterns to Teach
Your Students", jazzresources.org; the Charleston, R. Hutchinson, Music Theory for the 21st-Century Classroom,
14.4.1; voicings, `tracks.patterns.jazz`; how far it swings, `tracks.patterns.feel`; ride, hi-hat, brushes and
the bass drum feathered under them, convention.
"""

from random import Random

from tracks.model import Part, Role, Texture
from tracks.patterns import (
    BASS_DRUM,
    PEDAL_HI_HAT,
    RIDE_CYMBAL,
    SNARE,
    UNDER_SPARSE_COMPING,
    brushes,
    figure,
    sticks,
    trio,
    vocabulary,
    with_guide_tones,
    without_roots,
)
from tracks.style import Brief, Feel, Style, StyleInfo
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(3, 4), Meter(2, 4))
IN_TWO = brushes(
    {SNARE: figure("(x) x (x) x x> x (x) x | (x) x (x) x x> (x) x x", 2), PEDAL_HI_HAT: figure(". x")}
)
FOUR = sticks(
    {
        RIDE_CYMBAL: figure("x . x> x x . x> x | x . x> x x . x> .", 2),
        PEDAL_HI_HAT: figure(". x"),
        BASS_DRUM: figure("(x)"),
        SNARE: figure(". . . . . . . (x) | . . . (x) . . . .", 2),
    }
)
THREE = sticks(
    {
        RIDE_CYMBAL: figure("x . x> x x .", 2),
        PEDAL_HI_HAT: figure(". x ."),
        BASS_DRUM: figure("(x)"),
        SNARE: figure(". . . . . . | . . . . . (x)", 2),
    }
)
CHARLESTON = vocabulary(
    "A - - A - . . . | A - - A - . . .",
    "A - - A - . . . | A - - - . . . .",
    "A - - A - . . . | . . . A - . . .",
    fills=("A . A A - . . .",),
    sparse="A - - . . . . .",
)
WALKED = vocabulary(
    "A - - A - . . . | A - - A - . . .",
    "A - - A - . . . | . A - - A - . A+",
    ". A - - A - . . | A - - A - . . A+",
    "A - - A - . . A+ | A . A A - . . .",
    fills=("A . . A . . . A+", ". . A . . . A ."),
    sparse=". . . A - . . .",
)
OFF_BEAT = vocabulary(
    ". . . A . . . A+ | . . . A . . A .",
    ". . . A . . . A+ | . A - - . . . A+",
    ". . . A . . A . | . A - - . . . A+",
    "A . A A . . . A+ | . . . A - . . .",
    ". A - - A . . . | . . . A . . . A+",
    ". . A . . . A . | . . . A . . . .",
    fills=(". A . A . A . A+", ". . A A . . A ."),
    sparse=". . . A . . . .",
)
IN_THREE = (
    vocabulary(
        "A - - A - . | A - - A - .", "A - - A - . | A - - - . .", fills=("A . A A - .",), sparse="A - - . . ."
    ),
    vocabulary(
        "A - - A - . | A - - A - .",
        "A - - A - . | . A - - A .",
        "A - - A - . | . . A - - A+",
        fills=("A . . A . A+",),
        sparse=". . . A - .",
    ),
    vocabulary(
        ". . . A . A+ | . . . A . A+",
        ". . . A . A+ | . . A . A .",
        ". A - - . A+ | . . . A . .",
        fills=(". A . A . A+",),
        sparse=". . . A . .",
    ),
)


def play(brief: Brief, rng: Random) -> tuple[Part, ...]:
    """Return the comping, the bass in two (level 1) or walking, and the drums."""
    grade = min(brief.level, 3) - 1
    three = brief.meter.beats == 3
    comping = (IN_THREE if three else (CHARLESTON, WALKED, OFF_BEAT))[grade]
    voiced = {4: with_guide_tones, 5: without_roots}.get(brief.level)
    drums = THREE if three else IN_TWO if brief.level == 1 else FOUR
    chords, sparse = voiced(brief) if voiced else brief, brief.level > 2
    softer = UNDER_SPARSE_COMPING if sparse else 0
    return trio(chords, comping, drums, rng, walks=brief.level > 1, skips=sparse, softer=softer)


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
            "walking bass, guide tones off the beat",
            "walking bass, rootless voicings off the beat",
        ),
        follows_tempo=True,
        feel=Feel(swing=None),
    ),
    play,
)
