/** The ladder of tempos: rungs, a tempo tapped, and the climb after clean rounds. */

export const SLOWEST = 20;
export const FASTEST = 300;
const TAPS_KEPT = 5;
const TAP_PAUSE_S = 3.5;

/**
 * @param {number} bpm
 * @returns {number}
 */
export function withinReach(bpm) {
  return Math.min(FASTEST, Math.max(SLOWEST, Math.round(bpm)));
}

/**
 * The next rung above a tempo; the tempo itself where it is the last or past it.
 * @param {number[]} tempos slow to fast
 * @param {number} bpm
 */
export function rungAbove(tempos, bpm) {
  return tempos.find((tempo) => tempo > bpm) ?? bpm;
}

/**
 * @param {number[]} tempos
 * @param {number} bpm
 */
export function rungBelow(tempos, bpm) {
  return tempos.findLast((tempo) => tempo < bpm) ?? bpm;
}

/**
 * Taps with a new one added; a pause begins anew.
 * @param {number[]} taps seconds
 * @param {number} now
 * @returns {number[]}
 */
export function tapped(taps, now) {
  const last = taps[taps.length - 1];
  if (last === undefined || now - last > TAP_PAUSE_S || now <= last) return [now];
  return [...taps, now].slice(-TAPS_KEPT);
}

/**
 * The tempo of two taps or more: the middle one of the steps between them; null of fewer.
 * @param {number[]} taps seconds
 * @returns {number | null}
 */
export function tempoOf(taps) {
  const step = median(taps.slice(1).map((tap, place) => tap - taps[place]));
  return step === null ? null : withinReach(60 / step);
}

/**
 * @param {number[]} values
 * @returns {number | null}
 */
export function median(values) {
  if (values.length === 0) return null;
  const sorted = [...values].sort((one, other) => one - other);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

/**
 * What follows a round on the ladder: a clean one counts, any other begins the count anew.
 * @param {number[]} tempos
 * @param {{ bpm: number, clean: number }} state
 * @param {boolean} clean
 * @param {number} needed clean rounds for a rung; 0 never climbs
 * @returns {{ bpm: number, clean: number, climbed: boolean }}
 */
export function afterRound(tempos, state, clean, needed) {
  const count = clean ? state.clean + 1 : 0;
  const next = rungAbove(tempos, state.bpm);
  if (!needed || count < needed || next === state.bpm) return { bpm: state.bpm, clean: count, climbed: false };
  return { bpm: next, clean: 0, climbed: true };
}
