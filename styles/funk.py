"""Funk sixteenths: short chords between a bass that locks with the bass drum, ghost notes on the snare.

Source: convention: everything meets on 1, the back beat on 2 and 4, the rest syncopates in sixteenths; ghost
notes are written in parentheses, as drummers do.
"""

from tracks.patterns import (
    BASS_DRUM,
    CLOSED_HI_HAT,
    DETACHED,
    OPEN_HI_HAT,
    SNARE,
    STRAIGHT_FILLS,
    Groove,
    Level,
    Phrases,
    both,
    figure,
    tabled,
    vocabulary,
)
from tracks.theory.meter import Meter

DRUMS = Groove(
    {
        BASS_DRUM: figure("x . . . | . . x . | . . x . | . . . . | x . . x | . . . . | . . x . | . x . .", 4),
        SNARE: figure(
            ". . . . | x> . . (x) | . (x) . . | x> . . (x) | . . . . | x> . . (x) | . (x) . (x) | x> . . .", 4
        ),
        CLOSED_HI_HAT: figure("x> x x x " * 7 + "x> x . .", 4),
        OPEN_HI_HAT: figure(". . . . " * 7 + ". . x .", 4),
    },
    STRAIGHT_FILLS,
    fill_beats=1,
    loudness=61,
)


def sixteenths(*phrases: str, fills: tuple[str, ...], sparse: str) -> Phrases:
    """Return phrases of two bars in sixteenths."""
    return vocabulary(*phrases, per_beat=4, fills=fills, sparse=sparse)


EIGHTHS = sixteenths(
    "A . . . | . . A . | . . A . | . . . . | A . . . | . . A . | . . A . | . . . .",
    "A . . . | . . A . | . . A . | . . . . | A . . . | . . A . | . . . . | A . . .",
    fills=("A . . . | . . A . | A . A . | A . . .",),
    sparse=". . . . | . . A . | . . . . | . . . .",
)
SIXTEENTHS = sixteenths(
    "A . . A | . . A . | . . . A | . . A . | A . . A | . . A . | . A . . | . . . .",
    "A . . A | . . A . | . . . A | . . A . | . . . A | . . A . | . A . A | . . . A+",
    ". . A . | . A . . | A . . A | . . . . | A . . A | . . A . | . . . A | . . . A+",
    fills=("A . A . | . A . A | . A . A | . . A .", "A . . A | . . A . | A . A A | . A . A+"),
    sparse=". . . . | . . A . | . . . . | . . A .",
)
TWO_HANDED = sixteenths(
    "1 . . U | . 1 U . | . 1 . U | . . U . | 1 . . U | . 1 U . | . U . . | 1 . U .",
    "1 . . U | . 1 U . | . 1 . U | . . U . | . . U 1 | . U . . | 1 . U . | . 1 . A+",
    "A . 1 U | . . U . | . 1 . U | . U . . | 1 . . U | . 1 U . | . . . U | . . . A+",
    fills=("A . U 1 | . U . 1 | U . 1 . | U . . A+",),
    sparse="1 . . . | . . U . | . . . . | . . U .",
)
LOCKED = figure("B . . . | . . B . | . . F . | . . . . | B . . B | . . . . | . . F . | . P . .", 4)
BUSY = figure("B . . B | . . F . | . . B . | . F . . | B . . B | . . F . | . B . F | . . P .", 4)
HELD_ON = figure("B - - - | - - B - | - - F - | - - . . ", 4)
LEVELS = (
    Level("chords in eighths", both(EIGHTHS, HELD_ON), LOCKED, DRUMS),
    Level("chords in sixteenths", both(SIXTEENTHS, LOCKED), LOCKED, DRUMS),
    Level("lowest note and chord by turns", both(TWO_HANDED, LOCKED), BUSY, DRUMS),
)

STYLE = tabled(
    "funk", "funk: short chords in sixteenths", (Meter(4, 4), Meter(2, 4)), lambda _meter: LEVELS, DETACHED
)
