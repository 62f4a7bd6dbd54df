/**
 * The log: a line for each day, drill and key, with the minutes and a tempo: the best clean one, which makes
 * the line ready; else the fastest that was tried.
 *
 * As a file it is CSV (RFC 4180), `date,student,drill,key,texture,bpm,ready,minutes`: what the studio's own
 * progress file holds, and the minutes after it. Columns come in any order, and semicolons may stand for the
 * commas, as spreadsheets write them in many countries.
 * @import { Entry } from "./types.js"
 */

const COLUMNS = ["date", "student", "drill", "key", "texture", "bpm", "ready", "minutes"];
const YES = "yes";
const NO = "no";

/**
 * The log with what was just practiced added to its line.
 * @param {Entry[]} entries
 * @param {Entry} added
 * @returns {Entry[]}
 */
export function withEntry(entries, added) {
  return joined(entries, added, (old) => old.minutes + added.minutes);
}

/**
 * Two logs as one; what both have is not counted twice.
 * @param {Entry[]} entries
 * @param {Entry[]} others
 * @returns {Entry[]}
 */
export function merged(entries, others) {
  return others.reduce((log, entry) => joined(log, entry, (old) => Math.max(old.minutes, entry.minutes)), entries);
}

/**
 * @param {Entry[]} entries
 * @param {Entry} added
 * @param {(old: Entry) => number} minutes
 */
function joined(entries, added, minutes) {
  const place = entries.findIndex((entry) => nameOf(entry) === nameOf(added));
  if (place < 0) return [...entries, added].sort((one, other) => (nameOf(one) < nameOf(other) ? -1 : 1));
  const old = entries[place];
  const ready = old.ready || added.ready;
  const tempos = [old, added].filter((entry) => entry.ready === ready).map((entry) => entry.bpm);
  const entry = { ...old, bpm: Math.max(...tempos), ready, minutes: minutes(old) };
  return entries.map((other, at) => (at === place ? entry : other));
}

/** @param {Entry} entry */
function nameOf(entry) {
  return [entry.date, entry.student, entry.drill, entry.key, entry.texture].join("\u0000");
}

/**
 * @param {Entry[]} entries
 * @returns {string}
 */
export function toCsv(entries) {
  const rows = entries.map((entry) => [
    entry.date,
    entry.student,
    entry.drill,
    entry.key,
    entry.texture,
    String(entry.bpm),
    entry.ready ? YES : NO,
    String(Math.round(entry.minutes * 10) / 10),
  ]);
  return [COLUMNS, ...rows].map((row) => `${row.map(quoted).join(",")}\r\n`).join("");
}

/** @param {string} cell */
function quoted(cell) {
  return /[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
}

/**
 * Reads a log; throws an Error that names the line where it is none.
 * @param {string} text
 * @returns {Entry[]}
 */
export function fromCsv(text) {
  const plain = text.replace(/^\ufeff/, "");
  const [head, ...rows] = cells(plain, plain.split("\n", 1)[0].includes(";") ? ";" : ",");
  const places = COLUMNS.map((name) => (head ?? []).map((cell) => cell.trim().toLowerCase()).indexOf(name));
  if (places.slice(0, 7).some((place) => place < 0)) throw new Error("1");
  /** @type {Entry[]} */
  let entries = [];
  rows.forEach((row, number) => {
    if (row.every((cell) => !cell.trim())) return;
    const [date, student, drill, key, texture, bpm, ready, minutes] = places.map((place) => (row[place] ?? "").trim());
    const tempo = Number(bpm);
    const told = minutes === "" ? 0 : Number(minutes);
    const isGood = /^\d{4}-\d\d-\d\d$/.test(date) && drill && key && tempo > 0 && told >= 0;
    if (!isGood) throw new Error(String(number + 2));
    const isReady = ["yes", "true", "1"].includes(ready.toLowerCase());
    entries = merged(entries, [{ date, student, drill, key, texture, bpm: tempo, ready: isReady, minutes: told }]);
  });
  return entries;
}

/**
 * @param {string} text
 * @param {string} separator
 * @returns {string[][]}
 */
function cells(text, separator) {
  /** @type {string[][]} */
  const rows = [[]];
  let cell = "";
  let isQuoted = false;
  for (let place = 0; place < text.length; place++) {
    const sign = text[place];
    if (isQuoted) {
      if (sign === '"' && text[place + 1] === '"') cell += text[++place];
      else if (sign === '"') isQuoted = false;
      else cell += sign;
    } else if (sign === '"' && cell === "") isQuoted = true;
    else if (sign === separator || sign === "\n" || sign === "\r") {
      rows[rows.length - 1].push(cell);
      cell = "";
      if (sign === "\r" && text[place + 1] === "\n") place++;
      if (sign !== separator) rows.push([]);
    } else cell += sign;
  }
  rows[rows.length - 1].push(cell);
  return rows.filter((row) => row.length > 1 || row[0] !== "");
}

/**
 * The minutes of each of the last days, and the best clean tempo of one key on each.
 * @param {Entry[]} entries
 * @param {{ drill: string, key: string, texture: string }} about
 * @param {string} today
 * @param {number} days
 * @returns {{ date: string, minutes: number, bpm: number | null }[]}
 */
export function byDay(entries, about, today, days) {
  const end = new Date(`${today}T12:00:00Z`);
  return Array.from({ length: days }, (_, place) => {
    const day = new Date(end);
    day.setUTCDate(end.getUTCDate() - (days - 1 - place));
    const date = day.toISOString().slice(0, 10);
    const ofDay = entries.filter((entry) => entry.date === date);
    const ofKey = ofDay.filter(
      ({ drill, key, texture }) => drill === about.drill && key === about.key && texture === about.texture,
    );
    const tempos = ofKey.filter((entry) => entry.ready).map((entry) => entry.bpm);
    return {
      date,
      minutes: ofDay.reduce((sum, entry) => sum + entry.minutes, 0),
      bpm: tempos.length ? Math.max(...tempos) : null,
    };
  });
}

/**
 * The best clean tempo of each key of a drill.
 * @param {Entry[]} entries
 * @param {string} drill
 * @param {string} texture
 * @returns {Map<string, number>}
 */
export function bestByKey(entries, drill, texture) {
  /** @type {Map<string, number>} */
  const best = new Map();
  for (const entry of entries) {
    if (entry.drill !== drill || entry.texture !== texture || !entry.ready) continue;
    best.set(entry.key, Math.max(best.get(entry.key) ?? 0, entry.bpm));
  }
  return best;
}
