/**
 * A piano made here: each note as the sum of its partials, struck softly and brightly.
 *
 * - Partials are stretched by the strings' stiffness, f(n) = n f sqrt(1 + B n^2): H. Fletcher, "Normal vibration
 *   frequencies of a stiff piano string", JASA 36, 1964 (from memory). B along the keyboard is a sum of two
 *   exponentials, with the typical values of F. Rigaud, B. David and L. Daudet, "A parametric model and
 *   estimation techniques for the inharmonicity and tuning of the piano", JASA 133, 2013 (the paper's
 *   existence read, its values from memory).
 * - The sound decays in two stages: at first 8 dB a second at 311 Hz, later at less than a quarter of that
 *   (G. Weinreich in "Five lectures on the acoustics of the piano", Royal Swedish Academy of Music, 1990,
 *   read). Both stages sound at once, so the first alone falls by 9.5. Single partials lose from 1 to 100 dB a second, mostly by their frequency (measured on a spinet;
 *   JASA abstract, read at second hand). Between these the exponent is our judgment.
 * - How hard a note is struck changes its partials, not how fast they decay (T. Cheng, S. Dixon, M. Mauch,
 *   "Modelling the decay of piano sounds", 2015, abstract read), and the greatest amplitude grows in proportion
 *   to the hammer's speed (C. Palmer, J. Brown, "Investigations in the amplitude of sounded piano tones", JASA
 *   90, 1991, abstract read). From a MIDI velocity to a hammer's speed is our judgment.
 * - The hammer strikes near an eighth of the string, so every eighth partial is weak (convention). Its knock is
 *   a short burst of noise; level and length are our judgment.
 */

export const RATE = 24000;
const BASS_SLOPE = -0.0847;
const BASS_OFFSET = -5.82;
const TREBLE_SLOPE = 0.0926;
const TREBLE_OFFSET = -13.64;
const DECAY_DB = 9.5;
const DECAY_HZ = 311;
const DECAY_POWER = 0.7;
const SLOWEST_DB = 1;
const FASTEST_DB = 100;
export const AFTER_SHARE = 0.22;
const AFTER_LEVEL = 0.15;
const AFTER_DETUNED_HZ = 0.04;
const STRUCK_AT = 1 / 8;
const MOST_PARTIALS = 28;
const HIGHEST_HZ = 9500;
const SOFT_HZ = 750;
const BRIGHT_HZ = 2300;
const WEAK_BELOW_HZ = 90;
const KNOCK_S = 0.018;
const KNOCK_LEVEL = 0.09;
const ATTACK_S = 0.0008;
const FADE_S = 0.4;

/**
 * @param {number} midi
 * @returns {number} hertz
 */
export function hertzOf(midi) {
  return 440 * 2 ** ((midi - 69) / 12);
}

/**
 * The inharmonicity coefficient B of a key.
 * @param {number} midi
 */
export function stiffness(midi) {
  return Math.exp(BASS_SLOPE * midi + BASS_OFFSET) + Math.exp(TREBLE_SLOPE * midi + TREBLE_OFFSET);
}

/**
 * The frequency of a partial, the first being the note's own.
 * @param {number} midi
 * @param {number} number from 1
 */
export function partialHertz(midi, number) {
  const stiff = stiffness(midi);
  return number * hertzOf(midi) * Math.sqrt((1 + stiff * number * number) / (1 + stiff));
}

/**
 * How fast a partial decays at first, in decibels a second; later at AFTER_SHARE of that.
 * @param {number} hertz
 */
export function decayDb(hertz) {
  return Math.min(FASTEST_DB, Math.max(SLOWEST_DB, DECAY_DB * (hertz / DECAY_HZ) ** DECAY_POWER));
}

/**
 * How long a note's recording lasts: as long as it can be heard in a slow drill.
 * @param {number} midi
 */
function secondsOf(midi) {
  return midi < 60 ? 6 : midi < 76 ? 5 : 3.5;
}

/**
 * A note struck softly and brightly; what lies between is a mixture of the two, for their partials move alike.
 * @param {number} midi
 * @returns {{ soft: Float32Array<ArrayBuffer>, bright: Float32Array<ArrayBuffer> }}
 */
export function pianoNote(midi) {
  const length = Math.round(secondsOf(midi) * RATE);
  const soft = new Float32Array(length);
  const bright = new Float32Array(length);
  for (let number = 1; number <= MOST_PARTIALS; number++) {
    const hertz = partialHertz(midi, number);
    if (hertz > HIGHEST_HZ) break;
    const level = (Math.abs(Math.sin(number * Math.PI * STRUCK_AT)) + 0.03) / number / (1 + (WEAK_BELOW_HZ / hertz) ** 2);
    const root = hertzOf(midi) * 0.5;
    const softly = level * Math.exp(-hertz / (SOFT_HZ + root));
    const brightly = level * Math.exp(-hertz / (BRIGHT_HZ + root));
    addPartial(soft, bright, hertz, decayDb(hertz), softly, brightly);
  }
  finish(soft, KNOCK_LEVEL * 0.5, midi);
  finish(bright, KNOCK_LEVEL, midi);
  return { soft, bright };
}

/**
 * @param {Float32Array} soft
 * @param {Float32Array} bright
 * @param {number} hertz
 * @param {number} decibels
 * @param {number} softly
 * @param {number} brightly
 */
function addPartial(soft, bright, hertz, decibels, softly, brightly) {
  const first = rotor(hertz, decibels, 1 - AFTER_LEVEL);
  const after = rotor(hertz + AFTER_DETUNED_HZ, decibels * AFTER_SHARE, AFTER_LEVEL);
  let [x, y, u, v] = [first.size, 0, after.size, 0];
  const { c, s } = first;
  const { c: p, s: q } = after;
  for (let at = 0; at < soft.length; at++) {
    const wave = y + v;
    soft[at] += softly * wave;
    bright[at] += brightly * wave;
    const nextX = x * c - y * s;
    y = x * s + y * c;
    x = nextX;
    const nextU = u * p - v * q;
    v = u * q + v * p;
    u = nextU;
  }
}

/**
 * What turns a point by a frequency and draws it in by a decay, a sample at a time.
 * @param {number} hertz
 * @param {number} decibels a second
 * @param {number} size
 */
function rotor(hertz, decibels, size) {
  const kept = 10 ** (-decibels / 20 / RATE);
  const angle = (2 * Math.PI * hertz) / RATE;
  return { c: kept * Math.cos(angle), s: kept * Math.sin(angle), size };
}

/**
 * Adds the knock, brings the note to a common loudness, and lets it begin and end without a jump.
 * @param {Float32Array} wave
 * @param {number} knock
 * @param {number} midi
 */
function finish(wave, knock, midi) {
  const loud = rms(wave, Math.round(0.4 * RATE)) || 1;
  const factor = 0.2 / loud;
  const noise = noiseSource(midi);
  const decay = Math.exp(-1 / (KNOCK_S / 3) / RATE);
  let level = knock;
  let low = 0;
  const fade = Math.round(FADE_S * RATE);
  const attack = ATTACK_S * RATE;
  for (let at = 0; at < wave.length; at++) {
    low += 0.25 * (noise() - low);
    level *= decay;
    const eased = Math.min(1, at / attack, (wave.length - at) / fade);
    wave[at] = eased * (factor * wave[at] + level * low);
  }
}

/**
 * @param {Float32Array} wave
 * @param {number} length
 */
function rms(wave, length) {
  let sum = 0;
  for (let at = 0; at < length; at++) sum += wave[at] * wave[at];
  return Math.sqrt(sum / length);
}

/**
 * Noise from -1 to 1, the same for the same seed.
 * @param {number} seed
 * @returns {() => number}
 */
export function noiseSource(seed) {
  let state = (seed * 2654435761) >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2147483648 - 1;
  };
}

/**
 * How loud a MIDI velocity is, and how much of it is bright: 0 all soft, 1 all bright.
 * @param {number} velocity
 */
export function touchOf(velocity) {
  return { loud: (velocity / 127) ** 1.6, bright: Math.min(1, Math.max(0, (velocity - 36) / 84)) };
}
