/**
 * What a player has chosen, and what of it the browser keeps.
 * @import { ClickPattern, Level, PageData, Turns } from "./types.js"
 */
import { keep, kept } from "./store.js";

/**
 * @typedef {object} Settings
 * @property {string} language
 * @property {string} student whose log it is
 * @property {"auto" | "light" | "dark"} theme
 * @property {boolean} leftHanded the controls' side
 * @property {boolean} shortcuts
 * @property {number} first
 * @property {number} last
 * @property {boolean} repeat
 * @property {ClickPattern} click
 * @property {number} countIn bars
 * @property {Record<string, Level>} levels by role
 * @property {"all" | "words" | "numerals"} see
 * @property {boolean} ahead
 * @property {Turns} turns
 * @property {number} turnBars
 * @property {number} climb clean rounds for a rung, 0 for never
 * @property {"along" | "wait" | "check"} mode
 * @property {"both" | "right" | "left"} hands
 * @property {number} latency_s
 * @property {boolean} isMeasured
 */

/** @type {(keyof Settings)[]} */
const KEPT = ["language", "student", "theme", "leftHanded", "shortcuts", "hands", "latency_s", "isMeasured", "climb"];

/**
 * What the drill asks for, and what was chosen before.
 * @param {PageData} page
 * @param {string[]} languages that the page speaks
 * @returns {Settings}
 */
export function settingsFor(page, languages) {
  const spoken = page.language || (navigator.language || "en").slice(0, 2);
  /** @type {Settings} */
  const settings = {
    language: languages.includes(spoken) ? spoken : "en",
    student: "",
    theme: "auto",
    leftHanded: false,
    shortcuts: true,
    first: 0,
    last: page.keys[0].bars.length - 1,
    repeat: true,
    click: page.click ? "on" : "off",
    countIn: page.count_in,
    levels: page.form === "melody-out" ? { melody: "silent" } : {},
    see: "all",
    ahead: false,
    turns: page.form === "echo" ? "echo" : page.turn ? "response" : "none",
    turnBars: page.turn ?? 2,
    climb: 3,
    mode: "along",
    hands: "both",
    latency_s: 0,
    isMeasured: false,
  };
  Object.assign(settings, kept("settings", {}));
  if (page.student) settings.student = page.student;
  return settings;
}

/** @param {Settings} settings */
export function keepSettings(settings) {
  keep("settings", Object.fromEntries(KEPT.map((name) => [name, settings[name]])));
}
