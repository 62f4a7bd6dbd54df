"""Stride: the left hand strides from a low bass on 1 and 3 to its chord on 2 and 4.

Source: "Stride (music)" (encyclopedia text, artandpopularculture.com): single bass note, octave, seventh or
tenth on 1 and 3, chord on 2 and 4. Tenths are left out: few students' hands reach them.
"""

from tracks.model import Texture
from tracks.patterns import CHARLESTON, Level, figure, held, rhythm, tabled
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(2, 4), Meter(2, 2))


def table(meter: Meter) -> tuple[Level, ...]:
    """Return single basses, basses that alternate, and octaves under a syncopated right hand."""
    parts = 4 // meter.beats
    chord = held(meter)
    right = rhythm(CHARLESTON, per_beat=2 * parts, anew=True)
    return (
        Level("one bass note", {Texture.DOUBLED: (chord, figure("L A L A", parts, anew=True))}),
        Level("the bass alternates", {Texture.DOUBLED: (chord, figure("L A M A", parts, anew=True))}),
        Level(
            "octaves; the right hand on 1 and the and of 2",
            {Texture.DOUBLED: (right, figure("O A O A", parts, anew=True))},
        ),
    )


STYLE = tabled("stride", "stride: low bass and chord by turns in the left hand", METERS, table)
