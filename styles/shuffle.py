"""Shuffle: every beat long and short, two thirds and one.

Sources: a triplet with its middle left out, daviddarling.info (shuffle); in 12/8, beats 1 and 3 of each three
(pianoplane.com); the bass that climbs 1-3-5-6 to the flat seventh, common practice. Drums, convention.
"""

from tracks.patterns import (
    BASS_DRUM,
    PLAYED,
    RIDE_CYMBAL,
    SNARE,
    TRIPLET_FILLS,
    Groove,
    Level,
    both,
    figure,
    tabled,
    vocabulary,
)
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(12, 8), Meter(2, 4), Meter(6, 8))
DRUMS = Groove(
    {
        BASS_DRUM: figure("x . . (x) . . x . . (x) . . | x . . (x) . x x . . (x) . .", 3),
        SNARE: figure(". . . x> . . . . (x) x> . . | . . . x> . (x) . . (x) x> . .", 3),
        RIDE_CYMBAL: figure("x . x x . x x . x x . x | x . x x> . x x . x x> . (x)", 3),
    },
    TRIPLET_FILLS,
    loudness=65,
)
ON_BEATS = vocabulary(
    "A - - A - - A - - A - - | A - - A - - A - - A - -",
    "A - - A - - A - - A - - | A - - A - A . . A A - -",
    per_beat=3,
    fills=("A - - A - A A - - A - .",),
    sparse="A - - . . . A - - . . .",
)
LONG_SHORT = vocabulary(
    "A - A A - A A - A A - A | A - A A - A A - A A - A",
    "A - A A - A A - A A - A | A - A A - A . . A . . A+",
    "A - A A - A . . A A - . | A - A A - A A - A A - A+",
    per_beat=3,
    fills=("A - A . . A . . A A - A+", "A - . A - A A A A A - ."),
    sparse="A - - . . . . . A . . .",
)
BETWEEN = vocabulary(
    ". . A . . A . . A . . A | . . A . . A . . A . . A+",
    ". . A . . A . . . A . A | . . A . . A . . A . . A+",
    "A - . . . A . . A . . A+ | . . A . . A . . A . . A",
    per_beat=3,
    fills=(". . A A . A . . A A . A+", ". . A . . A A A A . . A+"),
    sparse=". . A . . . . . A . . .",
)
ROOT_AND_FIFTH = figure("B - F -", anew=True)
BASS = figure("B . B F . F", 3, anew=True)
CLIMBING = figure(
    "L . L D . D V . V S . S | N . N S . S V . V D . D",
    3,
    anew=True,
    shorter=figure("L . L D . D V . V S . S", 3, anew=True),
)
LEVELS = (
    Level("chords on the beats", both(ON_BEATS, ROOT_AND_FIFTH), BASS, DRUMS),
    Level("chords long and short", both(LONG_SHORT, figure("B - B F - F", 3, anew=True)), BASS, DRUMS),
    Level(
        "chords between the beats, the bass climbing 1-3-5-6",
        both(BETWEEN, figure("B - B F - F", 3, anew=True)),
        CLIMBING,
        DRUMS,
    ),
)

STYLE = tabled(
    "shuffle",
    "shuffle: every beat long and short",
    METERS,
    lambda _meter: LEVELS,
    PLAYED,
)
