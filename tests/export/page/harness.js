/** Rounds of a drill rendered offline, for the tests to measure. */
import { musicOf, secondsPerTick } from "./music.js";
import { planOf } from "./plan.js";
import { Player } from "./player.js";
import { Bank, Sound } from "./sound.js";

const RATE = 48000;
const page = await (await fetch("/page.json")).json();
const bank = new Bank();
const choice = { first: 0, last: page.keys[0].bars.length - 1, click: "on", turns: "none", turnBars: 2 };

/** What a player hands on in some rounds, each event with its time. */
function handedOn(bpm, rounds, counted, chosen = {}) {
  const music = musicOf(page, page.keys[0], bpm);
  const tick_s = secondsPerTick(bpm, page.beat);
  const clock = { now: 0 };
  const events = [];
  const player = new Player({
    now: () => clock.now,
    play: (event, at_s, length_s) => events.push({ event, at_s, length_s }),
    roundOf: (round) => (round < rounds ? { plan: planOf(music, { ...choice, ...chosen }, round, round ? 0 : counted), tick_s } : null),
  });
  player.start();
  while (player.isPlaying) {
    clock.now += 0.025;
    player.tick(0.15);
  }
  return events;
}

async function render(events, seconds, levels = {}) {
  const context = new OfflineAudioContext(2, Math.ceil(seconds * RATE), RATE);
  const sound = new Sound(context, bank);
  for (const [role, level] of Object.entries(levels)) {
    sound.partGain(role, 64).gain.value = level === "silent" ? 0 : sound.partGain(role, 64).gain.value;
  }
  for (const { event, at_s, length_s } of events) sound.play(event, at_s, length_s);
  return (await context.startRendering()).getChannelData(0);
}

/** When a sound reaches a twentieth of its peak. */
function onset(wave) {
  const peak = wave.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
  return wave.findIndex((sample) => Math.abs(sample) >= 0.05 * peak) / RATE;
}

/** Where every stroke of a part sounds, each rendered by itself at its own time; `origin` is the first of all. */
window.onsets = async (bpm, role, counted) => {
  const events = handedOn(bpm, 1, counted);
  const origin = events[0].at_s;
  const strokes = Map.groupBy(events.filter(({ event }) => event.role === role), ({ at_s }) => at_s);
  const found = [];
  for (const [at_s, stroke] of strokes) {
    const shift = Math.floor(at_s - 0.05);
    const moved = stroke.map((one) => ({ ...one, at_s: one.at_s - shift }));
    const wave = await render(moved, at_s - shift + 1);
    found.push(onset(wave) + shift - origin);
  }
  return found;
};

window.muted = async (role) => {
  const events = handedOn(97, 1, 1);
  const without = events.filter(({ event }) => event.role !== role);
  const alone = events.filter(({ event }) => event.role === role);
  const all = await render(events, 20);
  const silent = await render(events, 20, { [role]: "silent" });
  const left = await render(without, 20);
  const trace = await render(alone, 20, { [role]: "silent" });
  const size = (wave) => wave.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
  const differs = (one, other) => one.reduce((most, sample, at) => Math.max(most, Math.abs(sample - other[at])), 0);
  return { all: size(all), muted: differs(silent, left), hand: differs(all, left), alone: size(trace) };
};

/** Three rounds of two bars in one: how alike the second and third sound, and how loud it is at its quietest. */
window.joined = async (bpm) => {
  const events = handedOn(bpm, 4, 0, { first: 1, last: 2 });
  const origin = events[0].at_s;
  const wave = await render(events, 40);
  const round = (2 * page.bar / page.beat) * (60 / bpm);
  const frame = (seconds) => Math.round((origin + seconds) * RATE);
  let [differs, quietest] = [0, Infinity];
  for (let at = 0; at < Math.floor(round * RATE) - 64; at++) {
    differs = Math.max(differs, Math.abs(wave[frame(round) + at] - wave[frame(2 * round) + at]));
  }
  for (let at = frame(round) - RATE / 4; at < frame(round) + RATE / 4; at += RATE / 40) {
    let peak = 0;
    for (let step = 0; step < RATE / 40; step++) peak = Math.max(peak, Math.abs(wave[at + step]));
    quietest = Math.min(quietest, peak);
  }
  const starts = events.filter(({ event }) => event.role === "left hand").map(({ at_s }) => at_s - origin);
  return { differs, quietest, starts, round };
};
window.isReady = true;
