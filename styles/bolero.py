"""Bolero: a slow song over a bass on 1, 3 and 4, the maracas in eighths.

Sources: the cinquillo, long-short-long-short-long, `tracks.patterns`; bass on 1, 3 and 4, bongos and congas,
from memory; broken chords, R. Hutchinson, Music Theory for the 21st-Century Classroom, 14.3.
"""

from tracks.patterns import (
    ACOUSTIC_BASS,
    CINQUILLO,
    HIGH_BONGO,
    LOW_BONGO,
    LOW_CONGA,
    MARACAS,
    OPEN_HIGH_CONGA,
    SUSTAINED,
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
CINQUILLO_CHORDS = CINQUILLO.replace("x", "A")


def table(meter: Meter) -> tuple[Level, ...]:
    """Return the chords with the bass, then broken, then on the cinquillo."""
    parts = 8 // meter.beats
    drums = Groove(
        {
            MARACAS: figure("x> x x> x x> x x> x | x> x x> (x) x> x x> x", parts),
            HIGH_BONGO: figure("x (x) x x x (x) . (x)", parts),
            LOW_BONGO: figure(". . . . . . x .", parts),
            OPEN_HIGH_CONGA: figure(". . . . . . x x", parts),
            LOW_CONGA: figure(". . . . x . . . | . . . . x . x .", parts),
        },
        ({HIGH_BONGO: figure("x x x x", 4), LOW_BONGO: figure(". . . x", 4)},),
        fill_beats=1,
        phrase=8,
        crash=None,
    )
    slow, on = rhythm("x - - - x - x -", "B", "F", "F", per_beat=parts), figure("B - - - F - P -", parts)
    chords = vocabulary(
        "A - - - A - A - | A - - - A - A -",
        "A - - - A - A - | A - - - - - A -",
        per_beat=parts,
        fills=("A - A - U T U T",),
    )
    broken = vocabulary(
        "1 2 T 2 1 2 T 2 | 1 2 T 2 1 2 T 2",
        "1 2 T 2 1 2 T 2 | 1 2 T 2 A - - -",
        per_beat=parts,
        fills=("1 2 T 2 A - A -",),
    )
    five = vocabulary(
        f"{CINQUILLO_CHORDS} | A - - - A - A -",
        f"{CINQUILLO_CHORDS} | {CINQUILLO_CHORDS}",
        f"A - - - A - A - | {CINQUILLO_CHORDS}",
        per_beat=parts,
        fills=("A - A A - A A -",),
    )
    return (
        Level("chords on 1, 3 and 4", both(chords, slow), slow, drums),
        Level("broken chords", both(broken, slow), slow, drums),
        Level("chords on the cinquillo, the bass leading on", both(five, on), on, drums),
    )


STYLE = tabled(
    "bolero", "bolero: a slow song over 1, 3 and 4", METERS, table, SUSTAINED, bass_program=ACOUSTIC_BASS
)
