/**
 * The piano made here against what has been published of pianos; the sources stand in piano.js.
 */
import assert from "node:assert/strict";
import { test } from "node:test";
import { bassNote, strokeOf } from "../../../../tracks/export/page/script/band.js";
import { AFTER_SHARE, RATE, decayDb, hertzOf, partialHertz, pianoNote, stiffness, touchOf } from "../../../../tracks/export/page/script/piano.js";

/** The size of one frequency in a stretch of sound, by a Hann window and one bin. */
function sizeAt(wave, hertz, from_s, length_s, rate = RATE) {
  const start = Math.round(from_s * rate);
  const length = Math.round(length_s * rate);
  let [real, imaginary, sum] = [0, 0, 0];
  for (let at = 0; at < length; at++) {
    const window = 0.5 - 0.5 * Math.cos((2 * Math.PI * at) / length);
    const angle = (2 * Math.PI * hertz * at) / rate;
    real += window * wave[start + at] * Math.cos(angle);
    imaginary -= window * wave[start + at] * Math.sin(angle);
    sum += window;
  }
  return Math.hypot(real, imaginary) / sum;
}

/** The frequency near a guess where a sound is strongest. */
function peakNear(wave, guess) {
  let best = guess;
  for (const reach of [0.006, 0.0012, 0.0002]) {
    const center = best;
    let most = 0;
    for (let step = -10; step <= 10; step++) {
      const hertz = center * (1 + (reach * step) / 10);
      const size = sizeAt(wave, hertz, 0.05, 1.2);
      if (size > most) [most, best] = [size, hertz];
    }
  }
  return best;
}

const slope = (wave, hertz, from_s, to_s) => (20 * Math.log10(sizeAt(wave, hertz, from_s, 0.4) / sizeAt(wave, hertz, to_s, 0.4))) / (to_s - from_s);

test("measured partials are stretched as the published inharmonicity says", () => {
  for (const midi of [40, 52, 60, 69, 76]) {
    const { bright } = pianoNote(midi);
    const first = peakNear(bright, hertzOf(midi));
    const number = midi > 70 ? 5 : 7;
    const measured = peakNear(bright, partialHertz(midi, number)) / (number * first);
    // f(n) / (n f(1)) = sqrt((1 + B n^2) / (1 + B))
    const ratio = measured ** 2;
    const found = (ratio - 1) / (number ** 2 - ratio);
    assert.ok(Math.abs(found / stiffness(midi) - 1) < 0.12, `${midi}: ${found} for ${stiffness(midi)}`);
  }
  // Typical middle C about 3 to 4 in ten thousand, more by a factor of ten or so three octaves up (from memory).
  assert.ok(stiffness(60) > 2.5e-4 && stiffness(60) < 4.5e-4);
  assert.ok(stiffness(96) / stiffness(60) > 10 && stiffness(96) / stiffness(60) < 50);
});

test("a note of 311 Hz loses 8 dB a second at first and less than a quarter of that later (Weinreich)", () => {
  const { bright } = pianoNote(63);
  const early = slope(bright, hertzOf(63), 0.05, 0.85);
  const late = slope(bright, hertzOf(63), 3.4, 4.2);
  assert.ok(Math.abs(early - 8) < 2, `${early} dB/s`);
  assert.ok(late > 0 && late < early / 2, `${late} dB/s while both stages are heard`);
  assert.ok(AFTER_SHARE < 1 / 4);
});

test("single partials lose 1 to 100 dB a second, the high ones more", () => {
  const partials = [36, 48, 60, 72, 84, 96].flatMap((midi) => [1, 3, 6].map((number) => partialHertz(midi, number)));
  for (const hertz of partials) assert.ok(decayDb(hertz) >= 1 && decayDb(hertz) <= 100);
  for (const midi of [48, 60, 72]) {
    const { bright } = pianoNote(midi);
    const [low, high] = [1, 4].map((number) => slope(bright, partialHertz(midi, number), 0.05, 0.5));
    assert.ok(high > low, `${midi}: ${low} and ${high}`);
  }
});

test("a hard stroke is brighter and decays alike; loudness grows with the hammer's speed", () => {
  for (const midi of [48, 60, 72]) {
    const { soft, bright } = pianoNote(midi);
    const share = (wave) => sizeAt(wave, partialHertz(midi, 5), 0.05, 0.3) / sizeAt(wave, hertzOf(midi), 0.05, 0.3);
    assert.ok(share(bright) > 1.4 * share(soft), `${share(bright)} and ${share(soft)}`);
    const [one, other] = [soft, bright].map((wave) => slope(wave, hertzOf(midi), 0.1, 0.8));
    assert.ok(Math.abs(one - other) < 0.3);
  }
  const loud = [20, 60, 100, 127].map((velocity) => touchOf(velocity).loud);
  assert.deepEqual(loud, [...loud].sort((one, other) => one - other));
  assert.equal(touchOf(127).loud, 1);
});

test("every note begins at once, peaks soon, stays within full scale and ends in silence", () => {
  for (let midi = 33; midi <= 96; midi += 3) {
    const { soft, bright } = pianoNote(midi);
    for (const wave of [soft, bright]) {
      const peak = wave.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
      const onset = wave.findIndex((sample) => Math.abs(sample) >= 0.05 * peak) / RATE;
      assert.ok(onset < 0.002, `${midi} speaks after ${onset} s`);
      assert.ok(peak > 0.2 && peak < 1.3, `${midi}: ${peak}`);
      assert.ok(Math.abs(wave[wave.length - 1]) < 1e-3);
    }
  }
});

test("every General MIDI 1 percussion key gives a stroke that begins at once and ends", () => {
  for (let key = 35; key <= 81; key++) {
    const wave = strokeOf(key);
    const peak = wave.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
    assert.ok(peak > 0.05 && peak < 1.6, `${key}: ${peak}`);
    assert.ok(wave.findIndex((sample) => Math.abs(sample) >= 0.05 * peak) / 44100 < 0.002, String(key));
    assert.ok(Math.abs(wave[wave.length - 1]) < 1e-6);
  }
  const bass = bassNote(33, true);
  assert.ok(sizeAt(bass, hertzOf(33), 0.05, 0.4, 44100) > 0.02);
});
