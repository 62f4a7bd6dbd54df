/**
 * The score on the page: bars set in rows as wide as the window, and what sounds lit in them.
 *
 * The drawing comes bar by bar from Python; it is the engraver's own, never a teacher's text.
 * @import { PageDrawing, PageKey } from "./types.js"
 */
import { SVG, html } from "./draw.js";

const PIXELS = 0.041;
const MOST_BARS = 4;
const MARGIN = 70;
const BRACE = 330;
const LARGEST = 1.5;

/** @typedef {{ first: number, last: number, head: string, shift: number, width: number }} Row */

export class ScoreView {
  /**
   * @param {HTMLElement} home
   * @param {(bar: number) => void} chosen
   */
  constructor(home, chosen) {
    this.home = home;
    this.chosen = chosen;
    /** @type {PageKey | null} */
    this.key = null;
    /** @type {Element[]} */
    this.lit = [];
    this.litNames = "";
    this.bar = -2;
    /** @type {Map<number, Element>} */
    this.washes = new Map();
  }

  /**
   * @param {PageKey} key
   * @param {number} width pixels
   */
  show(key, width) {
    this.key = key;
    this.lit = [];
    this.litNames = "";
    this.bar = -2;
    this.washes.clear();
    const rows = rowsOf(key.drawing, width / PIXELS);
    const widest = Math.max(...rows.map((row) => row.width + BRACE));
    const scale = PIXELS * Math.min(LARGEST, width / (widest * PIXELS));
    this.home.replaceChildren(...rows.map((row) => this.row(row, scale)));
  }

  /**
   * @param {Row} row
   * @param {number} scale pixels a unit
   */
  row(row, scale) {
    const { drawing, bars } = /** @type {PageKey} */ (this.key);
    const { top, height, lines } = drawing;
    const shown = drawing.bars.slice(row.first, row.last + 1);
    const staves = lines.map((y) => `<path d="M0 ${y}H${row.width - MARGIN}" stroke-width="13"/>`).join("");
    const ties = row.first ? drawing.bars[row.first - 1][4] : "";
    const washes = shown.map(([start, end, head], place) => {
      const from = row.first + place === 0 ? head : start;
      return `<rect class="wash" data-b="${row.first + place}" x="${from}" y="${top}" width="${end - from}" height="${height}"/>`;
    });
    const number = bars[row.first][0];
    const label = row.first ? `<text class="mNum" x="20" y="${lines[0] - 260}">${number}</text>` : "";
    const markup =
      `<svg xmlns="${SVG}" viewBox="${-BRACE} ${top} ${row.width + BRACE} ${height}" ` +
      `width="${Math.round((row.width + BRACE) * scale)}" height="${Math.round(height * scale)}" class="row" aria-hidden="true">` +
      `${row.head}${label}<g transform="translate(${-row.shift} 0)">${washes.join("")}${shown.map((bar) => bar[3]).join("")}${ties}</g>${staves}</svg>`;
    const drawn = new DOMParser().parseFromString(markup, "image/svg+xml").documentElement;
    const system = html("div", { class: "system" }, document.importNode(drawn, true));
    for (const wash of system.querySelectorAll(".wash")) {
      const bar = Number(wash.getAttribute("data-b"));
      this.washes.set(bar, wash);
      wash.addEventListener("click", () => this.chosen(bar));
    }
    return system;
  }

  /**
   * Lights what sounds: notes by name, a chord's words, its bar.
   * @param {string[]} names
   * @param {number} chord
   * @param {number} bar
   */
  light(names, chord, bar) {
    const all = `${names.join(" ")} ${chord}`;
    if (all !== this.litNames) {
      for (const element of this.lit) element.classList.remove("lit");
      this.lit = [
        ...names.flatMap((name) => this.home.querySelector(`#${name}`) ?? []),
        ...this.home.querySelectorAll(`[data-c="${chord}"]`),
      ];
      for (const element of this.lit) element.classList.add("lit");
      this.litNames = all;
    }
    if (bar === this.bar) return;
    this.washes.get(this.bar)?.classList.remove("now");
    const wash = this.washes.get(bar);
    wash?.classList.add("now");
    if (wash) this.keepInSight(wash);
    this.bar = bar;
  }

  /**
   * Bars outside a loop step back.
   * @param {number} first
   * @param {number} last
   */
  dim(first, last) {
    for (const [bar, wash] of this.washes) wash.classList.toggle("out", bar < first || bar > last);
  }

  /**
   * Brings a bar's row to the top of the score, which scrolls by itself: the chord's name stays where it is.
   * @param {Element} wash
   */
  keepInSight(wash) {
    const row = wash.closest(".system");
    if (!row || !this.home.classList.contains("follows")) return;
    const isCalm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    const [there, seen] = [row.getBoundingClientRect(), this.home.getBoundingClientRect()];
    if (there.top >= seen.top && there.bottom <= seen.bottom) return;
    this.home.scrollBy({ top: there.top - seen.top, behavior: isCalm ? "auto" : "smooth" });
  }
}

/**
 * Which bars stand in a row: as many as fit, up to four, evened out.
 * @param {PageDrawing} drawing
 * @param {number} room units
 * @returns {Row[]}
 */
export function rowsOf(drawing, room) {
  const count = drawing.bars.length;
  let most = Math.min(MOST_BARS, count);
  while (most > 1 && !fits(drawing, most, room)) most--;
  const rows = Math.ceil(count / most);
  /** @type {Row[]} */
  const made = [];
  for (let row = 0, first = 0; row < rows; row++) {
    const size = count % most && count % most <= most / 2 ? Math.floor(count / rows) + (row < count % rows ? 1 : 0) : most;
    const last = Math.min(count, first + size) - 1;
    made.push(rowOf(drawing, first, last));
    first = last + 1;
  }
  return made;
}

/**
 * @param {PageDrawing} drawing
 * @param {number} most
 * @param {number} room
 */
function fits(drawing, most, room) {
  for (let first = 0; first < drawing.bars.length; first += most) {
    const last = Math.min(drawing.bars.length, first + most) - 1;
    if (rowOf(drawing, first, last).width + BRACE > room) return false;
  }
  return true;
}

/**
 * @param {PageDrawing} drawing
 * @param {number} first
 * @param {number} last
 * @returns {Row}
 */
function rowOf(drawing, first, last) {
  const [start] = drawing.bars[first];
  const [, end] = drawing.bars[last];
  if (first === 0) return { first, last, head: drawing.head, shift: 0, width: end + MARGIN };
  const held = Object.keys(drawing.signatures).map(Number).filter((bar) => bar <= first);
  const place = Math.max(...held, 0);
  const [sign, wide] = place === first ? ["", 0] : (drawing.signatures[place] ?? ["", 0]);
  const head = drawing.head + (sign ? `<g transform="translate(${drawing.head_width} 0)">${sign}</g>` : "");
  const begins = drawing.head_width + wide + (sign ? 120 : 0);
  return { first, last, head, shift: start - begins, width: end - start + begins + MARGIN };
}
