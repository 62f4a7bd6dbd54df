import assert from "node:assert/strict";
import { test } from "node:test";
import { CLICKS, clickVelocity } from "../../../../tracks/export/page/script/click.js";
import { placeIn, planOf } from "../../../../tracks/export/page/script/plan.js";
import { QUARTER, WHOLE, chance, exampleMusic } from "./music.js";

const of = (plan, role) => plan.events.filter((event) => event.role === role);
const BAR = 4 * QUARTER;

test("the whole music sounds as it is written, with a click on every beat", () => {
  const music = exampleMusic();
  const plan = planOf(music, WHOLE, 0);
  assert.equal(plan.length, music.length);
  for (const part of music.parts.slice(0, 3)) {
    const played = of(plan, part.role).map(({ at, length, midi }) => [at, length, midi]);
    assert.deepEqual(played, part.notes.map(({ start, length, midi }) => [start, length, midi]));
  }
  assert.deepEqual(of(plan, "click").map(({ at }) => at), Array.from({ length: 16 }, (_, beat) => beat * QUARTER));
  assert.deepEqual(of(plan, "click").slice(0, 5).map(({ velocity }) => velocity), [108, 84, 84, 84, 108]);
});

test("a count-in stands before the music and clicks even where the click is off", () => {
  const plan = planOf(exampleMusic(), { ...WHOLE, click: "off" }, 0, 2);
  assert.equal(plan.counted, 2 * BAR);
  assert.deepEqual(of(plan, "click").map(({ at }) => at), Array.from({ length: 8 }, (_, beat) => beat * QUARTER));
  assert.equal(of(plan, "right hand")[0].at, 2 * BAR);
});

test("a pickup sounds inside the last bar of the count-in, and each beat is clicked once", () => {
  const plan = planOf(exampleMusic({ pickup: QUARTER }), { ...WHOLE, last: 4 }, 0, 1);
  assert.equal(plan.counted, BAR - QUARTER);
  assert.equal(of(plan, "melody")[0].at, 3 * QUARTER);
  const clicks = of(plan, "click").map(({ at }) => at);
  assert.deepEqual(clicks, clicks.map((_, beat) => beat * QUARTER));
});

test("a pickup leads in again only where the last bar leaves room for it", () => {
  const short = exampleMusic({ pickup: QUARTER });
  assert.equal(planOf(short, { ...WHOLE, last: 4 }, 1).segments[0].from, 0);
  assert.equal(planOf(short, { ...WHOLE, last: 4 }, 1).length, 4 * BAR);
  const full = exampleMusic({ pickup: QUARTER, lastIsShort: false });
  assert.equal(planOf(full, { ...WHOLE, last: 4 }, 0).segments[0].from, 0);
  assert.equal(planOf(full, { ...WHOLE, last: 4 }, 1).segments[0].from, QUARTER);
});

test("a loop that ends in a short bar is filled up to a bar line", () => {
  const plan = planOf(exampleMusic({ pickup: QUARTER }), { ...WHOLE, first: 3, last: 4 }, 0);
  assert.equal(plan.length, 2 * BAR);
});

test("a note that rings into a loop is struck at its start, and none rings past its end", () => {
  const music = exampleMusic();
  music.parts[0].notes = [{ start: 0, length: 3 * BAR, midi: 60, velocity: 80 }];
  const plan = planOf(music, { ...WHOLE, first: 1, last: 1 }, 0);
  assert.deepEqual(of(plan, "right hand").map(({ at, length }) => [at, length]), [[0, BAR]]);
});

test("loops join without a gap and without a stroke twice, wherever feel puts the notes", () => {
  for (let seed = 1; seed <= 400; seed++) {
    const next = chance(seed);
    const music = exampleMusic({ bars: 6 });
    const stray = Math.floor(QUARTER / 96);
    for (const part of music.parts) {
      for (const event of [...part.notes, ...part.hits]) {
        const moved = Math.max(0, event.start + Math.round(next.between(-stray, stray)));
        if ("length" in event) event.length += event.start - moved;
        event.start = moved;
      }
    }
    const first = Math.floor(next() * 6);
    const last = first + Math.floor(next() * (6 - first));
    const plan = planOf(music, { ...WHOLE, first, last }, 3);
    assert.equal(plan.length, (last - first + 1) * BAR);
    const drums = of(plan, "drums").map(({ at }) => at);
    assert.equal(drums.length, (last - first + 1) * 4, `seed ${seed}`);
    const chords = of(plan, "left hand").filter(({ midi }) => midi === 55);
    assert.equal(chords.length, last - first + 1, `seed ${seed}`);
    for (const { at, length } of of(plan, "left hand")) {
      assert.ok(at >= 0 && length > 0 && at + length <= plan.length);
    }
    assert.ok(Math.abs(drums[0]) <= stray && plan.length - drums[drums.length - 1] >= QUARTER - stray);
  }
});

test("in call and response the soloist is silent in the player's turns, and all else goes on", () => {
  const music = exampleMusic();
  const plan = planOf(music, { ...WHOLE, turns: "response", turnBars: 1 }, 0);
  assert.deepEqual(of(plan, "melody").map(({ at }) => Math.floor(at / BAR) % 2), Array(8).fill(0));
  assert.equal(of(plan, "right hand").length, 12);
  assert.deepEqual(plan.segments.map(({ turn }) => turn), ["listen", "play", "listen", "play"]);
});

test("turns go on alternating over rounds of an odd number of turns", () => {
  const music = exampleMusic({ bars: 3 });
  const turns = (round) => planOf(music, { ...WHOLE, last: 2, turns: "response", turnBars: 1 }, round).segments.map(({ turn }) => turn);
  assert.deepEqual(turns(0), ["listen", "play", "listen"]);
  assert.deepEqual(turns(1), ["play", "listen", "play"]);
});

test("an echo waits as long as it has played, with the drums going on", () => {
  const music = exampleMusic();
  const plan = planOf(music, { ...WHOLE, turns: "echo", turnBars: 2 }, 0);
  assert.equal(plan.length, 2 * music.length);
  assert.equal(of(plan, "right hand").length, 12);
  assert.equal(of(plan, "drums").length, 32);
  assert.deepEqual(placeIn(plan, 2 * BAR + 5), { tick: 5, turn: "play" });
  assert.deepEqual(placeIn(plan, 4 * BAR + 5), { tick: 2 * BAR + 5, turn: "listen" });
});

test("click patterns leave out what they say", () => {
  const bar = (pattern, number, round = 0, bars = 4) => [0, 1, 2, 3].map((beat) => clickVelocity(pattern, beat, number, bars, round) > 0);
  assert.deepEqual(bar("backbeats", 0), [false, true, false, true]);
  assert.deepEqual([0, 1, 2, 3].map((number) => bar("second-bars", number)[0]), [true, false, true, false]);
  assert.deepEqual([0, 1, 2].map((number) => bar("second-bars", number, 1, 3)[0]), [false, true, false]);
  const fading = [0, 1, 2, 3].map((number) => clickVelocity("fading", 0, number, 4, 0));
  assert.deepEqual(fading, [108, 54, 0, 0]);
  assert.deepEqual([0, 1].map((round) => clickVelocity("fading", 0, 0, 1, round)), [108, 0]);
  assert.ok(CLICKS.includes("off") && !bar("off", 0).includes(true));
});
