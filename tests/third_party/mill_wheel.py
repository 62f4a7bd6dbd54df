"""Mill wheel: the bass turns between root and fifth while the chord answers twice.

Source: made up for this example.
"""

from tracks.patterns import BASS_DRUM, CLOSED_HI_HAT, LIGHT_FILLS, PLAYED, Groove, Level, both, figure, tabled
from tracks.theory.meter import Meter

DRUMS = Groove({BASS_DRUM: figure("x ."), CLOSED_HI_HAT: figure(". x", 2)}, LIGHT_FILLS, phrase=8)
BASS = figure("B F", anew=True)
LEVELS = (
    Level("one answer a beat", both(figure(". A", 2), BASS), BASS, DRUMS),
    Level("two answers a beat", both(figure(". A . A", 4), BASS), BASS, DRUMS),
)

STYLE = tabled(
    name="mill-wheel",
    summary="the bass turns, the chord answers",
    meters=(Meter(2, 4), Meter(4, 4)),
    table=lambda _meter: LEVELS,
    feel=PLAYED,
)
