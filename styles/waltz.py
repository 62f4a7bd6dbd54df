"""Waltz: the bass on 1, the chord on 2 and 3.

Over a bass the hands share it; hands together, the left hand plays it all, reaching down for the bass.

Where a chord lasts two bars the second has the fifth on 1; a chord of one bar has it on 3.

Source: bass note on 1, chord on 2 and 3, klavier.susannegerdts.de (Walzerbegleitung); the bass that
alternates with the fifth, and the drums, convention.
"""

from tracks.model import Texture
from tracks.patterns import (
    ACOUSTIC_BASS,
    BASS_DRUM,
    CLOSED_HI_HAT,
    DETACHED,
    LIGHT_FILLS,
    SIDE_STICK,
    Groove,
    Hands,
    Level,
    figure,
    held,
    tabled,
    vocabulary,
)
from tracks.theory.meter import Meter

METERS = (Meter(3, 4), Meter(3, 8), Meter(3, 2))
DRUMS = Groove(
    {
        BASS_DRUM: figure("x . ."),
        SIDE_STICK: figure(". x x | . x (x)"),
        CLOSED_HI_HAT: figure(". . x . x . | . . x . x (x)", 2),
    },
    LIGHT_FILLS,
    fill_beats=1,
    phrase=8,
    crash=None,
)


def table(meter: Meter) -> tuple[Level, ...]:
    """Return the waltz on one bass, and on a bass that alternates bar by bar where a chord lasts."""
    after = figure(". A A")
    chord = held(meter)
    one: dict[Texture, Hands] = {
        Texture.OVER_BASS: (after, figure("B - -")),
        Texture.DOUBLED: (chord, figure("L A A", anew=True)),
    }
    turning = figure("B - - F - -", anew=True, shorter=figure("B - F"))
    low = figure("L A A M A A", anew=True, shorter=figure("L A M"))
    two: dict[Texture, Hands] = {Texture.OVER_BASS: (after, turning), Texture.DOUBLED: (chord, low)}
    walks = vocabulary("B - - | B - P", "B - F | B - P", per_beat=1)
    lilt = vocabulary(". A A | . A A", ". A A | . A -", ". A A | . A .", per_beat=1)
    reach = vocabulary("L A A | L A P", "L A M | L A P", per_beat=1)
    three: dict[Texture, Hands] = {Texture.OVER_BASS: (lilt, walks), Texture.DOUBLED: (chord, reach)}
    return (
        Level("bass on 1, chord on 2 and 3", one, figure("B - ."), DRUMS),
        Level("the bass alternates with its fifth", two, turning, DRUMS),
        Level("the bass walks on to the next chord", three, walks, DRUMS),
    )


STYLE = tabled(
    "waltz", "waltz: bass on 1, chord on 2 and 3", METERS, table, DETACHED, bass_program=ACOUSTIC_BASS
)
