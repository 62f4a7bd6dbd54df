import assert from "node:assert/strict";
import { test } from "node:test";
import { afterRound, rungAbove, rungBelow, tapped, tempoOf, withinReach } from "../../../../tracks/export/page/script/ladder.js";
import { latencyOf } from "../../../../tracks/export/page/script/latency.js";
import { chance } from "./music.js";

const RUNGS = [60, 66, 72, 80];

test("rungs are found from any tempo, and the top has none above", () => {
  assert.deepEqual([50, 60, 65, 80, 90].map((bpm) => rungAbove(RUNGS, bpm)), [60, 66, 66, 80, 90]);
  assert.deepEqual([50, 60, 65, 80, 90].map((bpm) => rungBelow(RUNGS, bpm)), [50, 60, 60, 72, 80]);
  assert.deepEqual([5, 72.4, 900].map(withinReach), [20, 72, 300]);
});

test("a tapped tempo is the tempo tapped, however many taps and whatever slip", () => {
  let taps = [];
  for (const now of [10, 10.5, 11, 11.5, 12]) taps = tapped(taps, now);
  assert.equal(tempoOf(taps), 120);
  assert.equal(tempoOf(tapped(taps, 12.9)), 120, "one late tap changes nothing");
  assert.equal(tempoOf(tapped(taps, 60)), null, "a pause begins anew");
});

test("so many clean rounds climb a rung, and any other begins the count anew", () => {
  let state = { bpm: 60, clean: 0 };
  for (const clean of [true, true, false, true, true]) state = afterRound(RUNGS, state, clean, 3);
  assert.deepEqual(state, { bpm: 60, clean: 2, climbed: false });
  assert.deepEqual(afterRound(RUNGS, state, true, 3), { bpm: 66, clean: 0, climbed: true });
  assert.equal(afterRound(RUNGS, { bpm: 80, clean: 2 }, true, 3).climbed, false);
  assert.equal(afterRound(RUNGS, { bpm: 60, clean: 9 }, true, 0).climbed, false, "0 never climbs");
});

test("latency is the middle of steady taps, and told apart from uneven ones", () => {
  const clicks = Array.from({ length: 12 }, (_, beat) => beat * 0.6);
  for (let seed = 1; seed < 200; seed++) {
    const next = chance(seed);
    const device = next.between(-0.05, 0.15);
    const taps = clicks.slice(2).map((click) => click + device + next.between(-0.015, 0.015));
    const found = latencyOf(taps, clicks);
    assert.ok(found.steady && Math.abs(found.late_s - device) < 0.016);
  }
  const next = chance(5);
  assert.equal(latencyOf(clicks.map((click) => click + next.between(-0.25, 0.25)), clicks).steady, false);
  assert.equal(latencyOf([1, 2], clicks), null);
});
