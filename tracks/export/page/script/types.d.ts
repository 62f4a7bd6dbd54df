/** What the page's modules hand to each other. Times are ticks unless a name ends in _s (seconds). */

export type Level = "heard" | "soft" | "silent";
export type Role = "right hand" | "left hand" | "bass" | "drums" | "melody" | "click";
export type ClickPattern = "on" | "off" | "backbeats" | "second-bars" | "fading";
export type Turns = "none" | "response" | "echo";

export interface PageHand {
  midi: number[];
  fingers: number[];
  names: string[];
  moves: [number, number][];
}

export interface PageChord {
  start: number;
  length: number;
  place: string;
  symbol: string;
  numeral: string;
  say: string;
  call: string;
  moves: string;
  right: PageHand;
  left: PageHand;
}

export interface PagePart {
  role: Role;
  program: number;
  pan: number;
  volume: number;
  notes?: number[];
  hits?: number[];
}

export interface PageDrawing {
  top: number;
  height: number;
  lines: number[];
  head: string;
  head_width: number;
  signatures: Record<string, [string, number]>;
  bars: [start: number, end: number, head: number, markup: string, ties: string][];
}

export interface PageKey {
  name: string;
  sign: string;
  minor: boolean;
  chords: PageChord[];
  bars: [number: number, start: number, length: number][];
  events: [id: string, start: number, length: number][];
  drawing: PageDrawing;
  pieces: { bpm: number | null; parts: PagePart[] }[];
}

export interface PageData {
  name: string;
  title: string;
  about: string;
  texture: string;
  style: string;
  lesson: string;
  student: string;
  date: string;
  due: string;
  notes: string;
  meter: [number, number];
  beat: number;
  bar: number;
  pickup: number;
  length: number;
  tempos: number[];
  count_in: number;
  click: boolean;
  form: string;
  turn: number | null;
  language: string;
  keys: PageKey[];
  glyphs: string;
  columns: number[][];
}

export interface Note {
  start: number;
  length: number;
  midi: number;
  velocity: number;
}

export interface Hit {
  start: number;
  key: number;
  velocity: number;
}

export interface Part {
  role: Role;
  program: number;
  pan: number;
  volume: number;
  notes: Note[];
  hits: Hit[];
}

export interface Bar {
  number: number;
  start: number;
  length: number;
}

export interface Music {
  beat: number;
  bar: number;
  pickup: number;
  length: number;
  bars: Bar[];
  chords: PageChord[];
  parts: Part[];
}

export interface Choice {
  first: number;
  last: number;
  click: ClickPattern;
  turns: Turns;
  turnBars: number;
}

export interface Segment {
  at: number;
  from: number;
  to: number;
  turn: "" | "listen" | "play";
}

export interface Event {
  at: number;
  role: Role;
  length: number;
  midi: number;
  velocity: number;
  part: Part | null;
}

export interface Plan {
  length: number;
  counted: number;
  downbeat: number;
  bar: number;
  events: Event[];
  segments: Segment[];
}

export interface Strike {
  at_s: number;
  notes: number[];
  chord: number;
}

export interface Played {
  at_s: number;
  midi: number;
}

export interface Verdict {
  chord: number;
  right: number[];
  wrong: number[];
  missing: number[];
  late_s: number | null;
  spread_s: number;
  word: "right" | "early" | "late" | "apart" | "wrong" | "missing";
}

export interface Summary {
  strikes: number;
  right: number;
  wrong: number;
  missing: number;
  late_s: number | null;
  spread_s: number | null;
  clean: boolean;
}

export interface Entry {
  date: string;
  student: string;
  drill: string;
  key: string;
  texture: string;
  bpm: number;
  ready: boolean;
  minutes: number;
}
