import assert from "node:assert/strict";
import { test } from "node:test";
import { AHEAD_S } from "../../../../tracks/export/page/script/player.js";
import { Practice, REST_AFTER_S } from "../../../../tracks/export/page/script/practice.js";
import { QUARTER, chance, exampleMusic } from "./music.js";

/** A page of two keys made of plain columns. */
function examplePage() {
  const music = exampleMusic();
  const columns = [];
  const place = (column) => columns.push(column) - 1;
  const steps = (starts) => starts.map((start, at) => start - (starts[at - 1] ?? 0));
  const parts = music.parts.map(({ role, notes, hits }) => {
    const head = { role, program: 0, pan: 64, volume: 100 };
    if (hits.length) return { ...head, hits: [steps(hits.map((hit) => hit.start)), hits.map((hit) => hit.key), hits.map((hit) => hit.velocity)].map(place) };
    const sorted = [...notes].sort((one, other) => one.start - other.start);
    return { ...head, notes: [steps(sorted.map((note) => note.start)), sorted.map((note) => note.length), sorted.map((note) => note.midi), sorted.map((note) => note.velocity)].map(place) };
  });
  const key = (name) => ({
    name,
    sign: name,
    minor: false,
    chords: music.chords,
    bars: music.bars.map(({ number, start, length }) => [number, start, length]),
    events: [],
    pieces: [{ bpm: null, parts: parts.filter((part) => part.role !== "melody") }],
  });
  return { name: "week-5", texture: "over-bass", student: "Wren", tempos: [60, 66, 72], beat: QUARTER, bar: music.bar, pickup: 0, length: music.length, columns, keys: [key("Eb major"), key("F major")] };
}

const CHOSEN = { student: "Wren", first: 0, last: 3, repeat: true, click: "on", countIn: 1, turns: "none", turnBars: 2, climb: 2, mode: "along", hands: "both", latency_s: 0, isMeasured: false };

function stand(more = {}) {
  const clock = { now: 0 };
  const told = [];
  const heard = [];
  const practice = new Practice(examplePage(), { ...CHOSEN, ...more }, {
    now: () => clock.now,
    play: (event, at_s) => heard.push({ event, at_s }),
    silence: () => told.push("silence"),
    changed: (what) => told.push(what),
  });
  /** Goes on for some seconds; `keys` are pressed at their times. */
  const run = (seconds, keys = []) => {
    const until = clock.now + seconds;
    while (clock.now < until) {
      clock.now += 0.025;
      while (keys.length && keys[0].at_s <= clock.now) practice.hear(keys[0].midi, true, keys.shift().at_s);
      practice.tick(AHEAD_S);
    }
  };
  return { clock, told, heard, practice, run };
}

/** What a player plays who follows the score from a time on, for some rounds. */
function follows(practice, from_s, rounds, { slipIn = -1, off = 0 } = {}) {
  const keys = [];
  for (let round = 0; round < rounds; round++) {
    for (const [number, chord] of practice.music.chords.entries()) {
      const at_s = from_s + off + (round * practice.music.length + chord.start) * practice.tick_s;
      for (const midi of [...chord.left.midi, ...chord.right.midi]) keys.push({ at_s, midi: midi + (round === slipIn && number === 1 ? 1 : 0) });
    }
  }
  return keys;
}

test("clean rounds, checked, climb the ladder with a count-in; a slip holds it", () => {
  const { clock, told, practice, run } = stand({ mode: "check" });
  practice.start();
  const begin = clock.now + 0.1 + 4;
  run(4 + 4 * 16 - 0.5, follows(practice, begin, 4, { slipIn: 1 }));
  assert.deepEqual(told.filter((what) => what.includes("clean")), ["clean", "not clean", "clean"]);
  assert.equal(practice.verdicts.find(({ chord }) => chord === 1).word, "right");
  assert.equal(practice.bpm, 60);
  run(1);
  assert.equal(practice.bpm, 66, "two clean rounds after the slip");
  const { plan } = practice.player.rounds[practice.player.rounds.length - 1];
  assert.ok(plan.counted > 0, "counted in at the new tempo");
});

test("the device's latency is taken out of what is judged", () => {
  for (const [latency_s, word] of [[0.12, "right"], [0, "late"]]) {
    const { clock, practice, run } = stand({ mode: "check", latency_s, repeat: false });
    practice.start();
    run(30, follows(practice, clock.now + 4.1, 1, { off: 0.12 }));
    assert.deepEqual(practice.verdicts.map((verdict) => verdict.word), Array(4).fill(word));
    assert.equal(practice.summary.clean, word === "right");
  }
});

test("the latency is measured once from taps to the click", () => {
  const { clock, told, practice, run } = stand();
  practice.measureLatency();
  const next = chance(7);
  const taps = Array.from({ length: 12 }, (_, beat) => ({ at_s: clock.now + 0.1 + beat * 0.6 + 0.08 + next.between(-0.01, 0.01), midi: 60 }));
  run(9, taps);
  assert.ok(told.includes("measured"));
  assert.ok(Math.abs(practice.settings.latency_s - 0.08) < 0.01);
  assert.ok(!practice.isOn);
});

test("the player's own word counts as a clean round, and a press is a rung", () => {
  const { practice } = stand();
  practice.saidClean();
  practice.saidClean();
  assert.equal(practice.bpm, 66);
  practice.climb();
  assert.equal(practice.bpm, 72);
  practice.climb();
  assert.equal(practice.bpm, 72);
  assert.deepEqual(practice.takeEntry("2031-04-27"), { date: "2031-04-27", student: "Wren", drill: "week-5", key: "Eb major", texture: "over-bass", bpm: 60, ready: true, minutes: 0 });
  assert.equal(practice.takeEntry("2031-04-27"), null);
});

test("waiting follows the player through the bars chosen, and begins again", () => {
  const { told, practice } = stand({ mode: "wait", first: 1, last: 2, hands: "right" });
  practice.start();
  const [, second, third] = practice.music.chords;
  for (const chord of [second, third]) {
    assert.equal(practice.place(0).chord, practice.music.chords.indexOf(chord));
    for (const midi of chord.right.midi) practice.hear(midi, true, 0);
    for (const midi of chord.right.midi) practice.hear(midi, false, 0);
  }
  assert.ok(told.includes("waited clean"));
  practice.hear(40, true, 0);
  practice.hear(40, false, 0);
  assert.equal(practice.slips, 1);
  assert.equal(practice.place(0).chord, 1);
});

test("after twenty minutes a rest is due, and a pause is one", () => {
  const { told, practice, run } = stand();
  practice.start();
  run(REST_AFTER_S - 5);
  assert.ok(!told.includes("rest"));
  run(10);
  assert.equal(told.filter((what) => what === "rest").length, 1);
  practice.stop();
  run(200);
  assert.equal(practice.sinceRest_s, 0);
  assert.ok(Math.abs(practice.practiced_s - REST_AFTER_S) < 10);
});

test("another key goes on where it was, and its minutes are its own", () => {
  const { told, practice, run } = stand();
  practice.start();
  run(60);
  const minutes = [];
  practice.changed = (what) => what === "leaving" && minutes.push(practice.takeEntry("2031-04-27"));
  practice.chooseKey(1);
  assert.ok(practice.isOn && told.includes("silence"));
  assert.equal(practice.key.name, "F major");
  assert.equal(minutes[0].key, "Eb major");
  assert.ok(Math.abs(minutes[0].minutes - 1) < 0.01);
});

test("an hour of rounds, checked, leaves nothing behind", () => {
  const { practice, run, heard } = stand({ mode: "check", climb: 0 });
  practice.start();
  for (let minute = 0; minute < 60; minute++) {
    run(60);
    heard.length = 0;
  }
  assert.ok(practice.isOn);
  assert.ok(practice.checked.length <= 3 && practice.verdicts.length <= 4 && practice.musics.size <= 8 && practice.player.rounds.length <= 3);
});
