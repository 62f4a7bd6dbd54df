"""Root bass: held chords in the right hand over a bass line in the left.

Source: chords over a bass note, convention; the bass that alternates root and fifth is the vamp's
(R. Hutchinson, Music Theory for the 21st-Century Classroom, 14.5.2, for its rhythm; root and fifth,
convention).
"""

from random import Random

from tracks.model import Part, Role, Texture
from tracks.patterns import EVERYDAY_METERS, Figure, figure, held, lay
from tracks.style import Brief, Style, StyleInfo
from tracks.theory.meter import Meter

CHORDS, BASS = 72, 80


def play(brief: Brief, _rng: Random) -> tuple[Part, ...]:
    """Return held chords over the bass as voiced (level 1) or over root and fifth (level 2)."""
    bass = held(brief.meter) if brief.level == 1 else root_and_fifth(brief.meter)
    return (
        lay(brief, Role.RIGHT, held(brief.meter), loudness=CHORDS),
        lay(brief, Role.LEFT, bass, loudness=BASS),
    )


def root_and_fifth(meter: Meter) -> Figure:
    """Return the bass that changes to the fifth in the bar's second half, the shorter one of an odd bar."""
    if meter.beats == 1:
        return figure("B")
    second = meter.beats // 2
    return figure("B" + " -" * (meter.beats - second - 1) + " F" + " -" * (second - 1), anew=True)


STYLE = Style(
    StyleInfo(
        name="root-bass",
        summary="held chords in the right hand, the bass line in the left",
        meters=EVERYDAY_METERS,
        roles=(Role.RIGHT, Role.LEFT),
        textures=(Texture.OVER_BASS,),
        levels=("one bass note to a chord", "the bass alternates root and fifth"),
    ),
    play,
)
