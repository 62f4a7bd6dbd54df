"""Loudness, pan and peaks, on signals made by hand."""

from math import log10

import numpy as np
import pytest
from numpy.typing import NDArray

from tracks.export.audio import RATE, Sound, balance


def test_panning_keeps_the_middle_and_the_power() -> None:
    assert balance.pan_gains(64) == pytest.approx((1, 1))
    assert balance.pan_gains(0)[1] == pytest.approx(0)
    assert balance.pan_gains(127)[0] == pytest.approx(0, abs=1e-9)
    assert all(sum(gain**2 for gain in balance.pan_gains(pan)) == pytest.approx(2) for pan in range(128))


def test_loudness_is_that_of_a_published_signal() -> None:
    """A sine of 1 kHz at -23 dBFS in both channels is -23.0 LUFS (EBU Tech 3341, case 1, from memory)."""
    wave = 10 ** (-23 / 20) * np.sin(2 * np.pi * 1000 * np.arange(20 * RATE) / RATE)

    assert balance.loudness(stereo(wave)) == pytest.approx(-23, abs=0.1)


def test_peaks_are_held_under_the_ceiling_without_a_jump() -> None:
    time = np.arange(4 * RATE) / RATE
    wave = 0.05 * np.sin(2 * np.pi * 220 * time)
    wave[2 * RATE : 2 * RATE + 960] *= 20

    sound = balance.mastered(stereo(wave))

    assert 20 * log10(np.abs(sound).max()) <= balance.CEILING + 0.001
    far = sound[RATE // 2 : RATE, 0] / np.where(wave == 0, 1, wave)[RATE // 2 : RATE]
    assert np.ptp(far[np.abs(wave[RATE // 2 : RATE]) > 0.01]) < 1e-4


def test_silence_stays_silence() -> None:
    assert balance.loudness(stereo(np.zeros(100))) == float("-inf")
    assert not balance.mastered(stereo(np.zeros(RATE))).any()


def stereo(wave: NDArray[np.float64]) -> Sound:
    return np.stack((wave, wave), axis=1).astype(np.float32)
