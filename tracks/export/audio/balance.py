"""The mix: stems put together by how loud they are heard to be.

Conventions
- Loudness is in LUFS, ITU-R BS.1770-4, integrated and gated; differences are in LU. Peaks are in dBFS.
- A part's level in a mix is relative to a hand's: both hands are equally loud, a melody counts as a hand,
  the click lies well below any of them. A part's own `volume` then trims it as General MIDI does, 100
  meaning as it is (40 dB a decade: General MIDI 1 Developer Guidelines, from memory).
- Panning recordings equal power from left to right and leaves the middle as it is (RP-036, Default Pan
  Formula, MIDI Manufacturers Association, from memory).
- Every file is then brought to TARGET: as loud as piano can be with its peaks free (they reach 15 to 20 dB
  above its loudness, most at slow tempos), and so a moderate volume. What still rises past CEILING is held
  under it. EBU R 128 allows peaks of -1 dBTP; the rest is left to what lies between samples and to lossy
  coding.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from tracks.export.audio import RATE, TAIL_S, Sound
from tracks.export.audio.timing import fitted
from tracks.model import Part, Role

TARGET = -20.0
CEILING = -2.0
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
_SHORTEST_S, _SILENCE = 0.5, -80.0
_FADE_S = 0.25
_WINDOW_S, _REACH = 0.005, 8


@dataclass(frozen=True, slots=True)
class Stem:
    """A part's sound and its measured loudness, minus infinity where it is silent."""

    sound: Sound
    loudness: float


def loudness(sound: Sound) -> float:
    """Return the integrated loudness of a sound, minus infinity where nothing passes the gate."""
    from numpy import errstate
    from pyloudnorm import Meter

    if abs(sound).max(initial=0) < _factor(_SILENCE):
        return float("-inf")
    long_enough = fitted(sound, max(len(sound), round(_SHORTEST_S * RATE)))
    with errstate(divide="ignore"):  # a silent block has a loudness of minus infinity
        return float(Meter(RATE).integrated_loudness(long_enough))


def mix(parts: Sequence[tuple[Part, Stem]]) -> Sound:
    """Return the stems of one tempo put together, each at its part's level and place; not yet at TARGET."""
    from numpy import zeros_like

    whole = zeros_like(parts[0][1].sound)
    for part, stem in parts:
        whole += stem.sound * _gains(part, stem)
    return whole


def mastered(sound: Sound) -> Sound:
    """Return the sound at TARGET, its peaks under CEILING, its tail faded to silence."""
    from math import isfinite

    from numpy import float32

    heard = loudness(sound)
    louder = sound * float32(_factor(TARGET - heard) if isfinite(heard) else 1)
    return _faded(_held_under(louder, _factor(CEILING)))


def pan_gains(pan: int) -> tuple[float, float]:
    """Return what left and right are multiplied by at a pan of 0 to 127; 1 and 1 in the middle."""
    from math import cos, pi, sin, sqrt

    angle = pi / 2 * max(0, pan - _PAN_FROM) / _PAN_STEPS
    return sqrt(2) * cos(angle), sqrt(2) * sin(angle)


def _gains(part: Part, stem: Stem) -> Sound:
    """Return what a stem's two channels are multiplied by."""
    from math import isfinite

    from numpy import array, float32

    level = _factor(TARGET + LEVELS[part.role] - stem.loudness) if isfinite(stem.loudness) else 0.0
    trim = (part.volume / _USUAL_VOLUME) ** _VOLUME_POWER
    return array([level * trim * gain for gain in pan_gains(part.pan)], float32)


def _factor(decibels: float) -> float:
    return float(10 ** (decibels / 20))


def _held_under(sound: Sound, ceiling: float) -> Sound:
    """Return the sound with its peaks turned down to the ceiling, smoothly and before they come.

    Each short window is given the factor it needs; the least of all windows within reach is averaged over
    less than that reach, so no window gets more than it needs, and none changes at a jump.
    """
    from numpy import abs as size
    from numpy import arange, float32, interp, minimum, pad
    from numpy.lib.stride_tricks import sliding_window_view

    peaks = size(sound).max(axis=1, initial=0)
    if peaks.max(initial=0) <= ceiling:
        return sound
    width = round(_WINDOW_S * RATE)
    windows = pad(peaks, (0, -len(peaks) % width)).reshape(-1, width).max(axis=1)
    needed = minimum(1, ceiling / windows.clip(min=ceiling))
    far = _REACH + 1
    least = sliding_window_view(pad(needed, far, constant_values=1), 2 * far + 1).min(axis=1)
    smooth = sliding_window_view(pad(least, _REACH, mode="edge"), 2 * _REACH + 1).mean(axis=1)
    centers = (arange(len(smooth)) + 0.5) * width
    factors = interp(arange(len(sound)), centers, smooth).astype(float32)
    held: Sound = sound * factors[:, None]
    return held


def _faded(sound: Sound) -> Sound:
    from numpy import float32, linspace

    length = min(round(min(_FADE_S, TAIL_S) * RATE), len(sound))
    faded = sound.copy()
    faded[len(sound) - length :] *= linspace(1, 0, length, dtype=float32)[:, None]
    return faded
