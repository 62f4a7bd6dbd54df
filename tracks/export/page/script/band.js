/**
 * The band made here: bass, drums and click, each stroke as sound.
 *
 * The keys are General MIDI 1's percussion map ("General MIDI System Level 1", MMA, 1991, read in public
 * copies). The click is the one that the audio files have. How a drum is made of tones and noise is convention;
 * its numbers are our judgment.
 */
import { hertzOf, noiseSource } from "./piano.js";

export const BAND_RATE = 44100;

/**
 * Tones glide from one frequency to another; noise is what lies over a frequency. Decays are seconds to 1/e.
 * @typedef {{ tones?: [from: number, to: number, decay: number, level: number][],
 *   noise?: [over: number, decay: number, level: number], length: number }} Stroke
 */

/** @type {Stroke} */
const RATTLE = { noise: [5000, 0.03, 0.5], length: 0.2 };

/**
 * @param {number} hertz
 * @returns {Stroke}
 */
const skin = (hertz) => ({
  tones: [[hertz * 1.5, hertz, 0.16, 0.8]],
  noise: [800, 0.02, 0.15],
  length: 0.6,
});

/**
 * @param {number} high
 * @param {number} low
 * @param {number} decay
 * @returns {Stroke}
 */
const wood = (high, low, decay) => ({
  tones: [
    [high, high, decay, 0.7],
    [low, low, decay * 0.5, 0.3],
  ],
  length: decay * 7,
});

/**
 * @param {number} decay
 * @param {number} level
 * @returns {Stroke}
 */
const cymbal = (decay, level) => ({
  tones: [
    [3150, 3150, decay * 0.6, 0.05],
    [4730, 4730, decay * 0.5, 0.05],
  ],
  noise: [6000, decay, level],
  length: Math.min(2.5, decay * 6),
});

/** @type {Record<number, Stroke>} */
const STROKES = {
  35: { tones: [[110, 48, 0.14, 1]], noise: [1500, 0.004, 0.2], length: 0.6 },
  36: { tones: [[125, 52, 0.12, 1]], noise: [2000, 0.004, 0.25], length: 0.5 },
  37: wood(1650, 820, 0.02),
  38: { tones: [[200, 180, 0.07, 0.5]], noise: [1200, 0.09, 0.5], length: 0.5 },
  39: { noise: [1000, 0.08, 0.6], length: 0.4 },
  40: { tones: [[230, 200, 0.06, 0.5]], noise: [1500, 0.1, 0.5], length: 0.5 },
  41: skin(75),
  42: { noise: [7500, 0.03, 0.4], length: 0.2 },
  43: skin(88),
  44: { noise: [6500, 0.025, 0.3], length: 0.2 },
  45: skin(105),
  46: { noise: [7000, 0.18, 0.35], length: 1 },
  47: skin(125),
  48: skin(145),
  49: cymbal(0.5, 0.4),
  50: skin(170),
  51: cymbal(0.28, 0.16),
  53: { tones: [[2600, 2600, 0.3, 0.25]], noise: [6000, 0.2, 0.12], length: 1.2 },
  54: RATTLE,
  56: wood(845, 560, 0.06),
  59: cymbal(0.3, 0.16),
  60: skin(400),
  61: skin(300),
  62: wood(340, 510, 0.03),
  63: skin(330),
  64: skin(220),
  69: RATTLE,
  70: { noise: [6500, 0.02, 0.45], length: 0.15 },
  75: wood(2500, 2500, 0.03),
  76: wood(1760, 4787, 0.016),
  77: wood(1175, 3196, 0.016),
};
STROKES[52] = STROKES[55] = STROKES[57] = STROKES[49];

/**
 * One stroke of a percussion key.
 * @param {number} key
 * @returns {Float32Array<ArrayBuffer>}
 */
export function strokeOf(key) {
  const stroke = STROKES[key] ?? RATTLE;
  const wave = new Float32Array(Math.round(stroke.length * BAND_RATE));
  for (const tone of stroke.tones ?? []) addTone(wave, tone);
  if (stroke.noise) addNoise(wave, stroke.noise, key);
  ended(wave);
  return wave;
}

/**
 * A bass note, plucked: dark, and gone in a few seconds.
 * @param {number} midi
 * @param {boolean} isAcoustic
 * @returns {Float32Array<ArrayBuffer>}
 */
export function bassNote(midi, isAcoustic) {
  const wave = new Float32Array(Math.round(2.5 * BAND_RATE));
  const hertz = hertzOf(midi);
  for (let number = 1; number <= 10; number++) {
    const level = Math.abs(Math.sin(number * 0.9)) / number ** (isAcoustic ? 1.6 : 1.25);
    addTone(wave, [number * hertz, number * hertz, (isAcoustic ? 0.55 : 0.9) / (1 + 0.35 * (number - 1)), 0.6 * level]);
  }
  if (isAcoustic) addNoise(wave, [900, 0.006, 0.08], midi);
  ended(wave);
  return wave;
}

/**
 * @param {Float32Array} wave
 * @param {[number, number, number, number]} tone
 */
function addTone(wave, [from, to, decay, level]) {
  let angle = 0;
  for (let at = 0; at < wave.length; at++) {
    const time = at / BAND_RATE;
    const envelope = level * Math.exp(-time / decay);
    if (envelope < 1e-5) break;
    wave[at] += envelope * Math.sin(angle);
    angle += (2 * Math.PI * (to + (from - to) * Math.exp(-time / 0.03))) / BAND_RATE;
  }
}

/**
 * @param {Float32Array} wave
 * @param {[number, number, number]} noise
 * @param {number} seed
 */
function addNoise(wave, [over, decay, level], seed) {
  const next = noiseSource(seed);
  const share = 1 - Math.exp((-2 * Math.PI * over) / BAND_RATE);
  let low = 0;
  for (let at = 0; at < wave.length; at++) {
    const sound = next();
    low += share * (sound - low);
    wave[at] += level * Math.exp(-at / BAND_RATE / decay) * (sound - low);
  }
}

/** @param {Float32Array} wave */
function ended(wave) {
  const fade = Math.min(wave.length, 400);
  for (let at = 0; at < fade; at++) wave[wave.length - 1 - at] *= at / fade;
}
