"""The mix: stems put together by how loud they are heard to be.

Conventions
- Levels are differences of loudness in LU (see `loudness`), peaks are in dBFS.
- A part's level in a mix is relative to a hand's: both hands are equally loud, a melody counts as a hand,
  the click lies well below any of them, and a fill that leads in is as loud as the click. A part's own
  `volume` then trims it as General MIDI does, 100 meaning as it is (40 dB a decade: General MIDI 1 Developer
  Guidelines, from memory).
- Panning recordings equal power from left to right and leaves the middle as it is (RP-036, Default Pan
  Formula, MIDI Manufacturers Association, from memory).
- Every file is then brought to TARGET: as loud as piano can be with its peaks free (they reach 15 to 20 dB
  above its loudness, most at slow tempos), and so a moderate volume. What still rises past CEILING is held
  under it. EBU R 128 allows peaks of -1 dBTP; the rest is left to what lies between samples and to lossy
  coding.
"""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from tracks.export.audio import RATE, TAIL_S, Sound
from tracks.export.audio.tape import Tape
from tracks.model import Part, Role

if TYPE_CHECKING:
    from numpy import float32, float64
    from numpy.typing import NDArray

TARGET = -20.0
CEILING = -2.0
HEADROOM = 6.0
"""How much quieter stems for a sequencer are, in dB, so that none needs to be held under anything."""
CLICK_BELOW = 6.0
LEVELS = {
    Role.RIGHT: 0.0,
    Role.LEFT: 0.0,
    Role.MELODY: 0.0,
    Role.BASS: -2.0,
    Role.DRUMS: -4.0,
    Role.CLICK: -CLICK_BELOW,
}

_USUAL_VOLUME, _VOLUME_POWER = 100, 2
_PAN_FROM, _PAN_STEPS = 1, 126
_FADE_S = 0.25
_WIDTH, _REACH = round(0.005 * RATE), 8
_BLOCK = 3200 * _WIDTH
"""Frames that are mixed at a time, 16 seconds."""


def gains(parts: Sequence[Part], loudness: Sequence[float]) -> "NDArray[float64]":
    """Return what each part's two channels are multiplied by, given how loud its stem is."""
    from math import isfinite

    from numpy import array

    levels = (
        factor(TARGET + LEVELS[part.role] - heard) if isfinite(heard) else 0.0
        for part, heard in zip(parts, loudness, strict=True)
    )
    trims = ((part.volume / _USUAL_VOLUME) ** _VOLUME_POWER for part in parts)
    places = (pan_gains(part.pan) for part in parts)
    return array(
        [
            [level * trim * side for side in sides]
            for level, trim, sides in zip(levels, trims, places, strict=True)
        ]
    )


def pan_gains(pan: int) -> tuple[float, float]:
    """Return what left and right are multiplied by at a pan of 0 to 127; 1 and 1 in the middle."""
    from math import cos, pi, sin, sqrt

    angle = pi / 2 * max(0, pan - _PAN_FROM) / _PAN_STEPS
    return sqrt(2) * cos(angle), sqrt(2) * sin(angle)


def factor(decibels: float) -> float:
    """Return what samples are multiplied by to be so many decibels louder."""
    return float(10 ** (decibels / 20))


class Mixdown:
    """Stems, each at its gains, as one sound of a length in frames: made a block at a time, as it is read."""

    def __init__(self, stems: Sequence[Tape], gains: "NDArray[float64]", length: int) -> None:
        from numpy import float32

        self._stems, self._gains, self._length = stems, gains.astype(float32), length
        self._last: tuple[int, Sound] | None = None

    def blocks(self) -> Iterator[Sound]:
        """Yield the sound as it is, its tail faded to silence."""
        for start in range(0, self._length, _BLOCK):
            yield self._faded(start, self._block(start))

    def held_under(self, ceiling: float = CEILING) -> Iterator[Sound]:
        """Yield the sound with its peaks turned down to the ceiling in dBFS, its tail faded to silence."""
        from numpy import arange, concatenate, float32, interp

        most = factor(ceiling)
        starts = range(0, self._length, _BLOCK)
        factors = _held_under(concatenate([_peaks(self._block(start)) for start in starts]), most)
        centers = (arange(len(factors)) + 0.5) * _WIDTH
        for start in starts:
            sound = self._block(start)
            if factors[max(start // _WIDTH - 1, 0) : (start + _BLOCK) // _WIDTH + 1].min() < 1:
                at = arange(start, start + len(sound))
                sound = sound * interp(at, centers, factors).astype(float32)[:, None]
            yield self._faded(start, sound)

    def _block(self, start: int) -> Sound:
        """Return the mix from a frame on; the last one made is kept, which in a short sound is all."""
        if not self._last or self._last[0] != start:
            from numpy import float32, zeros

            stop = min(start + _BLOCK, self._length)
            mixed = zeros((stop - start, 2), float32)
            for stem, sides in zip(self._stems, self._gains, strict=True):
                mixed += stem.read(start, stop) * sides
            self._last = start, mixed
        return self._last[1]

    def _faded(self, start: int, sound: Sound) -> Sound:
        """Return a block with its share of the fade that ends the sound."""
        from numpy import arange, float32

        fade = min(round(min(_FADE_S, TAIL_S) * RATE), self._length)
        if start + len(sound) <= self._length - fade:
            return sound
        left = self._length - 1 - arange(start, start + len(sound))
        faded: Sound = sound * (left / fade).clip(max=1).astype(float32)[:, None]
        return faded


def _peaks(sound: Sound) -> "NDArray[float32]":
    """Return the peak of every short window of a sound."""
    from numpy import abs as size
    from numpy import maximum, pad

    left, right = size(sound).T
    peaks: NDArray[float32] = maximum(left, right)
    windows: NDArray[float32] = pad(peaks, (0, -len(peaks) % _WIDTH)).reshape(-1, _WIDTH).max(axis=1)
    return windows


def _held_under(peaks: "NDArray[float32]", ceiling: float) -> "NDArray[float64]":
    """Return a factor for every window that turns its peak down to the ceiling, smoothly and beforehand.

    Each window is given the factor it needs; the least of all windows within reach is averaged over less than
    that reach, so no window gets more than it needs, and none changes at a jump.
    """
    from numpy import minimum, ones, pad
    from numpy.lib.stride_tricks import sliding_window_view

    if peaks.max(initial=0) <= ceiling:
        return ones(len(peaks))
    needed = minimum(1, ceiling / peaks.clip(min=ceiling))
    far = _REACH + 1
    least = sliding_window_view(pad(needed, far, constant_values=1), 2 * far + 1).min(axis=1)
    smooth: NDArray[float64] = sliding_window_view(pad(least, _REACH, mode="edge"), 2 * _REACH + 1).mean(
        axis=1
    )
    return smooth
