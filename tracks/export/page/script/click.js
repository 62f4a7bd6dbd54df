/**
 * Which clicks sound, and how strongly: the fewer of them, the more the pulse is the player's own.
 * @import { ClickPattern } from "./types.js"
 */

export const ACCENT = 108;
export const BEAT = 84;
export const HIGH_BLOCK = 76;
export const LOW_BLOCK = 77;

/** @type {ClickPattern[]} */
export const CLICKS = ["on", "backbeats", "second-bars", "fading", "off"];

/**
 * The velocity of a click, 0 where it is silent.
 *
 * Backbeats are the even beats: 2 and 4. Fading, the click leaves over the first half of the bars and comes
 * back with the next round, so that the player hears whether the beat was kept; where a round is one bar,
 * every second round is silent.
 * @param {ClickPattern} pattern
 * @param {number} beat of its bar, from 0
 * @param {number} bar of the round, from 0; a pickup is -1
 * @param {number} bars in the round
 * @param {number} round from 0
 * @returns {number}
 */
export function clickVelocity(pattern, beat, bar, bars, round) {
  const full = beat === 0 ? ACCENT : BEAT;
  if (pattern === "off") return 0;
  if (pattern === "backbeats") return beat % 2 === 1 ? BEAT : 0;
  if (pattern === "second-bars") return (bar + round * bars) % 2 === 0 || bar < 0 ? full : 0;
  if (pattern === "fading") return Math.round(full * fading(Math.max(bar, 0), bars, round));
  return full;
}

/**
 * @param {number} bar
 * @param {number} bars
 * @param {number} round
 */
function fading(bar, bars, round) {
  if (bars === 1) return round % 2 === 0 ? 1 : 0;
  return Math.max(0, 1 - bar / Math.ceil(bars / 2));
}
