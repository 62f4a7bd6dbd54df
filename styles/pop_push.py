"""Pop sixteenths: chords pushed onto the last sixteenth before a beat.

Source: convention.
"""

from tracks.patterns import (
    BASS_DRUM,
    CLOSED_HI_HAT,
    OPEN_HI_HAT,
    PLAYED,
    SNARE,
    STRAIGHT_FILLS,
    Groove,
    Level,
    both,
    figure,
    tabled,
    vocabulary,
)
from tracks.theory.meter import QUARTER, Meter

SIXTEENTH = QUARTER // 4
DRUMS = Groove(
    {
        BASS_DRUM: figure("x . . . | . . . x | . . x . | . . . . | x . . . | . . . x | . . x . | . x . .", 4),
        SNARE: figure(
            ". . . . | x> . . . | . (x) . . | x> . . . | . . . . | x> . . (x) | . (x) . . | x> . . (x)", 4
        ),
        CLOSED_HI_HAT: figure("x> x x x " * 7 + "x> x . .", 4),
        OPEN_HI_HAT: figure(". . . . " * 7 + ". . x .", 4),
    },
    STRAIGHT_FILLS,
)
BASS = figure("B - - - | - - - B | - - B - | - - - - | B - - - | - - - B | - - B - | - . P -", 4)
LEFT = figure("B - - - | - - - - | B - - - | - - - -", 4)
THREE_THREE_TWO = vocabulary(
    "A - - A - - A - | A - - A - - A -",
    "A - - A - - A - | A - - A - - - A+",
    "A - - A - - A - | A - - A - A A A+",
    fills=("A - - A - A A A+", "A - A - A - A -"),
    sparse="A - - - - - - -",
)
BEFORE_THREE = vocabulary(
    "A - - - | - - - A+ | - - - - | A - - - | A - - - | - - - A+ | - - - - | A - - -",
    "A - - - | - - - A+ | - - - - | A - - - | A - - A | - - A - | - - - - | A - - A+",
    "A - - - | - - - A+ | - - - - | A - - - | A - - - | - - - A+ | - - - A | - - - A+",
    per_beat=4,
    fills=("A - - A | - - A - | A - - A | - - - A+", "A - - - | - - - A+ | - - A - | A - A -"),
    sparse="A - - - | - - - - | - - - - | - - - -",
)
ALL_EARLY = vocabulary(
    "A - - - | - - - - | A - - - | - A - - | A - - - | - - - - | A - - - | - A - -",
    "A - - - | - - - - | A - - - | - A - - | A - - A | - - - - | A - - - | - - - -",
    "A - - - | - A - - | A - - - | - - - - | A - - - | - - - - | A - - - | - A - -",
    per_beat=4,
    fills=("A - - - | A - - - | A - - A | - A - A",),
    sparse="A - - - | - - - - | - - - - | - - - -",
)
LEVELS = (
    Level("3 + 3 + 2 in eighths", both(THREE_THREE_TWO, LEFT), BASS, DRUMS),
    Level("a chord on the sixteenth before 3", both(BEFORE_THREE, LEFT), BASS, DRUMS),
    Level("every chord a sixteenth early", both(ALL_EARLY, LEFT), BASS, DRUMS, early=SIXTEENTH),
)

STYLE = tabled(
    "pop-push", "pop sixteenths: chords pushed before the beat", (Meter(4, 4),), lambda _meter: LEVELS, PLAYED
)
