/**
 * Check me: what was played against what was asked, chord by chord.
 *
 * Every chord owns the time half way to its neighbors, a beat at most: what is played there is judged with it.
 * Outside of any chord's time a note is wrong where it stands nearest.
 *
 * On time is within 50 ms, the window in which onsets are taken for the same in the scoring of transcriptions
 * (MIREX note tracking; `mir_eval.transcription`, onset_tolerance 0.05). Together is within 75 ms for two
 * hands: of 12,345 chords by 22 pianists 96 in 100 lie inside it (Vienna 4x22 corpus, measured).
 * @import { Event, Plan, Played, Strike, Summary, Verdict } from "./types.js"
 */
import { median } from "./ladder.js";
import { placeIn } from "./plan.js";

export const ON_TIME_S = 0.05;
export const TOGETHER_S = 0.075;
const SAME_S = 0.03;
const CLEAN_SHARE = 0.8;
const HANDS = ["right hand", "left hand", "melody"];

/**
 * What the player is to strike in a round: the notes of the hands that are theirs.
 * @param {Event[]} events
 * @param {(at: number) => number} secondsAt
 * @param {(at: number) => number} chordAt the number of the chord that sounds there
 * @param {string} hands both, right or left
 * @returns {Strike[]}
 */
export function strikesOf(events, secondsAt, chordAt, hands) {
  const asked = events.filter((event) => HANDS.includes(event.role) && isTheirs(event.role, hands));
  /** @type {Strike[]} */
  const strikes = [];
  for (const event of asked) {
    const at_s = secondsAt(event.at);
    const last = strikes[strikes.length - 1];
    if (last && at_s - last.at_s < SAME_S) last.notes.push(event.midi);
    else strikes.push({ at_s, notes: [event.midi], chord: chordAt(event.at) });
  }
  for (const strike of strikes) strike.notes = [...new Set(strike.notes)].sort((one, other) => one - other);
  return strikes;
}

/**
 * @param {string} role
 * @param {string} hands
 */
function isTheirs(role, hands) {
  if (hands === "both") return true;
  return hands === "left" ? role === "left hand" : role !== "left hand";
}

/** Judges a round note by note, as it is played. */
export class Judge {
  /**
   * @param {Strike[]} strikes in order of time
   * @param {number} beat_s the most that a chord's time reaches to either side
   * @param {number} latency_s what the device is late by, taken from every note
   */
  constructor(strikes, beat_s, latency_s = 0) {
    this.strikes = strikes;
    this.latency_s = latency_s;
    /** @type {{ right: Map<number, number>, wrong: number[] }[]} */
    this.heard = strikes.map(() => ({ right: new Map(), wrong: [] }));
    this.until = strikes.map((strike, place) => {
      const next = strikes[place + 1];
      return strike.at_s + (next ? Math.min(beat_s, (next.at_s - strike.at_s) / 2) : beat_s);
    });
    this.from = strikes.map((strike, place) => {
      const last = strikes[place - 1];
      return strike.at_s - (last ? Math.min(beat_s, (strike.at_s - last.at_s) / 2) : beat_s);
    });
  }

  /**
   * Takes a note and says what it was; null where there is nothing to judge it by.
   * @param {Played} played
   * @returns {{ place: number, right: boolean } | null}
   */
  hear(played) {
    const at_s = played.at_s - this.latency_s;
    const place = this.nearest(at_s);
    if (place < 0) return null;
    const heard = this.heard[place];
    const inTime = at_s >= this.from[place] && at_s < this.until[place];
    const asked = inTime && this.strikes[place].notes.includes(played.midi) && !heard.right.has(played.midi);
    if (asked) heard.right.set(played.midi, at_s);
    else heard.wrong.push(played.midi);
    return { place, right: asked };
  }

  /**
   * How many of the chords are over at a time: no note can be theirs any more.
   * @param {number} now_s
   */
  over(now_s) {
    const at_s = now_s - this.latency_s;
    return this.until.filter((until) => until <= at_s).length;
  }

  /**
   * @param {number} place
   * @returns {Verdict}
   */
  verdict(place) {
    const strike = this.strikes[place];
    const heard = this.heard[place];
    const right = strike.notes.filter((midi) => heard.right.has(midi));
    const missing = strike.notes.filter((midi) => !heard.right.has(midi));
    const times = right.map((midi) => heard.right.get(midi) ?? 0);
    const middle = median(times);
    const late_s = middle === null ? null : middle - strike.at_s;
    const spread_s = times.length ? Math.max(...times) - Math.min(...times) : 0;
    const word = wordFor(heard.wrong.length, missing.length, late_s ?? 0, spread_s);
    return { chord: strike.chord, right, wrong: [...heard.wrong], missing, late_s, spread_s, word };
  }

  /**
   * The round in numbers, up to a chord; clean is every note right, none wrong, and four chords of five in time.
   * @param {number} count of chords judged
   * @returns {Summary}
   */
  summary(count = this.strikes.length) {
    const verdicts = this.strikes.slice(0, count).map((_, place) => this.verdict(place));
    const late = verdicts.flatMap((verdict) => verdict.late_s ?? []);
    const wrong = verdicts.reduce((sum, verdict) => sum + verdict.wrong.length, 0);
    const missing = verdicts.reduce((sum, verdict) => sum + verdict.missing.length, 0);
    const inTime = verdicts.filter((verdict) => verdict.word === "right").length;
    return {
      strikes: verdicts.length,
      right: inTime,
      wrong,
      missing,
      late_s: median(late),
      spread_s: median(verdicts.map((verdict) => verdict.spread_s)),
      clean: verdicts.length > 0 && !wrong && !missing && inTime >= CLEAN_SHARE * verdicts.length,
    };
  }

  /** @param {number} at_s */
  nearest(at_s) {
    let best = -1;
    let least = Infinity;
    this.strikes.forEach((strike, place) => {
      const away = Math.abs(strike.at_s - at_s);
      const inside = at_s >= this.from[place] && at_s < this.until[place];
      if (inside || away < least) {
        best = place;
        least = inside ? -1 : away;
      }
    });
    return best;
  }
}

/**
 * @param {number} wrong
 * @param {number} missing
 * @param {number} late_s
 * @param {number} spread_s
 * @returns {Verdict["word"]}
 */
function wordFor(wrong, missing, late_s, spread_s) {
  if (wrong) return "wrong";
  if (missing) return "missing";
  if (spread_s > TOGETHER_S) return "apart";
  if (late_s > ON_TIME_S) return "late";
  return late_s < -ON_TIME_S ? "early" : "right";
}

/**
 * The chord of a plan that sounds at a moment, -1 for none; a stroke a little before its bar line is the next one's.
 * @param {Plan} plan
 * @param {{ start: number, length: number }[]} chords
 * @param {number} early ticks
 */
export function chordFinder(plan, chords, early) {
  /** @param {number} at */
  return (at) => {
    const place = placeIn(plan, at + early) ?? placeIn(plan, at);
    return place ? chords.findIndex((chord) => place.tick >= chord.start && place.tick < chord.start + chord.length) : -1;
  };
}
