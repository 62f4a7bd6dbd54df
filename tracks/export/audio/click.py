"""The click as sound: a wood block of our own, exact to the frame.

Conventions
- A stroke begins at the frame nearest to its time in the MIDI file, with no attack before its first frame.
- It is two decaying sines, high for the bar's first beat and low for the others; its strength grows with
  the square of the velocity, as General MIDI's volume does.

The click is the one sound a student measures time by, and a SoundFont's wood block starts a few
milliseconds late, by another amount in every font, and in the default one leans to the right.
"""

from functools import lru_cache

from tracks.export.audio import RATE, Sound
from tracks.export.audio.timing import frames, seconds_at
from tracks.model import Part, Piece

PITCHES_HZ = {76: 1760.0, 77: 1175.0}
"""The percussion keys that are a click, General MIDI 1's high and low wood block, and how high they sound."""

_OVERTONE, _OVERTONE_LEVEL = 2.72, 0.35
_DECAY_S, _OVERTONE_DECAY_S, _STROKE_S = 0.016, 0.006, 0.12
_LOUDEST = 127


def play_click(piece: Piece, part: Part) -> Sound:
    """Return the wood blocks of a click part at the piece's tempo; its other strokes are a drummer's."""
    from numpy import float32, zeros

    sound = zeros((frames(piece), 2), float32)
    for hit in part.hits:
        if hit.key not in PITCHES_HZ:
            continue
        start = round(seconds_at(piece, hit.start) * RATE)
        stroke = _stroke(PITCHES_HZ[hit.key])[: len(sound) - start]
        sound[start : start + len(stroke)] += stroke * float32((hit.velocity / _LOUDEST) ** 2)
    return sound


@lru_cache(maxsize=len(PITCHES_HZ))
def _stroke(hertz: float) -> Sound:
    from numpy import arange, exp, float32, linspace, pi, sin, stack

    time = arange(round(_STROKE_S * RATE)) / RATE
    ground = sin(2 * pi * hertz * time) * exp(-time / _DECAY_S)
    overtone = sin(2 * pi * hertz * _OVERTONE * time) * exp(-time / _OVERTONE_DECAY_S)
    wave = (ground + _OVERTONE_LEVEL * overtone) * linspace(1, 0, len(time))
    return stack((wave, wave), axis=1).astype(float32)
