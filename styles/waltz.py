"""Waltz: the bass on 1, the chord on 2 and 3.

Over a bass the hands share it; hands together, the left hand plays it all, reaching down for the bass.

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
    Level,
    figure,
    held,
    tabled,
)
from tracks.theory.meter import Meter

METERS = (Meter(3, 4), Meter(3, 8), Meter(3, 2))
DRUMS = Groove(
    {BASS_DRUM: figure("x . ."), SIDE_STICK: figure(". x x"), CLOSED_HI_HAT: figure(". x x")},
    LIGHT_FILLS,
    phrase=8,
)


def table(meter: Meter) -> tuple[Level, ...]:
    """Return the waltz on one bass, and on a bass that alternates bar by bar where a chord lasts."""
    after = figure(". A A")
    chord = held(meter)
    one = {
        Texture.OVER_BASS: (after, figure("B - -")),
        Texture.DOUBLED: (chord, figure("L A A", anew=True)),
    }
    two = {
        Texture.OVER_BASS: (after, figure("B - - F - -", anew=True)),
        Texture.DOUBLED: (chord, figure("L A A M A A", anew=True)),
    }
    return (
        Level("bass on 1, chord on 2 and 3", one, figure("B - ."), DRUMS),
        Level("the bass alternates with its fifth", two, figure("B - . F - .", anew=True), DRUMS),
    )


STYLE = tabled(
    "waltz", "waltz: bass on 1, chord on 2 and 3", METERS, table, DETACHED, bass_program=ACOUSTIC_BASS
)
