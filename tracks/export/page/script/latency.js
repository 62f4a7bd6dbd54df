/**
 * How late a device answers: measured once, by tapping a key to the click.
 *
 * What is measured is the device and the player together, for people tap a little early; it is told apart from
 * what is played later, and taken out of it.
 */
import { median } from "./ladder.js";

export const TAPS_NEEDED = 6;
const STEADY_S = 0.06;

/**
 * The middle of how late taps are against the clicks nearest to them.
 * @param {number[]} taps seconds
 * @param {number[]} clicks seconds
 * @returns {{ late_s: number, spread_s: number, steady: boolean } | null} null of too few taps
 */
export function latencyOf(taps, clicks) {
  if (taps.length < TAPS_NEEDED || clicks.length === 0) return null;
  const late = taps.map((tap) => {
    const nearest = clicks.reduce((best, click) => (Math.abs(click - tap) < Math.abs(best - tap) ? click : best));
    return tap - nearest;
  });
  const middle = median(late) ?? 0;
  const spread_s = median(late.map((one) => Math.abs(one - middle))) ?? 0;
  return { late_s: middle, spread_s, steady: spread_s <= STEADY_S / 2 };
}
