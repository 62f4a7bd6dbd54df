"""Rock eighths: repeated chords and a repeated bass over a back beat on 2 and 4.

Source: repeated quarters and eighths, R. Hutchinson, Music Theory for the 21st-Century Classroom, 14.4.3 and
14.4.4; the back beat, convention.
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
from tracks.theory.meter import Meter

DRUMS = Groove(
    {
        BASS_DRUM: figure("x . . . x x . . | x . . x x . . (x)", 2),
        SNARE: figure(". . x> . . . x> . | . . x> . . (x) x> .", 2),
        CLOSED_HI_HAT: figure("x> x x> x x> x x> x | x> x x> x x> x x> .", 2),
        OPEN_HI_HAT: figure(". . . . . . . . | . . . . . . . x", 2),
    },
    STRAIGHT_FILLS,
)
BASS, BEATS = figure("B", 2), figure("B")
PUSHING = vocabulary("B - - B - - B B | B - - B - - B P", "B - - B - - B - | B - - B - B B P")
ON_BEATS = vocabulary(
    "A - A - A - A - | A - A - A - A -",
    "A - A - A - A - | A - A A - A A -",
    fills=("A - A A - A A A",),
    sparse="A - - - A - - -",
)
EIGHTHS = vocabulary(
    "A A A A A A A A | A A A A A A A A",
    "A A A A A A A A | A> . . A> . . A A+",
    "A A A A A A A A | A A A A A A A A+",
    fills=("A> . A> . A A A A+", "A A A . A> . A> ."),
    sparse="A - - - A - - -",
)
THREE_THREE_TWO = vocabulary(
    "A> A A A> A A A> A | A> A A A> A A A> A",
    "A> A A A> A A A> A | A> . . A> . . A> A+",
    "A> - - A> - - A> - | A> A A A> A A A> A+",
    fills=("A> . A> . A> A A A+", "A> . . A> . A> A> A+"),
    sparse="A> - - A> - - A> -",
)
LEVELS = (
    Level("chords on the beats", both(ON_BEATS, BEATS), BASS, DRUMS),
    Level("chords in eighths", both(EIGHTHS, BASS), BASS, DRUMS),
    Level("the eighths accented 3 + 3 + 2", both(THREE_THREE_TWO, PUSHING), PUSHING, DRUMS),
)

STYLE = tabled(
    "rock", "rock eighths over a back beat", (Meter(4, 4), Meter(2, 4)), lambda _meter: LEVELS, PLAYED
)
