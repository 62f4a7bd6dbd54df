/**
 * Practice: what is chosen, what is played, how it went, and the climb. It has no page and no sound of its own.
 * @import { Choice, Entry, Event, Music, PageChord, PageData, Plan, Summary, Verdict } from "./types.js"
 * @import { Settings } from "./settings.js"
 */
import { ACCENT, HIGH_BLOCK } from "./click.js";
import { Judge, chordFinder, strikesOf } from "./judge.js";
import { afterRound, rungAbove, rungBelow, withinReach } from "./ladder.js";
import { TAPS_NEEDED, latencyOf } from "./latency.js";
import { musicOf, secondsPerTick } from "./music.js";
import { placeIn, planOf } from "./plan.js";
import { Player } from "./player.js";
import { Waiting } from "./wait.js";

export const REST_AFTER_S = 20 * 60;
const RESTED_S = 180;
const LATENCY_CLICKS = TAPS_NEEDED * 2;
const LATENCY_BPM = 100;
const EARLY = 8;

/** @typedef {{ round: number, judge: Judge, told: number, isCounted: boolean }} Checked */
/** @typedef {{ chord: number, bar: number, tick: number, turn: string, count: number }} Place */

export class Practice {
  /**
   * @param {PageData} page
   * @param {Settings} settings
   * @param {object} outside
   * @param {() => number} outside.now the audio clock, seconds
   * @param {(event: Event, at_s: number, length_s: number) => void} outside.play
   * @param {() => void} outside.silence
   * @param {(what: string) => void} outside.changed
   */
  constructor(page, settings, { now, play, silence, changed }) {
    this.page = page;
    this.settings = settings;
    this.now = now;
    this.silence = silence;
    this.changed = changed;
    this.keyPlace = 0;
    this.bpm = page.tempos[0];
    this.clean = 0;
    this.bestClean = 0;
    this.tried = 0;
    this.isCountingIn = false;
    this.player = new Player({ now, play, roundOf: (round, time_s) => this.roundAt(round, time_s) });
    /** @type {Checked[]} */
    this.checked = [];
    /** @type {Summary | null} */
    this.summary = null;
    /** @type {Verdict[]} the latest of each chord */
    this.verdicts = [];
    /** @type {Waiting | null} */
    this.waiting = null;
    this.slips = 0;
    this.slipsBefore = 0;
    /** @type {number[] | null} taps while the latency is measured */
    this.taps = null;
    this.practiced_s = 0;
    this.sinceRest_s = 0;
    this.idle_s = 0;
    this.lastTick_s = 0;
    /** @type {Map<string, Music>} */
    this.musics = new Map();
  }

  get key() {
    return this.page.keys[this.keyPlace];
  }

  /** @returns {Music} */
  get music() {
    const name = `${this.keyPlace} ${this.key.pieces.length > 1 ? this.bpm : ""}`;
    const music = this.musics.get(name) ?? musicOf(this.page, this.key, this.bpm);
    if (!this.musics.has(name) && this.musics.size > 8) this.musics.clear();
    this.musics.set(name, music);
    return music;
  }

  /** @returns {Choice} */
  get choice() {
    const { first, last, click, turns, turnBars } = this.settings;
    return { first, last, click, turns, turnBars };
  }

  get isOn() {
    return this.player.isPlaying || this.waiting !== null;
  }

  get goal() {
    return this.page.tempos[this.page.tempos.length - 1];
  }

  start() {
    this.summary = null;
    this.verdicts = [];
    this.checked = [];
    if (this.settings.mode === "wait") this.wait();
    else this.player.start();
    this.lastTick_s = this.now();
    this.changed("started");
  }

  stop() {
    this.player.stop();
    this.silence();
    this.waiting = null;
    this.taps = null;
    this.changed("stopped");
  }

  /** @param {number} place */
  chooseKey(place) {
    const wasOn = this.isOn;
    if (wasOn) this.stop();
    this.changed("leaving");
    this.keyPlace = place;
    this.clean = 0;
    this.bestClean = 0;
    this.verdicts = [];
    this.summary = null;
    this.changed("key");
    if (wasOn) this.start();
  }

  /** @param {number} bpm */
  setTempo(bpm) {
    this.bpm = withinReach(bpm);
    this.clean = 0;
    // What is being checked keeps its tempo to the round's end.
    if (this.settings.mode !== "check") this.player.setTempo(this.tick_s);
    this.changed("tempo");
  }

  get tick_s() {
    return secondsPerTick(this.bpm, this.page.beat);
  }

  climb() {
    this.setTempo(rungAbove(this.page.tempos, this.bpm));
  }

  descend() {
    this.setTempo(rungBelow(this.page.tempos, this.bpm));
  }

  /** The player's own word that the round was clean; enough of them climb. */
  saidClean() {
    this.count(true);
  }

  /**
   * @param {boolean} isClean
   */
  count(isClean) {
    if (isClean) this.bestClean = Math.max(this.bestClean, this.bpm);
    const next = afterRound(this.page.tempos, { bpm: this.bpm, clean: this.clean }, isClean, this.settings.climb);
    this.clean = next.clean;
    if (next.climbed) {
      this.bpm = next.bpm;
      this.isCountingIn = true;
      this.changed("climbed");
    } else this.changed(isClean ? "clean" : "not clean");
  }

  /**
   * What is due before long; called by a timer.
   * @param {number} ahead_s
   */
  tick(ahead_s) {
    const now = this.now();
    const passed = Math.max(0, Math.min(1, now - this.lastTick_s));
    this.lastTick_s = now;
    if (this.isOn) this.spend(passed);
    else this.idle(passed);
    if (!this.player.isPlaying) return;
    this.player.tick(ahead_s);
    this.tellVerdicts(now);
    if (this.player.isPlaying) return;
    if (this.taps) this.endLatency();
    else {
      this.countFinished(now);
      this.changed("stopped");
    }
  }

  /** @param {number} passed seconds */
  spend(passed) {
    this.practiced_s += passed;
    this.tried = Math.max(this.tried, this.bpm);
    const before = this.sinceRest_s;
    this.sinceRest_s += passed;
    this.idle_s = 0;
    if (before < REST_AFTER_S && this.sinceRest_s >= REST_AFTER_S) this.changed("rest");
  }

  /** @param {number} passed seconds */
  idle(passed) {
    this.idle_s += passed;
    if (this.idle_s >= RESTED_S) this.sinceRest_s = 0;
  }

  /** Begins the count of minutes to a rest anew. */
  rested() {
    this.sinceRest_s = 0;
  }

  /**
   * @param {number} round
   * @param {number} time_s
   * @returns {{ plan: Plan, tick_s: number } | null}
   */
  roundAt(round, time_s) {
    if (this.taps) return round ? null : { plan: clicksOnly(), tick_s: 60 / LATENCY_BPM };
    if (round && !this.settings.repeat) return null;
    if (round) this.countFinished(this.now());
    const counted = round === 0 || this.isCountingIn ? this.settings.countIn : 0;
    this.isCountingIn = false;
    const plan = planOf(this.music, this.choice, round, counted);
    const { tick_s } = this;
    if (this.settings.mode === "check") this.check(round, plan, time_s, tick_s);
    if (round) this.changed("round");
    return { plan, tick_s };
  }

  /**
   * @param {number} round
   * @param {Plan} plan
   * @param {number} time_s
   * @param {number} tick_s
   */
  check(round, plan, time_s, tick_s) {
    const { chords, beat } = this.music;
    const strikes = strikesOf(
      plan.events,
      (at) => time_s + at * tick_s,
      chordFinder(plan, chords, beat / EARLY),
      this.settings.hands,
    );
    const judge = new Judge(strikes, beat * tick_s, this.settings.latency_s);
    this.checked.push({ round, judge, told: 0, isCounted: false });
    if (this.checked.length > 3) this.checked.shift();
  }

  /**
   * A key of the player's keyboard goes down or comes up.
   * @param {number} midi
   * @param {boolean} isDown
   * @param {number} at_s by the audio clock, as heard
   */
  hear(midi, isDown, at_s) {
    if (this.taps) {
      if (isDown) this.taps.push(at_s);
      return;
    }
    if (this.waiting) {
      this.waitFor(midi, isDown);
      return;
    }
    if (!isDown || this.settings.mode !== "check" || !this.player.isPlaying) return;
    const checked = this.checkedNear(at_s);
    if (!checked?.judge.hear({ at_s, midi })) return;
    this.changed("heard");
  }

  /** @param {number} at_s */
  checkedNear(at_s) {
    /** @param {Checked} checked */
    const away = ({ judge }) =>
      Math.min(...judge.strikes.map((strike) => Math.abs(strike.at_s - (at_s - judge.latency_s))));
    return this.checked.reduce(
      (/** @type {Checked | null} */ best, one) => (best && away(best) <= away(one) ? best : one),
      null,
    );
  }

  /** @param {number} now */
  tellVerdicts(now) {
    for (const checked of this.checked) {
      const over = checked.judge.over(now);
      for (; checked.told < over; checked.told++) {
        const verdict = checked.judge.verdict(checked.told);
        this.verdicts = [...this.verdicts.filter(({ chord }) => chord !== verdict.chord), verdict];
        this.changed("verdict");
      }
    }
  }

  /**
   * Counts every checked round that is over, once.
   * @param {number} now
   */
  countFinished(now) {
    for (const checked of this.checked) {
      const { judge } = checked;
      const isOver = judge.over(now) === judge.strikes.length || !this.player.isPlaying;
      if (checked.isCounted || !isOver || !judge.strikes.length) continue;
      checked.isCounted = true;
      this.summary = judge.summary();
      this.changed("summary");
      this.count(this.summary.clean);
    }
  }

  // Wait for me.

  wait() {
    this.waiting = new Waiting(this.waitedFor.map(({ chord }) => this.keysOf(chord)));
    this.slips = 0;
    this.changed("chord");
  }

  /** The chords of the bars chosen, each with its number. */
  get waitedFor() {
    const { bars, chords } = this.music;
    const first = bars[this.settings.first];
    const last = bars[this.settings.last];
    const to = last.start + last.length;
    return chords
      .map((chord, number) => ({ chord, number }))
      .filter(({ chord }) => chord.start + chord.length > first.start && chord.start < to);
  }

  /** @param {PageChord} chord */
  keysOf(chord) {
    const { hands } = this.settings;
    return [...(hands === "left" ? [] : chord.right.midi), ...(hands === "right" ? [] : chord.left.midi)];
  }

  /**
   * @param {number} midi
   * @param {boolean} isDown
   */
  waitFor(midi, isDown) {
    const { waiting } = this;
    if (!waiting) return;
    const wrongBefore = waiting.wrong.length;
    const isHeld = isDown ? waiting.press(midi) : waiting.release(midi);
    if (!isHeld && waiting.wrong.length > wrongBefore) this.slips++;
    if (isHeld && waiting.isOver) this.waitAgain(waiting);
    else this.changed(isHeld ? "chord" : isDown || wrongBefore ? "waiting" : "released");
  }

  /** @param {Waiting} waiting */
  waitAgain(waiting) {
    this.slipsBefore = this.slips;
    if (this.settings.repeat) {
      this.wait();
      if (this.waiting) this.waiting.down = waiting.down;
    } else this.stop();
    this.changed(this.slipsBefore ? "waited with slips" : "waited clean");
  }

  // Latency.

  measureLatency() {
    if (this.isOn) this.stop();
    this.taps = [];
    this.player.start();
    this.lastTick_s = this.now();
    this.latencyFrom_s = this.player.rounds[0].anchors[0].time_s;
    this.changed("measuring");
  }

  endLatency() {
    const clicks = Array.from({ length: LATENCY_CLICKS }, (_, beat) => (this.latencyFrom_s ?? 0) + (beat * 60) / LATENCY_BPM);
    const measured = latencyOf(this.taps ?? [], clicks);
    this.taps = null;
    if (measured?.steady) {
      this.settings.latency_s = measured.late_s;
      this.settings.isMeasured = true;
      this.changed("measured");
    } else this.changed(measured ? "unsteady" : "too few taps");
  }

  /**
   * Where the music is at a time.
   * @param {number} time_s
   * @returns {Place | null}
   */
  place(time_s) {
    if (this.waiting) {
      const there = this.waitedFor[this.waiting.place];
      return there ? this.placeOf(there.chord.start, "", 0) : null;
    }
    const found = this.taps ? null : this.player.position(time_s);
    if (!found) return null;
    const { plan } = found.round;
    const inMusic = placeIn(plan, found.at);
    if (found.at < plan.counted && !(inMusic && inMusic.tick < this.music.pickup)) {
      const before = Math.floor((found.at - plan.downbeat) / this.music.beat);
      const beats = this.music.bar / this.music.beat;
      const start = this.music.bars[this.settings.first].start;
      return { ...this.placeOf(start, "", (((before % beats) + beats) % beats) + 1) };
    }
    return inMusic ? this.placeOf(inMusic.tick, inMusic.turn, 0) : null;
  }

  /**
   * @param {number} tick
   * @param {string} turn
   * @param {number} count
   * @returns {Place}
   */
  placeOf(tick, turn, count) {
    const { chords, bars } = this.music;
    /** @param {{ start: number, length: number }} span */
    const holds = (span) => tick >= span.start && tick < span.start + span.length;
    return { chord: chords.findIndex(holds), bar: bars.findIndex(holds), tick, turn, count };
  }

  /**
   * What was practiced since it was last asked, for the log.
   * @param {string} date
   * @returns {Entry | null}
   */
  takeEntry(date) {
    if (this.practiced_s < 1 && !this.bestClean) return null;
    const { name, texture } = this.page;
    const entry = {
      date,
      student: this.settings.student,
      drill: name,
      key: this.key.name,
      texture,
      bpm: this.bestClean || this.tried || this.bpm,
      ready: this.bestClean > 0,
      minutes: this.practiced_s / 60,
    };
    this.practiced_s = 0;
    this.bestClean = 0;
    this.tried = 0;
    return entry;
  }
}

/** A row of clicks to tap to: its ticks are beats. @returns {Plan} */
function clicksOnly() {
  const events = Array.from({ length: LATENCY_CLICKS }, (_, at) => ({
    at,
    role: /** @type {const} */ ("click"),
    length: 0,
    midi: HIGH_BLOCK,
    velocity: ACCENT,
    part: null,
  }));
  return { length: LATENCY_CLICKS + 1, counted: 0, downbeat: 0, bar: LATENCY_CLICKS + 1, events, segments: [] };
}

