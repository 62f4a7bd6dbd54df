"""Arpeggios: each chord from its lowest note to the octave above, in both hands or over a held bass.

Source: R. Hutchinson, Music Theory for the 21st-Century Classroom, 14.3.1 (arpeggios, up, and up and down);
their fingers are those of the four notes as one chord (convention).
"""

from dataclasses import replace

from tracks.model import Texture
from tracks.patterns import EVERYDAY_METERS, SUSTAINED, Figure, Level, figure, held, tabled
from tracks.theory.meter import Meter

FEEL = replace(SUSTAINED, unasked=False)
UP, UP_AND_BACK, THERE_AND_BACK = "1 2 3 8", "1 2 3 8 3 2", "1 2 3 8 3 2 1 2"
SHORT_BACK = "1 3 8 3"
"""For a chord of two beats, which the whole way does not fit."""


def table(meter: Meter) -> tuple[Level, ...]:
    """Return three levels: up by beats' parts, up and back, and both twice as quick."""
    threes = meter.is_compound
    sixes = threes or meter.beats == 3
    parts = 3 if threes else 2
    up = figure(f"{UP} - -" if threes else UP, parts, anew=True)
    short = figure(SHORT_BACK, parts, anew=True)
    back = figure(UP_AND_BACK if sixes else THERE_AND_BACK, parts, anew=True, shorter=short)
    quick = figure(UP_AND_BACK if threes else UP, 2 * parts, anew=True)
    bass = held(meter, "B")

    def level(words: str, spread: Figure) -> Level:
        return Level(words, {Texture.DOUBLED: (spread, spread), Texture.OVER_BASS: (spread, bass)})

    return (level("up", up), level("up and back", back), level("quick", quick))


STYLE = tabled("arpeggio", "arpeggios to the octave, up and back", EVERYDAY_METERS, table, FEEL)
