"""Alberti bass: the left hand breaks its chord low, high, middle, high under the right hand's held chord.

Source: R. Hutchinson, Music Theory for the 21st-Century Classroom, 14.3.2 (low - high - middle - high of a
close chord, usually in even eighths). In bars of three the middle and high come once more (from memory).
"""

from tracks.model import Texture
from tracks.patterns import Level, figure, held, tabled
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(2, 4), Meter(3, 4), Meter(2, 2))


def table(meter: Meter) -> tuple[Level, ...]:
    """Return the left hand in eighths (halves of the beat) and in sixteenths."""
    order = "1 T 2 T 2 T" if meter.beats == 3 else "1 T 2 T"
    chord = held(meter)
    return (
        Level("two notes a beat", {Texture.DOUBLED: (chord, figure(order, 2, anew=True))}),
        Level("four notes a beat", {Texture.DOUBLED: (chord, figure("1 T 2 T", 4, anew=True))}),
    )


STYLE = tabled("alberti", "Alberti bass in the left hand under held chords", METERS, table)
