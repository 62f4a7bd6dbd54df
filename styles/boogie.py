"""Boogie: the left hand climbs 1-3-5-6 to the flat seventh and back, the right hand answers.

Sources: root, third, fifth, sixth and flat seventh, common practice; long and short, a triplet with its
middle left out, daviddarling.info (shuffle); chords on the up-beats over it, J. Patton, An Approach to
Comping, the first chapter as published in excerpt.
"""

from tracks.model import Texture
from tracks.patterns import (
    BASS_DRUM,
    CLOSED_HI_HAT,
    PLAYED,
    SNARE,
    TRIPLET_FILLS,
    Figure,
    Groove,
    Level,
    Phrases,
    figure,
    tabled,
    vocabulary,
)
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(12, 8))
DRUMS = Groove(
    {
        BASS_DRUM: figure("x"),
        SNARE: figure(". . . x> . . . . (x) x> . . | . . (x) x> . . . . (x) x> . .", 3),
        CLOSED_HI_HAT: figure("x . x x . x x . x x . x | x . x x . (x) x . x x . (x)", 3),
    },
    TRIPLET_FILLS,
    loudness=65,
)


def chords(*phrases: str, fills: tuple[str, ...] = ()) -> Phrases:
    """Return phrases in thirds of a beat."""
    return vocabulary(*phrases, per_beat=3, fills=fills, sparse="A - - . . . . . . . . .")


ON_BEATS = chords(
    "A - - . . . A - - . . . | A - - . . . A - - . . .",
    "A - - . . . A - - . . . | A - - . . A . . . . . .",
    fills=("A - A . . A . . A A . .",),
)
UP_BEATS = chords(
    ". . A . . A . . A . . A | . . A . . A . . A . . A+",
    ". . A . . A . . . A . . | . . A . . A . . A . . A+",
    "A - - . . A . . A . . A+ | . . A . . A . . A . . .",
    fills=("A . A . . A . . A A . A+", "A A A A . A . . A . . ."),
)
FOUR_NOTES, ROCKING = figure("L D V S", anew=True), figure("L . L V . V S . S V . V", 3, anew=True)
CLIMB = figure("L . L D . D V . S N . S", 3, anew=True)
WHOLE = figure("L . L D . D V . V S . S | N . N S . S V . V D . D", 3, anew=True, shorter=CLIMB)


def level(words: str, right: Phrases, low: Figure) -> Level:
    """Return a level whose bass player has the left hand's line."""
    return Level(words, {Texture.DOUBLED: (right, low)}, low, DRUMS)


LEVELS = (
    level("1-3-5-6 in beats", ON_BEATS, FOUR_NOTES),
    level("1-5-6-5, long and short", ON_BEATS, ROCKING),
    level("1-3-5-6 and the flat seventh, chords on the up-beats", UP_BEATS, WHOLE),
)

STYLE = tabled(
    "boogie",
    "boogie: the left hand climbs to the sixth and back",
    METERS,
    lambda _meter: LEVELS,
    PLAYED,
)
