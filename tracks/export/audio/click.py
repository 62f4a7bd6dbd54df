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
from tracks.export.audio.tape import Tape
from tracks.export.audio.timing import frames, seconds_of
from tracks.model import Part, Piece

PITCHES_HZ = {76: 1760.0, 77: 1175.0}
"""The percussion keys that are a click, General MIDI 1's high and low wood block, and how high they sound."""

_OVERTONE, _OVERTONE_LEVEL = 2.72, 0.35
_DECAY_S, _OVERTONE_DECAY_S, _STROKE_S = 0.016, 0.006, 0.12
_LOUDEST = 127
_STRETCH = 30 * RATE


def play_click(piece: Piece, part: Part) -> Tape:
    """Return the wood blocks of a click part at the piece's tempo; its other strokes are a drummer's."""
    from numpy import float32, zeros

    tape, length = Tape(), frames(piece)
    hits = [hit for hit in part.hits if hit.key in PITCHES_HZ]
    seconds = seconds_of(piece, [hit.start for hit in hits])
    begun = sorted(
        (round(float(at) * RATE), hit.key, hit.velocity) for at, hit in zip(seconds, hits, strict=True)
    )
    over = zeros((0, 2), float32)
    for first in range(0, length, _STRETCH):
        sound = zeros((_STRETCH + round(_STROKE_S * RATE), 2), float32)
        sound[: len(over)] = over
        for start, key, velocity in begun:
            if first <= start < first + _STRETCH:
                stroke = _stroke(PITCHES_HZ[key]) * float32((velocity / _LOUDEST) ** 2)
                sound[start - first : start - first + len(stroke)] += stroke
        tape.write(sound[: min(_STRETCH, length - first)])
        over = sound[_STRETCH:]
    return tape


@lru_cache(maxsize=len(PITCHES_HZ))
def _stroke(hertz: float) -> Sound:
    from numpy import arange, exp, float32, linspace, pi, sin, stack

    time = arange(round(_STROKE_S * RATE)) / RATE
    ground = sin(2 * pi * hertz * time) * exp(-time / _DECAY_S)
    overtone = sin(2 * pi * hertz * _OVERTONE * time) * exp(-time / _OVERTONE_DECAY_S)
    wave = (ground + _OVERTONE_LEVEL * overtone) * linspace(1, 0, len(time))
    return stack((wave, wave), axis=1).astype(float32)
