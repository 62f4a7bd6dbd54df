"""Gospel in 4/4: full chords on the beats, and passing chords that slide up into the next.

Source: the diminished seventh chord on the half step below a chord, which leads to it, and the clap on 2 and
4, convention of the trade.
"""

from dataclasses import replace

from tracks.patterns import (
    BASS_DRUM,
    CLOSED_HI_HAT,
    SNARE,
    STRAIGHT_FILLS,
    SUSTAINED,
    TAMBOURINE,
    Groove,
    Level,
    both,
    figure,
    tabled,
    vocabulary,
)
from tracks.theory.meter import Meter

FEEL = replace(SUSTAINED, pedal=False)
"""Without the pedal, which would blur what passes."""
DRUMS = Groove(
    {
        BASS_DRUM: figure("x . . x x . . . | x . . x x . x .", 2),
        SNARE: figure(". . x> . . . x> . | . . x> . . (x) x> (x)", 2),
        TAMBOURINE: figure(". x . x"),
        CLOSED_HI_HAT: figure("x> x", 2),
    },
    STRAIGHT_FILLS,
    fill_beats=1,
)
BEATS = vocabulary(
    "A - A - A - A - | A - A - A - A -",
    "A - A - A - A - | A - A A - A A -",
    fills=("A - A A - A U T",),
)
PASSING = vocabulary(
    "A - A - A - A K | A - A - A - A K",
    "A - A - A - A K | A - A A - A - K",
    "A - - A - A A K | A - A - A - A K",
    fills=("A - A A - A A K",),
)
WALKING_UP = vocabulary(
    "A - A - A - K - | A - A - A - K -",
    "A - - A - A K - | A - A A - A - K",
    "A - A A - A - K | A - A - A - K -",
    fills=("A A - A - A K -",),
)
PLAIN, LEADING = figure("B - - - F - - -", 2), figure("B - - B F - P -", 2)
LEVELS = (
    Level("chords on the beats", both(BEATS, PLAIN), PLAIN, DRUMS),
    Level("a passing chord before the next", both(PASSING, PLAIN), LEADING, DRUMS),
    Level("passing chords of a beat, the bass leading on", both(WALKING_UP, LEADING), LEADING, DRUMS),
)

STYLE = tabled(
    "gospel-four",
    "gospel in 4/4: full chords and passing chords",
    (Meter(4, 4), Meter(2, 4)),
    lambda _meter: LEVELS,
    FEEL,
)
