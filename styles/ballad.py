"""Ballad eighths: chords on the beats over a bass that opens up in eighths.

Source: root, fifth and octave in the left hand, and the drums, convention; repeated quarters, R.
Hutchinson, Music Theory for the 21st-Century Classroom, 14.4.3.
"""

from tracks.model import Texture
from tracks.patterns import (
    BASS_DRUM,
    CLOSED_HI_HAT,
    LIGHT_FILLS,
    SIDE_STICK,
    SUSTAINED,
    Figure,
    Groove,
    Level,
    figure,
    held,
    tabled,
)
from tracks.theory.meter import Meter

Pair = tuple[Figure, Figure]
METERS = (Meter(4, 4), Meter(3, 4))


def table(meter: Meter) -> tuple[Level, ...]:
    """Return held bass notes, then the bass opened to fifth and octave, then all of it flowing."""
    three = meter.beats == 3
    back = ". . x" if three else ". . x ."
    drums = Groove(
        {BASS_DRUM: held(meter, "x"), SIDE_STICK: figure(back), CLOSED_HI_HAT: figure("x> x", 2)},
        LIGHT_FILLS,
        fill_beats=1,
    )
    bass = figure("B - - - F -" if three else "B - - F B - - -", 2)
    quarters, chord = figure("A"), held(meter)
    turning = figure("B - F" if three else "B - F -")
    opened = figure("L V H - - -" if three else "L V H - - - - -", 2, anew=True)
    flowing = figure("L V H V H V" if three else "L V H V", 2, anew=True)
    broken = figure("1 2 T 2 T 2" if three else "1 2 T 2", 2, anew=True)
    over, together = Texture.OVER_BASS, Texture.DOUBLED

    def level(words: str, over_bass: Pair, hands_together: Pair) -> Level:
        return Level(words, {over: over_bass, together: hands_together}, bass, drums)

    return (
        level("chords on the beats, the left hand held", (quarters, held(meter, "B")), (quarters, chord)),
        level("chords on the beats, the left hand moving", (quarters, turning), (quarters, opened)),
        level("eighths all through", (broken, turning), (chord, flowing)),
    )


STYLE = tabled(
    "ballad", "ballad: chords on the beats, the left hand opening in eighths", METERS, table, SUSTAINED
)
