"""Shuffle: every beat long and short, two thirds and one.

Source: a triplet with its middle left out, daviddarling.info (shuffle); in 12/8, beats 1 and 3 of each three
(pianoplane.com). Bass and drums, convention.
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
)
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(12, 8), Meter(2, 4), Meter(6, 8))
LONG_SHORT = figure("A - A", 3)
DRUMS = Groove(
    {BASS_DRUM: figure("x . x ."), SNARE: figure(". x> . x>"), RIDE_CYMBAL: figure("x . x", 3)}, TRIPLET_FILLS
)
ROOT_AND_FIFTH = figure("B - F -", anew=True)
BASS = figure("B . B F . F", 3, anew=True)
CLIMBING = figure("1 . 1 2 . 2 3 . 3 2 . 2", 3, anew=True)
LEVELS = (
    Level("chords on the beats", both(figure("A"), ROOT_AND_FIFTH), BASS, DRUMS),
    Level("chords long and short", both(LONG_SHORT, figure("B - B F - F", 3, anew=True)), BASS, DRUMS),
    Level(
        "chords between the beats, the bass climbing the chord",
        both(figure(". . A", 3), figure("B - B F - F", 3, anew=True)),
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
