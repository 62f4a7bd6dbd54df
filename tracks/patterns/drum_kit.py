"""The drum kit: General MIDI 1's percussion by name, and the fill that leads into the music.

Conventions
- A key is the MIDI note number on the percussion channel, 35 to 81.

Source: "General MIDI System Level 1", MMA, 1991, the percussion key map (read in three public copies, not in
the original); the lead-in, convention.
"""

from tracks.model import Hit
from tracks.theory.meter import Meter, Time

BASS_DRUM = 36
SIDE_STICK = 37
SNARE = 38
LOW_FLOOR_TOM = 41
CLOSED_HI_HAT = 42
PEDAL_HI_HAT = 44
LOW_TOM = 45
OPEN_HI_HAT = 46
HIGH_MID_TOM = 48
CRASH_CYMBAL = 49
HIGH_TOM = 50
RIDE_CYMBAL = 51
TAMBOURINE = 54
COWBELL = 56
HIGH_BONGO = 60
LOW_BONGO = 61
MUTE_HIGH_CONGA = 62
OPEN_HIGH_CONGA = 63
LOW_CONGA = 64
HIGH_TIMBALE = 65
LOW_TIMBALE = 66
MARACAS = 70
CLAVES = 75

STANDARD_KIT = 0
BRUSH_KIT = 40
"""The drums' program: the standard kit, and the brushes.

General MIDI 1 has one kit, in which the Latin percussion is, and takes no program for it; the brushes are
General MIDI 2's, printed 41 (from memory). A piano that knows only the first plays the same on its one kit.
"""

_FIRST, _STICKS, _FILL, _LAST = 108, 84, 80, 100
_TOMS = (SNARE, SNARE, HIGH_TOM, HIGH_MID_TOM, LOW_TOM, LOW_FLOOR_TOM)


def lead_in_bar(meter: Meter, start: Time) -> tuple[Hit, ...]:
    """Return the bar that leads in, from `start`: sticks on the felt beats, then a fill down the drums.

    The bar's first beat is accented; the fill takes its last two beats, the last alone where there are
    under four, and half of a bar that is one beat.
    """
    filled = 2 if meter.beats > 3 else 1
    fill = meter.bar - filled * meter.beat if meter.beats > 1 else meter.division
    sticks = [
        Hit(start + at, SIDE_STICK, _STICKS if at else _FIRST) for at in range(0, max(fill, 1), meter.beat)
    ]
    steps = range(fill, meter.bar, meter.division)
    drums = [
        Hit(
            start + at, _TOMS[place * len(_TOMS) // len(steps)], _FILL + (_LAST - _FILL) * place // len(steps)
        )
        for place, at in enumerate(steps)
    ]
    return (*sticks, *drums)


def last_stroke(start: Time) -> tuple[Hit, ...]:
    """Return the stroke that ends the music: crash cymbal and bass drum together."""
    return Hit(start, BASS_DRUM, 100), Hit(start, CRASH_CYMBAL, 96)


def stop_stroke(start: Time) -> tuple[Hit, ...]:
    """Return the stroke of a stop: bass drum and snare, which do not ring on."""
    return Hit(start, BASS_DRUM, 100), Hit(start, SNARE, 96)
