"""Country train: bass and chord by turns over a snare that rolls like wheels, with brushes.

Over a bass the hands share it; doubled, the left hand plays it all, reaching down for the bass.

Source: the "train beat", sixteenths on the snare accented off the beat, and "boom-chick" with root and fifth
by turns, common practice; walks up to the next chord, the same.
"""

from tracks.model import Texture
from tracks.patterns import (
    BASS_DRUM,
    BRUSH_KIT,
    DETACHED,
    PEDAL_HI_HAT,
    SNARE,
    Groove,
    Level,
    Row,
    figure,
    held,
    tabled,
    vocabulary,
)
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(2, 4), Meter(2, 2))
OVER, TOGETHER = Texture.OVER_BASS, Texture.DOUBLED
FILL = {SNARE: figure("x x x> x x x> x x>", 4)}


def table(meter: Meter) -> tuple[Level, ...]:
    """Return boom-chick, with walks up, and with the right hand's answers."""
    parts = 4 // meter.beats
    drums = Groove(
        {
            SNARE: figure("(x) (x) x> (x) " * 7 + "(x) x x> (x)", 4 * parts),
            BASS_DRUM: figure("x . x . x . x . | x . x . x . x (x)", 2 * parts),
            PEDAL_HI_HAT: figure(". x", 2 * parts),
        },
        (FILL,),
        fill_beats=2 // parts,
        phrase=8,
        crash=None,
        program=BRUSH_KIT,
    )
    turning, walks = figure("B . F .", parts), vocabulary("B . F . | B . F P", per_beat=parts)
    chick = vocabulary(". A . A | . A . A", ". A . A | . A A A", per_beat=parts, fills=(". A A .",))
    rolls = vocabulary(
        ". . A A . . A A | . . A A . . A A",
        ". . A A . . A A | . . A . . A A A",
        per_beat=2 * parts,
        fills=(". . A . A A . .",),
    )

    def level(words: str, right: Row, left: Row, low: str) -> Level:
        reaching = figure(low, parts)
        hands = {OVER: (right, left), TOGETHER: (held(meter) if right is chick else right, reaching)}
        return Level(words, hands, left, drums, bass_loudness=66)

    return (
        level("root and fifth, a chord between", chick, turning, "L A M A"),
        level("the bass walks on to the next chord", chick, walks, "L A M A L A M P"),
        level("two chords to an answer", rolls, walks, "L A M A L A M P"),
    )


STYLE = tabled("country-train", "country train beat: bass and chord by turns", METERS, table, DETACHED)
