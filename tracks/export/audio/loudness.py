"""How loud sounds are heard to be, and any mix of them without mixing it.

Conventions
- Loudness is in LUFS: ITU-R BS.1770-4, integrated and gated, at its 48,000 frames a second (the filters'
  coefficients stand in its tables 1 and 2; pyloudnorm is held against the result in the tests).
- The weighting is linear and energy is a square, so the energy of a mix follows from those of its stems and
  of every two of them together: they are measured once, and every mix of the stems is a small sum.
- The filters are recursive, but have died away to a billionth after `_REACH` frames. So they are applied as
  one response of that length, by Fourier transforms of overlapping stretches.
"""

from collections.abc import Sequence
from functools import lru_cache
from math import log10
from typing import TYPE_CHECKING

from tracks.export.audio import RATE, Sound
from tracks.export.audio.tape import Tape

if TYPE_CHECKING:
    from numpy import complex64, float64
    from numpy.typing import NDArray

SILENCE = float("-inf")

_SHELF = (1.53512485958697, -2.69169618940638, 1.19839281085285), (-1.69065929318241, 0.73248077421585)
_HIGH_PASS = (1.0, -2.0, 1.0), (-1.99004745483398, 0.99007225036621)
_OFFSET, _ABSOLUTE_GATE, _RELATIVE_GATE = -0.691, -70.0, 10.0
_STEP, _STEPS_IN_A_BLOCK = RATE // 10, 4
_STRETCH, _STEPS = 32_768, 6
_REACH = _STRETCH - _STEPS * _STEP


class Measured:
    """The energies of stems and of every two of them, a tenth of a second each, weighted as the ear does."""

    def __init__(self, stems: Sequence[Tape]) -> None:
        from numpy import concatenate

        length = max(max((stem.length for stem in stems), default=0), _STEPS_IN_A_BLOCK * _STEP)
        starts = range(0, length, _STEPS * _STEP)
        self._energies = concatenate([_energies(stems, start) for start in starts])[: length // _STEP]

    def loudness(self, gains: "NDArray[float64]") -> float:
        """Return the loudness of the stems' mix; `gains` are what each one's channels are multiplied by.

        It is minus infinity where nothing passes the gate.
        """
        from numpy import convolve, einsum, full

        steps = einsum("scij,ic,jc->s", self._energies, gains, gains)
        blocks = convolve(steps, full(_STEPS_IN_A_BLOCK, 1 / (_STEPS_IN_A_BLOCK * _STEP)), "valid")
        heard = blocks[blocks > _power(_ABSOLUTE_GATE)]
        if not len(heard):
            return SILENCE
        heard = heard[heard > heard.mean() * 10 ** (-_RELATIVE_GATE / 10)]
        return _OFFSET + 10 * log10(heard.mean())

    def alone(self, stem: int) -> float:
        """Return the loudness of one stem by itself."""
        from numpy import zeros

        gains = zeros((self._energies.shape[2], 2))
        gains[stem] = 1
        return self.loudness(gains)


def loudness(sound: Sound) -> float:
    """Return the loudness of a sound, minus infinity where nothing passes the gate."""
    tape = Tape()
    tape.write(sound)
    return Measured((tape,)).alone(0)


def _power(loudness: float) -> float:
    return float(10 ** ((loudness - _OFFSET) / 10))


def _energies(stems: Sequence[Tape], start: int) -> "NDArray[float64]":
    """Return, by step, channel and two stems, the energy that these have in common, from a frame on."""
    from numpy import float64, stack
    from numpy.fft import irfft, rfft

    stretches = stack([stem.read(start - _REACH, start + _STEPS * _STEP).T for stem in stems])
    weighted = irfft(rfft(stretches, axis=2) * _response(), axis=2)[:, :, _REACH:]
    by_step = weighted.reshape(len(stems), 2, _STEPS, _STEP).transpose(2, 1, 0, 3)
    energies: NDArray[float64] = (by_step @ by_step.swapaxes(2, 3)).astype(float64)
    return energies


@lru_cache(maxsize=1)
def _response() -> "NDArray[complex64]":
    """Return the two filters' frequency response."""
    from numpy import array, complex64
    from numpy.fft import rfft

    impulse = [1.0] + [0.0] * (_REACH - 1)
    for forward, back in (_SHELF, _HIGH_PASS):
        impulse = _filtered(impulse, forward, back)
    response: NDArray[complex64] = rfft(array(impulse), _STRETCH).astype(complex64)
    return response


def _filtered(samples: Sequence[float], forward: Sequence[float], back: Sequence[float]) -> list[float]:
    """Return the samples through a filter of the second order (direct form II, transposed)."""
    first = second = 0.0
    filtered = []
    for sample in samples:
        value = forward[0] * sample + first
        first = forward[1] * sample - back[0] * value + second
        second = forward[2] * sample - back[1] * value
        filtered.append(value)
    return filtered
