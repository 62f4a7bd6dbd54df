"""Gospel or country in 6/8 and 12/8: three chords to a slow beat.

Source: twelve eighths in four threes, pianoplane.com; the bass of roots and fifths and the back beat, common
practice.
"""

from tracks.model import Texture
from tracks.patterns import (
    BASS_DRUM,
    CLOSED_HI_HAT,
    SNARE,
    SUSTAINED,
    TRIPLET_FILLS,
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
        BASS_DRUM: figure("x . x . . . x . . . . (x) | x . x . . . x . x . . .", 3),
        SNARE: figure(". . . x> . . . . (x) x> . . | . . . x> . (x) . . . x> . (x)", 3),
        CLOSED_HI_HAT: figure("x> x x x> x x x> x x x> x x | x> x x x> x x x> (x) x x> x x", 3),
    },
    TRIPLET_FILLS,
)
BASS, TURNING = figure("B - B F - P", 3, anew=True), figure("B F", anew=True)
COUNTRY = vocabulary(
    ". A A . A A . A A . A A | . A A . A A . A A . A A",
    ". A A . A A . A A . A A | . A A . A A . A - . A A",
    per_beat=3,
    fills=(". A A . A A A A A A - -",),
    sparse=". A - . A - . A - . A -",
)
EIGHTHS = vocabulary(
    "A> A A A A A A> A A A A A | A> A A A A A A> A A A A A",
    "A> A A A A A A> A A A A A | A> A A A - A A> A A A - A",
    "A> A A A A A A> - A A A A | A> A A A A A A> A A A A A",
    per_beat=3,
    fills=("A> - A A - A A> A A U T U", "A> A A A - - A> - A A U T"),
    sparse="A> - - A - - A> - - A - -",
)
LEFT_LEADS = figure("L - V H - P", 3, anew=True)
DOUBLED = {Texture.OVER_BASS: (EIGHTHS, BASS), Texture.DOUBLED: (EIGHTHS, LEFT_LEADS)}
LEVELS = (
    Level("country: bass, then two chords", both(COUNTRY, TURNING), BASS, DRUMS),
    Level("gospel: chords in eighths", both(EIGHTHS, TURNING), BASS, DRUMS),
    Level("gospel: the bass leads on", DOUBLED, BASS, DRUMS),
)

STYLE = tabled(
    "gospel",
    "gospel or country feel in 6/8 and 12/8",
    (Meter(12, 8), Meter(6, 8)),
    lambda _meter: LEVELS,
    SUSTAINED,
)
