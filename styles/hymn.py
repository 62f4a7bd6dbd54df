"""Hymn: all voices together, a chord to a syllable, with a held chord at the end of each line.

Source: four voices in one rhythm (homophony), R. Hutchinson, Music Theory for the 21st-Century Classroom, on
chorale texture; lines of four bars that end on a held chord, convention.
"""

from tracks.model import Texture
from tracks.patterns import Level, Phrases, tabled, vocabulary
from tracks.style import Feel, Touch
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(3, 4), Meter(3, 2), Meter(4, 2))
LEGATO = Feel(touch=Touch.LEGATO)


def line(bar: str, last: str, *others: str, per_beat: int = 1) -> Phrases:
    """Return lines of four bars: three of one rhythm, or others of as many cells, and a last that is held."""
    bars = [f"{bar} | {bar} | {bar} | {last}", *(f"{bar} | {other} | {bar} | {last}" for other in others)]
    return vocabulary(*bars, per_beat=per_beat)


def level(words: str, rhythm: Phrases) -> Level:
    """Return a level in which both hands move in one rhythm, in every texture."""
    textures = (Texture.FOUR_PART, Texture.DOUBLED, Texture.OVER_BASS)
    return Level(words, dict.fromkeys(textures, (rhythm, rhythm)))


def table(meter: Meter) -> tuple[Level, ...]:
    """Return half bars, then a chord on every beat, then long and short."""
    if meter.beats == 3:
        slow, beats = line("A - A", "A - -"), line("A A A", "A - -", "A - A")
        dotted = line("A - - A A -", "A - - - - -", "A - A - A -", per_beat=2)
    else:
        slow, beats = line("A - A -", "A - - -"), line("A A A A", "A - - -", "A - A A")
        dotted = line("A - - A A - A -", "A - - - - - - -", "A - A - A - A -", per_beat=2)
    return (
        level("two chords to a bar", slow),
        level("a chord on every beat", beats),
        level("long and short", dotted),
    )


STYLE = tabled("hymn", "hymn: all voices together, line by line", METERS, table, LEGATO)
