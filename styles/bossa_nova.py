"""Bossa nova: the clave over a bass of roots and fifths, dotted.

Its pattern of sixteen takes two bars: eighths of 4/4, sixteenths of 2/4.

Source: the clave, gaps 3-3-4-3-3 (see `tracks.patterns`); the bass, root on 1 and the and of 2, fifth on 3
and the and of 4, from memory; the rest of the drums, convention.
"""

from tracks.patterns import (
    ACOUSTIC_BASS,
    BASS_DRUM,
    BOSSA_CLAVE,
    CHARLESTON,
    CLOSED_HI_HAT,
    LIGHT_FILLS,
    PLAYED,
    SIDE_STICK,
    Groove,
    Level,
    both,
    figure,
    rhythm,
    tabled,
)
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(2, 4), Meter(2, 2))
DOTTED = "x - - x x - - x"


def table(meter: Meter) -> tuple[Level, ...]:
    """Return chords on 1 and the and of 2, then on the clave."""
    parts = 8 // meter.beats
    drums = Groove(
        {
            BASS_DRUM: rhythm(DOTTED, "x", per_beat=parts),
            CLOSED_HI_HAT: figure("x> x", parts),
            SIDE_STICK: figure(BOSSA_CLAVE, parts),
        },
        LIGHT_FILLS,
        fill_beats=1,
        phrase=8,
    )
    bass = rhythm(DOTTED, "B", "B", "F", "F", per_beat=parts)
    return (
        Level(
            "chords on 1 and the and of 2",
            both(rhythm(CHARLESTON, per_beat=parts, anew=True), bass),
            bass,
            drums,
        ),
        Level("chords on the clave", both(rhythm(BOSSA_CLAVE, per_beat=parts), bass), bass, drums),
    )


STYLE = tabled(
    "bossa-nova",
    "bossa nova: the clave over roots and fifths",
    METERS,
    table,
    PLAYED,
    bass_program=ACOUSTIC_BASS,
)
