"""Loudness, pan and peaks, on signals made by hand."""

from math import log10

import numpy as np
import pytest
from numpy.typing import NDArray

from tracks.export.audio import RATE, Sound, balance
from tracks.export.audio.loudness import Measured, loudness
from tracks.export.audio.tape import Tape


def test_panning_keeps_the_middle_and_the_power() -> None:
    assert balance.pan_gains(64) == pytest.approx((1, 1))
    assert balance.pan_gains(0)[1] == pytest.approx(0)
    assert balance.pan_gains(127)[0] == pytest.approx(0, abs=1e-9)
    assert all(sum(gain**2 for gain in balance.pan_gains(pan)) == pytest.approx(2) for pan in range(128))


def test_loudness_is_that_of_a_published_signal() -> None:
    """A sine of 1 kHz at -23 dBFS in both channels is -23.0 LUFS (EBU Tech 3341, case 1, from memory)."""
    wave = 10 ** (-23 / 20) * np.sin(2 * np.pi * 1000 * np.arange(20 * RATE) / RATE)

    assert loudness(stereo(wave)) == pytest.approx(-23, abs=0.1)


def test_peaks_are_held_under_the_ceiling_without_a_jump() -> None:
    time = np.arange(4 * RATE) / RATE
    wave = 0.05 * np.sin(2 * np.pi * 220 * time)
    wave[2 * RATE : 2 * RATE + 960] *= 20

    sound = mixed(stereo(wave))

    assert 20 * log10(np.abs(sound).max()) <= balance.CEILING + 0.001
    far = sound[RATE // 2 : RATE, 0] / np.where(wave == 0, 1, wave)[RATE // 2 : RATE]
    assert np.ptp(far[np.abs(wave[RATE // 2 : RATE]) > 0.01]) < 1e-4


def test_silence_stays_silence() -> None:
    assert loudness(stereo(np.zeros(100))) == float("-inf")
    assert not mixed(stereo(np.zeros(RATE))).any()


@pytest.mark.parametrize("seconds", [0.2, 0.6, 3.0, 41.3])
def test_loudness_is_the_reference_librarys(seconds: float) -> None:
    """pyloudnorm's filters are near those of the tables: within a tenth of a unit."""
    from pyloudnorm import Meter

    noise = np.random.default_rng(7)
    size = round(max(seconds, 0.5) * RATE)
    loud = 0.1 * np.sin(np.arange(size) / RATE) ** 2 * (np.arange(size) < seconds * RATE)
    wave = (noise.normal(0, 1, (size, 2)) * loud[:, None]).astype(np.float32)

    assert loudness(wave) == pytest.approx(Meter(RATE).integrated_loudness(wave), abs=0.1)


def test_a_mixs_loudness_follows_from_its_stems() -> None:
    noise = np.random.default_rng(8)
    sounds = [noise.normal(0, 0.05, (3 * RATE, 2)).astype(np.float32) for _ in range(2)]
    sounds.append(sounds[0] * np.float32(0.5))
    gains = np.array([[1.0, 0.5], [0.3, 0.8], [-0.7, 1.2]])

    together = sum(sound * side for sound, side in zip(sounds, gains, strict=True)).astype(np.float32)

    assert Measured([taped(sound) for sound in sounds]).loudness(gains) == pytest.approx(
        loudness(together), abs=1e-3
    )


def test_a_long_sound_is_mixed_in_blocks_as_if_at_once() -> None:
    """Peaks before, at and after the seam between two blocks of 16 seconds."""
    time = np.arange(40 * RATE) / RATE
    wave = 0.05 * np.sin(2 * np.pi * 220 * time)
    for peak in (15.99, 16.0, 16.02, 33.0):
        wave[round(peak * RATE) : round(peak * RATE) + 960] *= 20

    sound = mixed(stereo(wave))

    assert len(sound) == len(wave)
    assert 20 * log10(np.abs(sound).max()) <= balance.CEILING + 0.001
    seam = 16 * RATE
    change = sound[seam - 2 : seam + 2, 0] / stereo(wave)[seam - 2 : seam + 2, 0]
    assert np.ptp(change[np.isfinite(change)]) < 0.01
    assert np.abs(sound[20 * RATE : 30 * RATE] - stereo(wave)[20 * RATE : 30 * RATE]).max() < 1e-6


def test_a_tape_is_silent_outside_and_the_same_in_memory_and_on_the_disk() -> None:
    sound = np.random.default_rng(9).normal(0, 0.1, (50 * RATE, 2)).astype(np.float32)
    tape = taped(sound)

    assert np.array_equal(tape.read(0, len(sound)), sound)
    assert np.array_equal(tape.read(-5, 10)[5:], sound[:10])
    assert not tape.read(-5, 10)[:5].any()
    assert np.array_equal(tape.read(len(sound) - 3, len(sound) + 4)[:3], sound[-3:])
    assert tape.read(len(sound) + 5, len(sound) + 9).shape == (4, 2)


def taped(sound: Sound) -> Tape:
    tape = Tape()
    tape.write(sound)
    return tape


def mixed(sound: Sound) -> Sound:
    return np.concatenate(list(balance.Mixdown([taped(sound)], np.ones((1, 2)), len(sound)).held_under()))


def stereo(wave: NDArray[np.float64]) -> Sound:
    return np.stack((wave, wave), axis=1).astype(np.float32)
