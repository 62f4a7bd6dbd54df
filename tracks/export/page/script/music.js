/**
 * The music of a key at a tempo, unfolded from the page's table of columns.
 * @import { Hit, Music, Note, PageData, PageKey, PagePart, Part } from "./types.js"
 */

/**
 * The music of a key; a style that follows the tempo is read from the nearest rung.
 * @param {PageData} page
 * @param {PageKey} key
 * @param {number} bpm
 * @returns {Music}
 */
export function musicOf(page, key, bpm) {
  const nearest = key.pieces.reduce((best, piece) =>
    Math.abs((piece.bpm ?? bpm) - bpm) < Math.abs((best.bpm ?? bpm) - bpm) ? piece : best,
  );
  return {
    beat: page.beat,
    bar: page.bar,
    pickup: page.pickup,
    length: page.length,
    bars: key.bars.map(([number, start, length]) => ({ number, start, length })),
    chords: key.chords,
    parts: nearest.parts.map((part) => partOf(part, page.columns)),
  };
}

/**
 * Seconds that a tick lasts at a tempo in felt beats a minute.
 * @param {number} bpm
 * @param {number} beat ticks in a felt beat
 * @returns {number}
 */
export function secondsPerTick(bpm, beat) {
  return 60 / bpm / beat;
}

/**
 * @param {PagePart} part
 * @param {number[][]} columns
 * @returns {Part}
 */
function partOf(part, columns) {
  const { role, program, pan, volume } = part;
  const [steps = [], ...others] = (part.notes ?? part.hits ?? []).map((place) => columns[place]);
  let now = 0;
  const starts = steps.map((step) => (now += step));
  /** @type {Note[]} */
  const notes = [];
  /** @type {Hit[]} */
  const hits = [];
  starts.forEach((start, place) => {
    if (part.notes) {
      const [length, midi, velocity] = others.map((column) => column[place]);
      notes.push({ start, length, midi, velocity });
    } else {
      const [key, velocity] = others.map((column) => column[place]);
      hits.push({ start, key, velocity });
    }
  });
  return { role, program, pan, volume, notes, hits };
}
