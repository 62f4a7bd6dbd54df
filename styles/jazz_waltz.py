"""Jazz waltz: three swung beats, comped across the bar, over a bass in one or walking.

Sources: the dotted half-bar figure (1 and the and of 2, the Charleston's in three) and the ride's beat,
convention; the walk, `tracks.patterns.walking`; voicings, `tracks.patterns.jazz`.
"""

from random import Random

from tracks.model import Part, Role, Texture
from tracks.patterns import (
    BASS_DRUM,
    PEDAL_HI_HAT,
    RIDE_CYMBAL,
    SNARE,
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

BRUSHES = brushes({SNARE: figure("(x) x x> x (x) x | (x) x x> (x) x x", 2), PEDAL_HI_HAT: figure(". x x")})
STICKS = sticks(
    {
        RIDE_CYMBAL: figure("x . x> . x x | x . x> x x .", 2),
        PEDAL_HI_HAT: figure(". x ."),
        BASS_DRUM: figure("x . . . . . | (x) . . x . .", 2),
        SNARE: figure(". . . (x) . . | . . . . . (x)", 2),
    }
)
ONE = vocabulary(
    "A - - A - - | A - - A - -",
    "A - - A - - | A - - - - -",
    fills=("A - A - A -",),
    sparse="A - - - - -",
)
ACROSS = vocabulary(
    "A - - A - . | . A - - A -",
    "A - - A - . | . . . A - A+",
    ". A - - A - | A - - A - A+",
    "A - - A - A+ | . . A - - .",
    fills=("A . . A . A+", ". A . A . A+"),
    sparse=". . . A - .",
)


def play(brief: Brief, rng: Random) -> tuple[Part, ...]:
    """Return the comping, the bass in one (level 1) or walking, and the drums."""
    voiced = {3: with_guide_tones, 4: without_roots}.get(brief.level)
    chords = voiced(brief) if voiced else brief
    if brief.level == 1:
        return trio(chords, ONE, BRUSHES, rng, walks=False)
    return trio(chords, ACROSS, STICKS, rng, skips=brief.level > 2)


STYLE = Style(
    StyleInfo(
        name="jazz-waltz",
        summary="jazz waltz: comping across three swung beats",
        meters=(Meter(3, 4), Meter(3, 2)),
        roles=(Role.RIGHT, Role.LEFT, Role.BASS, Role.DRUMS),
        textures=(Texture.OVER_BASS, Texture.DOUBLED),
        levels=(
            "bass in one, chords on 1 and the and of 2",
            "walking bass, chords across the bar",
            "walking bass, guide tones across the bar",
            "walking bass, rootless voicings across the bar",
        ),
        follows_tempo=True,
        feel=Feel(swing=None),
    ),
    play,
)
