"""Bossa nova: the clave over a bass of roots and fifths, dotted.

Its pattern of sixteen takes two bars: eighths of 4/4, sixteenths of 2/4.

Source: the clave, gaps 3-3-4-3-3 (see `tracks.patterns`); the bass, root on 1 and the and of 2, fifth on 3
and the and of 4, from memory; where it leads on, the and of 4 is the coming root; the pedaled hi-hat on 2 and
4, "First page of Bossa Nova", cruiseshipdrummer.com, 2022; the rest of the drums, and phrases beside the
clave, convention.
"""

from tracks.patterns import (
    ACOUSTIC_BASS,
    BASS_DRUM,
    BOSSA_CLAVE,
    CLOSED_HI_HAT,
    LIGHT_FILLS,
    PEDAL_HI_HAT,
    PLAYED,
    SIDE_STICK,
    Groove,
    Level,
    both,
    figure,
    rhythm,
    tabled,
    vocabulary,
)
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(2, 4), Meter(2, 2))
DOTTED = "x - - x x - - x"


def table(meter: Meter) -> tuple[Level, ...]:
    """Return chords on 1 and the and of 2, then on the clave."""
    parts = 8 // meter.beats
    drums = Groove(
        {
            BASS_DRUM: figure("x . . x x . . x | x . . x x . . (x)", parts),
            CLOSED_HI_HAT: figure("x> x x> x x> x x> x | x> x x> (x) x> x x> (x)", parts),
            PEDAL_HI_HAT: figure(". . x . . . x .", parts),
            SIDE_STICK: figure(BOSSA_CLAVE, parts),
        },
        LIGHT_FILLS,
        fill_beats=1,
        phrase=8,
        crash=None,
    )
    bass = rhythm(DOTTED, "B", "B", "F", "F", per_beat=parts)
    leading = rhythm(DOTTED, "B", "F", "F", "B+", per_beat=parts)
    easy = vocabulary(
        "A - - A - . . . | A - - A - . . .",
        "A - - A - . . . | A - - A - . A .",
        "A - - A - . . . | . . A - - . A .",
        per_beat=parts,
        fills=("A . . A . . A .",),
        sparse="A - - . . . . .",
    )
    clave = vocabulary(
        BOSSA_CLAVE.replace("x", "A"),
        "A . . A . . A . | . . A . . A . A+",
        "A . . A . . . A+ | . A . . A . . A+",
        ". . A . . A . A+ | . . . A . . A .",
        per_beat=parts,
        fills=("A . . A . A . A+", ". A . A . . A ."),
        sparse="A . . . . . A .",
    )
    return (
        Level("chords on 1 and the and of 2", both(easy, bass), bass, drums, low=True),
        Level("chords on the clave, the bass leading on", both(clave, leading), leading, drums, low=True),
    )


STYLE = tabled(
    "bossa-nova",
    "bossa nova: the clave over roots and fifths",
    METERS,
    table,
    PLAYED,
    bass_program=ACOUSTIC_BASS,
)
