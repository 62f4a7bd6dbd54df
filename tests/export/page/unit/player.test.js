import assert from "node:assert/strict";
import { test } from "node:test";
import { secondsPerTick } from "../../../../tracks/export/page/script/music.js";
import { planOf } from "../../../../tracks/export/page/script/plan.js";
import { AHEAD_S, Player } from "../../../../tracks/export/page/script/player.js";
import { QUARTER, WHOLE, chance, exampleMusic } from "./music.js";

/** A player on a clock of our own, its timer as uneven as a busy device's. */
function stage({ bpm = 97, music = exampleMusic(), choice = WHOLE, rounds = 3, counted = 1 } = {}) {
  const clock = { now: 0 };
  const heard = [];
  const player = new Player({
    now: () => clock.now,
    play: (event, at_s, length_s) => heard.push({ event, at_s, length_s, handed_s: clock.now }),
    roundOf: (round) =>
      round < rounds ? { plan: planOf(music, choice, round, round ? 0 : counted), tick_s: secondsPerTick(stage.bpm, QUARTER) } : null,
  });
  stage.bpm = bpm;
  const run = (seconds, seed = 1) => {
    const next = chance(seed);
    const until = clock.now + seconds;
    while (clock.now < until && player.isPlaying) {
      clock.now += next.between(0.005, 0.09);
      player.tick(AHEAD_S);
    }
  };
  return { clock, heard, player, run, music };
}

test("every event sounds at its exact time, whenever the timer comes, over the joins of rounds", () => {
  for (const bpm of [60, 97, 132]) {
    const { heard, player, run } = stage({ bpm });
    player.start();
    const begin = heard[0].at_s;
    run(600);
    const clicks = heard.filter(({ event }) => event.role === "click");
    assert.equal(clicks.length, 4 + 3 * 16);
    clicks.forEach(({ at_s, handed_s }, beat) => {
      assert.ok(Math.abs(at_s - begin - (beat * 60) / bpm) < 1e-9);
      assert.ok(handed_s <= at_s, "handed on in time");
    });
    assert.equal(heard.filter(({ event }) => event.role === "right hand").length, 36);
    assert.ok(!player.isPlaying, "ends after the last round");
  }
});

test("a new tempo holds from the next bar line on", () => {
  const { heard, player, run } = stage({ bpm: 60, counted: 0, rounds: 1 });
  player.start();
  const begin = heard[0].at_s;
  run(1.5);
  player.setTempo(secondsPerTick(120, QUARTER));
  run(60);
  const clicks = heard.filter(({ event }) => event.role === "click").map(({ at_s }) => at_s - begin);
  const steps = clicks.slice(1).map((at, place) => Math.round((at - clicks[place]) * 1000));
  assert.deepEqual(steps, [...Array(4).fill(1000), ...Array(11).fill(500)]);
});

test("after a stall the music goes on where it was, in time", () => {
  const { clock, heard, player, run } = stage({ bpm: 120, counted: 0, rounds: 1 });
  player.start();
  run(1);
  clock.now += 40;
  run(60);
  const clicks = heard.filter(({ event }) => event.role === "click");
  assert.equal(clicks.length, 16);
  for (const { at_s, handed_s } of clicks) assert.ok(at_s >= handed_s - 0.3);
  const late = clicks.slice(-8).map(({ at_s }) => at_s);
  late.slice(1).forEach((at, place) => assert.ok(Math.abs(at - late[place] - 0.5) < 1e-9));
});

test("the position follows the clock through count-in and rounds", () => {
  const { clock, player, run } = stage({ bpm: 60, rounds: 2 });
  player.start();
  const begin = player.rounds[0].anchors[0].time_s;
  run(10);
  const early = player.position(clock.now);
  assert.equal(early.round.round, 0);
  assert.ok(Math.abs(early.at - (clock.now - begin) * QUARTER) < 1);
  run(15);
  const late = player.position(clock.now);
  assert.equal(late.round.round, 1);
  assert.ok(Math.abs(late.at - ((clock.now - begin) * QUARTER - 20 * QUARTER)) < 1);
});

test("an hour of rounds leaves nothing behind", () => {
  const { player, run } = stage({ bpm: 120, rounds: Infinity });
  player.play = () => {};
  player.start();
  run(3600);
  assert.ok(player.isPlaying);
  assert.ok(player.rounds.length <= 3, `${player.rounds.length} rounds kept`);
});
