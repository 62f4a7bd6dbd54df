"""Reggae: chords after the beat, a bass that leaves room, the drop on 3.

Sources: chords between the beats and no downbeat, R. Hutchinson, Music Theory for the 21st-Century Classroom,
14.5.2; bass drum and side stick together on 3, the hi-hat accented on 2 and 4 with the chords ("one drop"),
and four to the bar ("steppers"), public drum lessons (drummermauri.it; artsentertainment.cc); the bass line,
from memory.
"""

from tracks.model import Texture
from tracks.patterns import (
    BASS_DRUM,
    CLOSED_HI_HAT,
    DETACHED,
    OPEN_HI_HAT,
    SIDE_STICK,
    STRAIGHT_FILLS,
    Groove,
    Level,
    figure,
    tabled,
    vocabulary,
)
from tracks.theory.meter import Meter

ONE_DROP = Groove(
    {
        BASS_DRUM: figure(". . x ."),
        SIDE_STICK: figure(". . . . x . . . | . . . . x . . (x)", 2),
        CLOSED_HI_HAT: figure("x x x> x x x x> x | x x x> x x (x) x> x", 2),
    },
    STRAIGHT_FILLS,
    fill_beats=1,
    crash=None,
)
STEPPERS = Groove(
    {
        BASS_DRUM: figure("x"),
        SIDE_STICK: figure(". . . . x> . . . | . . . . x> . . (x)", 2),
        CLOSED_HI_HAT: figure("x x x> x x x x> x | x x x> x x x x> .", 2),
        OPEN_HI_HAT: figure(". . . . . . . . | . . . . . . . x", 2),
    },
    STRAIGHT_FILLS,
    fill_beats=1,
    crash=None,
)
SKANK = vocabulary(
    ". . A . . . A . | . . A . . . A .",
    ". . A . . . A . | . . A . . . A A",
    fills=(". . A A . . A .",),
    sparse=". . . . . . A .",
)
BETWEEN = vocabulary(
    ". A . A . A . A | . A . A . A . A",
    ". A . A . A . A | . A . . . A . A",
    fills=(". A . A . . A A",),
    sparse=". A . . . A . .",
)
BUBBLE = figure(". A . A . A . A", 2)
STEADY = figure("B - - . F - B -", 2)
SPARSE = vocabulary("B - . B . B F - | . . B - . F B P", ". . B B . F B - | B - . B . B F P")
LOW = 65
"""The bass player's loudness under chords that are short."""
OVER, TOGETHER = Texture.OVER_BASS, Texture.DOUBLED
LEVELS = (
    Level(
        "chords on 2 and 4",
        {OVER: (SKANK, STEADY), TOGETHER: (SKANK, SKANK)},
        STEADY,
        ONE_DROP,
        bass_loudness=LOW,
    ),
    Level(
        "chords on every and",
        {OVER: (BETWEEN, SPARSE), TOGETHER: (BETWEEN, BETWEEN)},
        SPARSE,
        ONE_DROP,
        bass_loudness=LOW,
    ),
    Level(
        "chords on 2 and 4, the left hand between",
        {OVER: (SKANK, SPARSE), TOGETHER: (SKANK, BUBBLE)},
        SPARSE,
        STEPPERS,
        bass_loudness=LOW,
    ),
)

STYLE = tabled(
    "reggae", "reggae: chords after the beat", (Meter(4, 4), Meter(2, 4)), lambda _meter: LEVELS, DETACHED
)
