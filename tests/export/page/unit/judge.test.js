import assert from "node:assert/strict";
import { test } from "node:test";
import { Judge, ON_TIME_S, TOGETHER_S, strikesOf } from "../../../../tracks/export/page/script/judge.js";
import { Waiting } from "../../../../tracks/export/page/script/wait.js";
import { chance } from "./music.js";

const ROUNDS = 10_000;

/** A round of chords at a tempo, and how somebody plays it: what each chord should be called. */
function round(next) {
  const beat_s = 60 / next.between(40, 160);
  const strikes = [];
  let at_s = 1;
  for (let chord = 0; chord < 8; chord++) {
    const root = 48 + Math.floor(next() * 12);
    const notes = chord && next() < 0.2 ? strikes[chord - 1].notes : [root, root + 7, root + 12, root + 16, root + 19];
    strikes.push({ at_s, notes, chord });
    at_s += beat_s * next.among([1, 2, 4]);
  }
  const latency_s = next.between(-0.02, 0.09);
  const played = [];
  const truth = strikes.map((strike, place) => {
    const gaps = [strikes[place - 1], strikes[place + 1]].flatMap((other) => (other ? Math.abs(other.at_s - strike.at_s) : []));
    const room = Math.min(beat_s, ...gaps.map((gap) => gap / 2)) - 0.06;
    const drawn = next.among(["right", "right", "early", "late", "wrong", "missing", "apart", "nothing"]);
    const isTooFast = room < ON_TIME_S + 0.021 && (drawn === "early" || drawn === "late");
    const word = isTooFast ? "right" : drawn;
    let off = next.between(-0.8, 0.8) * (ON_TIME_S - 0.011);
    if (word === "late") off = next.between(ON_TIME_S + 0.02, room);
    if (word === "early") off = -next.between(ON_TIME_S + 0.02, room);
    const slip = Math.floor(next() * strike.notes.length);
    strike.notes.forEach((midi, number) => {
      if (word === "nothing" || (word === "missing" && number === slip)) return;
      const spread = word === "apart" ? (number < 2 ? -0.055 : 0.055) : next.between(-0.01, 0.01);
      const wrong = word === "wrong" && number === slip ? 1 : 0;
      played.push({ at_s: strike.at_s + off + spread + latency_s, midi: midi + wrong });
    });
    return { word: word === "nothing" ? "missing" : word, off, all: strike.notes };
  });
  played.sort((one, other) => one.at_s - other.at_s);
  return { strikes, played, truth, latency_s, beat_s };
}

test(`${ROUNDS} random rounds, right, wrong, early, late, missing and apart: no false word`, () => {
  const counted = {};
  for (let seed = 1; seed <= ROUNDS; seed++) {
    const { strikes, played, truth, latency_s, beat_s } = round(chance(seed));
    const judge = new Judge(strikes, beat_s, latency_s);
    for (const note of played) judge.hear(note);
    truth.forEach(({ word, off, all }, place) => {
      const verdict = judge.verdict(place);
      assert.equal(verdict.word, word, `round ${seed}, chord ${place}: ${JSON.stringify(verdict)}`);
      counted[word] = (counted[word] ?? 0) + 1;
      if (word === "right") assert.deepEqual(verdict.right, all);
      if (word === "late" || word === "early") assert.ok(Math.abs(verdict.late_s - off) < 0.012);
      if (word === "wrong") assert.equal(verdict.wrong.length, 1);
      if (word === "apart") assert.ok(verdict.spread_s > TOGETHER_S);
    });
    const summary = judge.summary();
    assert.equal(summary.clean, truth.every(({ word }) => word !== "wrong" && word !== "missing") && summary.right >= 6.4);
  }
  for (const word of ["right", "wrong", "early", "late", "missing", "apart"]) assert.ok(counted[word] > 1000, word);
});

test("notes are judged as they come, and a chord is over when no note can be its own any more", () => {
  const strikes = [{ at_s: 1, notes: [60, 64], chord: 0 }, { at_s: 2, notes: [62], chord: 1 }];
  const judge = new Judge(strikes, 1, 0.1);
  assert.deepEqual(judge.hear({ at_s: 1.12, midi: 60 }), { place: 0, right: true });
  assert.deepEqual(judge.hear({ at_s: 1.15, midi: 61 }), { place: 0, right: false });
  assert.deepEqual(judge.hear({ at_s: 1.2, midi: 60 }), { place: 0, right: false }, "the same key again");
  assert.equal(judge.over(1.59), 0);
  assert.equal(judge.over(1.61), 1);
  assert.deepEqual(judge.verdict(0).missing, [64]);
  assert.equal(new Judge([], 1).hear({ at_s: 1, midi: 60 }), null);
});

test("what is asked of a player are the hands that are theirs", () => {
  const event = (at, role, midi) => ({ at, role, midi, length: 10, velocity: 80, part: null });
  const events = [event(0, "click", 76), event(0, "right hand", 67), event(0, "left hand", 55), event(1, "right hand", 70), event(100, "melody", 84), event(100, "bass", 40)];
  const ask = (hands) => strikesOf(events, (at) => at / 100, () => 0, hands).map(({ notes }) => notes);
  assert.deepEqual(ask("both"), [[55, 67, 70], [84]]);
  assert.deepEqual(ask("right"), [[67, 70], [84]]);
  assert.deepEqual(ask("left"), [[55]]);
});

test("waiting goes on when a chord is held, not before, and not with a wrong key down", () => {
  const waiting = new Waiting([[60, 64], [], [60, 64], [65]]);
  assert.equal(waiting.press(60), false);
  assert.equal(waiting.press(61), false);
  assert.deepEqual(waiting.wrong, [61]);
  assert.equal(waiting.press(64), false, "61 is still down");
  assert.equal(waiting.release(61), true);
  assert.equal(waiting.place, 2, "silence is passed over");
  assert.equal(waiting.release(64), false);
  assert.equal(waiting.press(64), true, "the same chord is struck again");
  waiting.release(60);
  waiting.release(64);
  assert.deepEqual(waiting.missing, [65]);
  assert.equal(waiting.press(65), true);
  assert.ok(waiting.isOver);
});
