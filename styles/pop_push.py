"""Pop sixteenths: chords pushed onto the last sixteenth before a beat.

Source: convention.
"""

from tracks.patterns import (
    BASS_DRUM,
    CLOSED_HI_HAT,
    PLAYED,
    SNARE,
    STRAIGHT_FILLS,
    TRESILLO,
    Groove,
    Level,
    both,
    figure,
    rhythm,
    tabled,
)
from tracks.theory.meter import QUARTER, Meter

SIXTEENTH = QUARTER // 4
DRUMS = Groove(
    {
        BASS_DRUM: figure("x . . . | . . . x | . . x . | . . . .", 4),
        SNARE: figure(". x> . x>"),
        CLOSED_HI_HAT: figure("x> x x x", 4),
    },
    STRAIGHT_FILLS,
)
BASS = figure("B - - - | - - - B | - - B - | - - - -", 4)
LEFT = figure("B - - - | - - - - | B - - - | - - - -", 4)
BEFORE_THREE = figure("A - - - | - - - A | - - - - | A - - -", 4)
ALL_EARLY = figure("A - - - | - - - - | A - - - | - A - -", 4)
LEVELS = (
    Level("3 + 3 + 2 in eighths", both(rhythm(TRESILLO), LEFT), BASS, DRUMS),
    Level("a chord on the sixteenth before 3", both(BEFORE_THREE, LEFT), BASS, DRUMS),
    Level("every chord a sixteenth early", both(ALL_EARLY, LEFT), BASS, DRUMS, early=SIXTEENTH),
)

STYLE = tabled(
    "pop-push", "pop sixteenths: chords pushed before the beat", (Meter(4, 4),), lambda _meter: LEVELS, PLAYED
)
