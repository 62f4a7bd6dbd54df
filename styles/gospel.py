"""Gospel or country in 6/8 and 12/8: three chords to a slow beat.

Source: twelve eighths in four threes, pianoplane.com; the bass of roots and fifths and the back beat, common
practice.
"""

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
)
from tracks.theory.meter import Meter

DRUMS = Groove(
    {BASS_DRUM: figure("x . x . . .", 3), SNARE: figure(". x>"), CLOSED_HI_HAT: figure("x> x x", 3)},
    TRIPLET_FILLS,
)
BASS = figure("B - B F - F", 3, anew=True)
LEVELS = (
    Level("country: bass, then two chords", both(figure(". A A", 3), figure("B F", anew=True)), BASS, DRUMS),
    Level("gospel: chords in eighths", both(figure("A> A A", 3), figure("B F", anew=True)), BASS, DRUMS),
    Level("gospel: the bass leads on", both(figure("A> A A", 3), BASS), BASS, DRUMS),
)

STYLE = tabled(
    "gospel",
    "gospel or country feel in 6/8 and 12/8",
    (Meter(12, 8), Meter(6, 8)),
    lambda _meter: LEVELS,
    SUSTAINED,
)
