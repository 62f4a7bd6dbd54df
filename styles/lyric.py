"""Lyric: the top of each chord sings while the rest of the hand ripples under it, over a wide left hand.

Source: arpeggios, R. Hutchinson, Music Theory for the 21st-Century Classroom, 14.3.1; a tune held over broken
chords in one hand, as in songs without words, convention.
"""

from tracks.model import Texture
from tracks.patterns import SUSTAINED, Figure, Level, figure, held, tabled
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(3, 4), Meter(2, 4), Meter(2, 2), Meter(6, 8), Meter(9, 8), Meter(12, 8))
OVER, TOGETHER = Texture.OVER_BASS, Texture.DOUBLED


def table(meter: Meter) -> tuple[Level, ...]:
    """Return the tune held, then sung again on the beats, the ripple in parts of the beat, then quicker."""
    threes = meter.is_compound
    parts = 3 if threes else 2
    singing = figure("T>" + " -" * (meter.beats - 1))
    again = figure("T> -" if meter.beats % 2 == 0 else "T> - T>")
    under = figure(". 2 1" if threes else ". 1 2 1", parts)
    quick = figure(". 1 2 1 2 1" if threes else ". 1 2 1", 2 * parts)
    wide = figure("L V H" if threes else "L V H V", parts, anew=True)
    rocking = figure("L - V" if threes else "L - V -", parts, anew=True)
    bass, turning = held(meter, "B"), figure("B F" if meter.beats % 2 == 0 else "B - F", anew=True)

    def level(words: str, tune: Figure, ripple: Figure, left: Figure, low: Figure) -> Level:
        right = (tune, ripple)
        return Level(words, {OVER: (right, low), TOGETHER: (right, left)})

    return (
        level("the tune held, the hand rippling", singing, under, rocking, bass),
        level("the tune sung twice, the left hand wide", again, under, wide, turning),
        level("the ripple quick", again, quick, wide, turning),
    )


STYLE = tabled("lyric", "lyric: a singing top over rippling chords", METERS, table, SUSTAINED)
