/**
 * The player: rounds one after the other, every event handed on a little before it sounds.
 *
 * Time is the audio clock's. A timer only asks, again and again, what is due before long; how late it comes
 * plays no part. A new tempo holds from the next bar line, anything else from the next round.
 * @import { Event, Plan } from "./types.js"
 */
import { modulo } from "./plan.js";

export const AHEAD_S = 0.15;
export const AHEAD_HIDDEN_S = 2.5;
const BEGIN_S = 0.1;
const STALL_S = 0.3;

/** @typedef {{ at: number, time_s: number, tick_s: number }} Anchor */
/** @typedef {{ plan: Plan, round: number, anchors: Anchor[], next: number, end_s: number }} Round */

export class Player {
  /**
   * @param {object} given
   * @param {() => number} given.now the audio clock, seconds
   * @param {(event: Event, at_s: number, length_s: number) => void} given.play
   * @param {(round: number, time_s: number) => { plan: Plan, tick_s: number } | null} given.roundOf the plan that begins at a time; null ends the music
   */
  constructor({ now, play, roundOf }) {
    this.now = now;
    this.play = play;
    this.roundOf = roundOf;
    /** @type {Round[]} the one that is being scheduled is the last */
    this.rounds = [];
    this.isPlaying = false;
    this.isEnding = false;
  }

  start() {
    this.rounds = [];
    this.isPlaying = true;
    this.isEnding = false;
    this.begin(0, this.now() + BEGIN_S);
    this.tick(AHEAD_S);
  }

  stop() {
    this.isPlaying = false;
    this.rounds = [];
  }

  /**
   * Hands on what is due before long.
   * @param {number} ahead_s
   */
  tick(ahead_s) {
    const now = this.now();
    while (this.isPlaying && !this.isEnding) {
      const round = this.rounds[this.rounds.length - 1];
      this.catchUp(round, now);
      if (!this.handOn(round, now + ahead_s)) break;
      round.end_s = timeAt(round, round.plan.length);
      if (round.end_s >= now + ahead_s) break;
      if (!this.begin(round.round + 1, round.end_s)) this.isEnding = true;
    }
    const last = this.rounds[this.rounds.length - 1];
    if (this.isEnding && last && now >= last.end_s) this.stop();
    while (this.rounds.length > 1 && this.rounds[0].end_s < now - 1) this.rounds.shift();
  }

  /**
   * Where the music is at a time: the round and the ticks into its plan; null where it is not.
   * @param {number} time_s
   * @returns {{ round: Round, at: number } | null}
   */
  position(time_s) {
    for (let place = this.rounds.length - 1; place >= 0; place--) {
      const round = this.rounds[place];
      if (time_s < round.anchors[0].time_s && place > 0) continue;
      const anchor = round.anchors.findLast((one) => one.time_s <= time_s) ?? round.anchors[0];
      const at = anchor.at + (time_s - anchor.time_s) / anchor.tick_s;
      return at < round.plan.length ? { round, at } : null;
    }
    return null;
  }

  /**
   * A new tempo, from the first bar line that is not yet handed on.
   * @param {number} tick_s
   */
  setTempo(tick_s) {
    const round = this.rounds[this.rounds.length - 1];
    if (!this.isPlaying || !round) return;
    const horizon = this.now() + AHEAD_S;
    const anchor = round.anchors.findLast((one) => one.time_s <= horizon) ?? round.anchors[0];
    const { plan } = round;
    const handedOn = plan.events[round.next - 1]?.at ?? 0;
    const reached = Math.max(anchor.at + (horizon - anchor.time_s) / anchor.tick_s, handedOn + 1);
    const line = reached + modulo(plan.downbeat - reached, plan.bar);
    if (line >= plan.length) return;
    round.anchors = round.anchors.filter((one) => one.at < line);
    round.anchors.push({ at: line, time_s: timeAt(round, line), tick_s });
    round.end_s = timeAt(round, plan.length);
  }

  /**
   * @param {number} number
   * @param {number} time_s
   */
  begin(number, time_s) {
    const next = this.roundOf(number, time_s);
    if (!next) return false;
    const { plan, tick_s } = next;
    const anchors = [{ at: 0, time_s, tick_s }];
    const round = { plan, round: number, anchors, next: 0, end_s: 0 };
    round.end_s = timeAt(round, plan.length);
    this.rounds.push(round);
    return true;
  }

  /**
   * Hands on a round's events up to a time; says whether none is left.
   * @param {Round} round
   * @param {number} until_s
   */
  handOn(round, until_s) {
    const { events } = round.plan;
    while (round.next < events.length) {
      const event = events[round.next];
      const time_s = timeAt(round, event.at);
      if (time_s >= until_s) return false;
      this.play(event, time_s, timeAt(round, event.at + event.length) - time_s);
      round.next++;
    }
    return true;
  }

  /**
   * After a stall (the device slept) the music goes on from where it was, and in time.
   * @param {Round} round
   * @param {number} now
   */
  catchUp(round, now) {
    const event = round.plan.events[round.next];
    const late = now - (event ? timeAt(round, event.at) : round.end_s);
    if (late < STALL_S) return;
    for (const anchor of round.anchors) anchor.time_s += late + BEGIN_S;
    round.end_s += late + BEGIN_S;
  }
}

/**
 * When a moment of a round sounds.
 * @param {{ anchors: Anchor[] }} round
 * @param {number} at ticks
 */
export function timeAt(round, at) {
  const anchor = round.anchors.findLast((one) => one.at <= at) ?? round.anchors[0];
  return anchor.time_s + (at - anchor.at) * anchor.tick_s;
}
