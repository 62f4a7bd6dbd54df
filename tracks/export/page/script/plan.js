/**
 * What sounds in one round: the bars chosen, whose turn it is, the click.
 *
 * A round is cut so that it joins the next: a note meant on the bar line after its end is left to the next
 * round, a note that sounds on into its start is struck there, nothing sounds past its end. A note that
 * begins less than an eighth of a beat before a bar line is meant on it; feel strays so far.
 * @import { Choice, Event, Music, Note, Part, Plan, Role, Segment } from "./types.js"
 */
import { ACCENT, BEAT, HIGH_BLOCK, LOW_BLOCK, clickVelocity } from "./click.js";

const EARLY = 8;

/** @typedef {{ at: number, from: number, to: number, strikes: boolean }} Run */

/**
 * The plan of a round; `counted` bars of clicks stand before it.
 * @param {Music} music
 * @param {Choice} choice
 * @param {number} round from 0
 * @param {number} counted
 * @returns {Plan}
 */
export function planOf(music, choice, round, counted = 0) {
  const segments = segmentsOf(music, choice, round);
  const end = segments[segments.length - 1];
  const downbeat = segments[0].from < music.pickup ? music.pickup - segments[0].from : 0;
  const played = end.at + end.to - end.from;
  const length = played + modulo(downbeat - played, music.bar) * (downbeat ? 0 : 1);
  const before = counted * music.bar - (counted ? downbeat : 0);
  /** @type {Event[]} */
  const events = [];
  for (const part of music.parts) {
    const runs = runsOf(segments, choice, (segment) => isSilent(music, choice, part.role, segment));
    for (const run of runs) events.push(...struck(music, part, run));
  }
  events.push(...clicks(music, choice, length, downbeat, round, counted));
  for (const event of events) event.at += before;
  events.push(...countIn(music, counted));
  events.sort((one, other) => one.at - other.at);
  return {
    length: length + before,
    counted: before,
    downbeat: before + downbeat,
    bar: music.bar,
    events,
    segments: segments.map((segment) => ({ ...segment, at: segment.at + before })),
  };
}

/**
 * Where a moment of a plan stands in the music; null while it counts in or rests at the end.
 * @param {Plan} plan
 * @param {number} at
 * @returns {{ tick: number, turn: Segment["turn"] } | null}
 */
export function placeIn(plan, at) {
  for (const segment of plan.segments) {
    const into = at - segment.at;
    if (into >= 0 && into < segment.to - segment.from) return { tick: segment.from + into, turn: segment.turn };
  }
  return null;
}

/**
 * The part that takes turns with the player: the melody, or the right hand where there is none.
 * @param {Music} music
 * @returns {Role}
 */
export function soloist(music) {
  return music.parts.some((part) => part.role === "melody" && part.notes.length) ? "melody" : "right hand";
}

/**
 * @param {Music} music
 * @param {Choice} choice
 * @param {number} round
 * @returns {Segment[]}
 */
function segmentsOf(music, choice, round) {
  const first = music.bars[choice.first];
  const last = music.bars[choice.last];
  const to = last.start + last.length;
  let from = first.start;
  if (first.number === 0 && round > 0 && modulo(music.length - music.pickup, music.bar) === 0) {
    // No room for the pickup: the music goes round from bar 1.
    from = choice.last > choice.first ? music.pickup : from;
  }
  if (choice.turns === "none") return [{ at: 0, from, to, turn: "" }];
  const lines = turnLines(music, choice, from, to);
  const isOdd = (lines.length - 1) % 2 === 1;
  /** @type {Segment[]} */
  const segments = [];
  let at = 0;
  for (let turn = 0; turn + 1 < lines.length; turn++) {
    const length = lines[turn + 1] - lines[turn];
    const span = { from: lines[turn], to: lines[turn + 1] };
    if (choice.turns === "echo") {
      segments.push({ at, ...span, turn: "listen" });
      at += length;
      // The wait begins at the bar line: a pickup leads in but once.
      const again = Math.max(span.from, turn === 0 && from < music.pickup ? music.pickup : span.from);
      segments.push({ at, from: again, to: span.to, turn: "play" });
      at += span.to - again;
    } else {
      const yours = (turn + (isOdd ? round : 0)) % 2 === 1;
      segments.push({ at, ...span, turn: yours ? "play" : "listen" });
      at += length;
    }
  }
  return segments;
}

/**
 * @param {Music} music
 * @param {Choice} choice
 * @param {number} from
 * @param {number} to
 */
function turnLines(music, choice, from, to) {
  const lines = [from];
  const start = Math.max(from, music.pickup);
  for (let line = start + choice.turnBars * music.bar; line < to; line += choice.turnBars * music.bar) lines.push(line);
  lines.push(to);
  return lines;
}

/**
 * @param {Music} music
 * @param {Choice} choice
 * @param {Role} role
 * @param {Segment} segment
 */
function isSilent(music, choice, role, segment) {
  if (segment.turn !== "play") return false;
  if (choice.turns === "response") return role === soloist(music);
  return role === "right hand" || role === "left hand" || role === "melody";
}

/**
 * The stretches through which a part sounds without a cut.
 * @param {Segment[]} segments
 * @param {Choice} choice
 * @param {(segment: Segment) => boolean} silent
 * @returns {Run[]}
 */
function runsOf(segments, choice, silent) {
  /** @type {Run[]} */
  const runs = [];
  let before = -1;
  for (const { at, from, to, turn } of segments) {
    if (silent({ at, from, to, turn })) continue;
    const run = runs[runs.length - 1];
    if (run && choice.turns !== "echo" && before === at) run.to = to;
    else runs.push({ at, from, to, strikes: at === 0 || choice.turns === "echo" });
    before = at + to - from;
  }
  return runs;
}

/**
 * @param {Music} music
 * @param {Part} part
 * @param {Run} run
 * @returns {Event[]}
 */
function struck(music, part, run) {
  const early = Math.floor(music.beat / EARLY);
  const until = run.to < music.length ? run.to - early : run.to;
  /** @type {Event[]} */
  const events = [];
  for (const note of part.notes) {
    const end = Math.min(note.start + note.length, run.to);
    const meant = note.start >= run.from - early && note.start < until;
    const rings = run.strikes && note.start < run.from && end - run.from >= early;
    if (!(meant || rings) || end <= run.from) continue;
    const start = run.strikes ? Math.max(note.start, run.from) : note.start;
    const at = Math.max(0, run.at + start - run.from);
    const length = run.at + end - run.from - at;
    events.push({ at, role: part.role, length, midi: note.midi, velocity: note.velocity, part });
  }
  for (const hit of part.hits) {
    if (hit.start < run.from - early || hit.start >= until) continue;
    const at = run.at + Math.max(0, hit.start - run.from);
    events.push({ at, role: part.role, length: 0, midi: hit.key, velocity: hit.velocity, part });
  }
  return events;
}

/**
 * @param {Music} music
 * @param {Choice} choice
 * @param {number} length
 * @param {number} downbeat
 * @param {number} round
 * @param {number} counted
 * @returns {Event[]}
 */
function clicks(music, choice, length, downbeat, round, counted) {
  const bars = Math.max(1, Math.ceil((length - downbeat) / music.bar));
  /** @type {Event[]} */
  const events = [];
  for (let at = downbeat % music.beat; at < length; at += music.beat) {
    if (counted && at < downbeat) continue; // the count-in goes on through the pickup
    const bar = Math.floor((at - downbeat) / music.bar);
    const beat = modulo(at - downbeat, music.bar) / music.beat;
    const velocity = clickVelocity(choice.click, beat, bar, bars, round);
    if (velocity) events.push(clickAt(at, beat === 0, velocity));
  }
  return events;
}

/**
 * @param {Music} music
 * @param {number} bars
 * @returns {Event[]}
 */
function countIn(music, bars) {
  const events = [];
  for (let at = 0; at < bars * music.bar; at += music.beat) {
    const accent = at % music.bar === 0;
    events.push(clickAt(at, accent, accent ? ACCENT : BEAT));
  }
  return events;
}

/**
 * @param {number} at
 * @param {boolean} high
 * @param {number} velocity
 * @returns {Event}
 */
function clickAt(at, high, velocity) {
  return { at, role: "click", length: 0, midi: high ? HIGH_BLOCK : LOW_BLOCK, velocity, part: null };
}

/**
 * @param {number} number
 * @param {number} by
 */
export function modulo(number, by) {
  return ((number % by) + by) % by;
}
