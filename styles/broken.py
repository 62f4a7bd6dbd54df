"""Broken chords: each chord's notes one after another, in both hands or over a held bass.

Source: broken chords of close position, convention; low, then the rest, after R. Hutchinson, Music
Theory for the 21st-Century Classroom, 14.3.
"""

from tracks.model import Texture
from tracks.patterns import EVERYDAY_METERS, Figure, Level, figure, held, tabled
from tracks.theory.meter import Meter


def table(meter: Meter) -> tuple[Level, ...]:
    """Return three levels: lowest and rest by beats, up and down, low to high in quick threes."""
    threes = meter.is_compound
    by_beats = figure("1 U" if meter.beats % 2 == 0 else "1" + " U" * (meter.beats - 1), anew=True)
    in_six = threes or meter.beats == 3
    up_and_down = figure("1 2 T 2 T 2" if in_six else "1 2 T 2", 3 if threes else 2, anew=True)
    quick = figure("1 2 T", per_beat=6 if threes else 3, anew=True)
    bass = held(meter, "B")

    def level(words: str, broken: Figure) -> Level:
        return Level(words, {Texture.DOUBLED: (broken, broken), Texture.OVER_BASS: (broken, bass)})

    return (
        level("the lowest note, then the others, a beat each", by_beats),
        level("one note at a time, up and down", up_and_down),
        level("one note at a time, low to high, quick", quick),
    )


STYLE = tabled("broken", "broken chords: the notes of each chord one after another", EVERYDAY_METERS, table)
