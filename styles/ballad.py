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
    Groove,
    Hands,
    Level,
    figure,
    held,
    tabled,
    vocabulary,
)
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(3, 4))
ON_BEATS = vocabulary(
    "A A A A | A A A A", "A - A A | A A A A", "A A A A | A - A -", per_beat=1, fills=("A A A -", "A - A A")
)
ON_BEATS_IN_THREE = vocabulary(
    "A A A | A A A", "A - A | A A A", "A A A | A - A", per_beat=1, fills=("A - -", "A A -")
)
BROKEN = vocabulary(
    "1 2 T 2 1 2 T 2 | 1 2 T 2 1 2 T 2",
    "1 2 T 2 1 2 T 2 | 1 2 T 2 A - - -",
    "1 T 2 T 1 T 2 T | 1 2 T 2 1 2 T 2",
    fills=("1 2 T 2 A - U T", "A - T 2 1 2 T -"),
    sparse="A - - - - - - -",
)
BROKEN_IN_THREE = vocabulary(
    "1 2 T 2 T 2 | 1 2 T 2 T 2",
    "1 2 T 2 T 2 | 1 2 T - A -",
    "1 T 2 T 2 T | 1 2 T 2 T 2",
    fills=("1 2 T - A -", "A - T 2 1 2"),
    sparse="A - - - - -",
)


def table(meter: Meter) -> tuple[Level, ...]:
    """Return held bass notes, then the bass opened to fifth and octave, then all of it flowing."""
    three = meter.beats == 3
    back = ". . x" if three else ". . x ."
    hats = "x> x x x x x | x> x x x (x) x" if three else "x> x x> x x> x x> x | x> x x> x x> (x) x> x"
    kick = figure("x . . . . . | x . . . . (x)" if three else "x . . . . . . . | x . . (x) . . . (x)", 2)
    drums = Groove(
        {BASS_DRUM: kick, SIDE_STICK: figure(back), CLOSED_HI_HAT: figure(hats, 2)},
        LIGHT_FILLS,
        fill_beats=1,
        crash=None,
    )
    bass = figure("B - - - F P" if three else "B - - F B - - P", 2)
    quarters, chord = (ON_BEATS_IN_THREE if three else ON_BEATS), held(meter)
    turning = figure("B - F" if three else "B - F -")
    opened = figure("L V H - - -" if three else "L V H - - - - -", 2, anew=True)
    flowing = figure("L V H V H V" if three else "L V H V", 2, anew=True)
    broken = BROKEN_IN_THREE if three else BROKEN
    over, together = Texture.OVER_BASS, Texture.DOUBLED

    def level(words: str, over_bass: Hands, hands_together: Hands) -> Level:
        return Level(words, {over: over_bass, together: hands_together}, bass, drums)

    return (
        level("chords on the beats, the left hand held", (quarters, held(meter, "B")), (quarters, chord)),
        level("chords on the beats, the left hand moving", (quarters, turning), (quarters, opened)),
        level("eighths all through", (broken, turning), (chord, flowing)),
    )


STYLE = tabled(
    "ballad", "ballad: chords on the beats, the left hand opening in eighths", METERS, table, SUSTAINED
)
