/**
 * A drawn keyboard: what both hands hold with finger numbers, and arrows for what moves.
 *
 * The right hand's fingers stand in circles, the left hand's in squares, so that color is not needed.
 * @import { PageChord, PageHand } from "./types.js"
 */
import { svg } from "./draw.js";
import { fingerMoves } from "./tell.js";

const WHITE = 24;
const TALL = 96;
const BLACK_TALL = 60;
const BLACK = 15;
const ARCS = 34;
const IS_BLACK = [false, true, false, true, false, false, true, false, true, false, true, false];
const WHITE_BELOW = [0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6];

/** @param {number} midi */
function isBlack(midi) {
  return IS_BLACK[midi % 12];
}

export class KeyboardView {
  /** @param {HTMLElement} home */
  constructor(home) {
    this.home = home;
    this.low = 48;
    this.high = 84;
    /** @type {Map<number, SVGElement>} */
    this.keys = new Map();
    this.marks = svg("g");
  }

  /**
   * Draws the keys that some chords need, and one to either side.
   * @param {PageChord[]} chords
   */
  show(chords) {
    const all = chords.flatMap((chord) => [...chord.right.midi, ...chord.left.midi]);
    this.low = whiteAtOrBelow(Math.min(...(all.length ? all : [60])) - 1);
    this.high = whiteAtOrAbove(Math.max(...(all.length ? all : [72])) + 1);
    const width = this.x(this.high) + WHITE;
    const drawing = svg("svg", { viewBox: `-1 ${-ARCS} ${width + 2} ${TALL + ARCS + 2}`, "aria-hidden": "true" });
    const marker = svg("marker", { id: "head", viewBox: "0 0 8 8", refX: 6, refY: 4, markerWidth: 6, markerHeight: 6, orient: "auto" });
    marker.append(svg("path", { d: "M0 0L8 4L0 8z", class: "head" }));
    drawing.append(svg("defs", {}, marker));
    this.keys.clear();
    const range = Array.from({ length: this.high - this.low + 1 }, (_, step) => this.low + step);
    for (const midi of [...range.filter((one) => !isBlack(one)), ...range.filter(isBlack)]) drawing.append(this.key(midi));
    this.marks = svg("g");
    drawing.append(this.marks);
    this.home.replaceChildren(drawing);
  }

  /** @param {number} midi */
  key(midi) {
    const [wide, tall] = isBlack(midi) ? [BLACK, BLACK_TALL] : [WHITE, TALL];
    const key = svg("rect", { x: this.x(midi), y: 0, width: wide, height: tall, rx: 2, "data-midi": midi, class: isBlack(midi) ? "black" : "white" });
    this.keys.set(midi, key);
    return key;
  }

  /** Where a key begins. @param {number} midi */
  x(midi) {
    /** @param {number} key */
    const whites = (key) => Math.floor(key / 12) * 7 + WHITE_BELOW[key % 12];
    const place = (whites(midi) - whites(this.low)) * WHITE;
    return isBlack(midi) ? place - BLACK / 2 : place;
  }

  /** The middle of a key. @param {number} midi */
  middle(midi) {
    return this.x(midi) + (isBlack(midi) ? BLACK : WHITE) / 2;
  }

  /**
   * Shows a chord, and what moved into it from another.
   * @param {PageChord | undefined} chord
   * @param {PageChord | undefined} before where arrows come from
   * @param {PageChord | undefined} ahead the one to show as next
   */
  hold(chord, before, ahead) {
    for (const key of this.keys.values()) key.classList.remove("right", "left", "ahead", "good", "bad");
    this.marks.replaceChildren();
    if (ahead) this.mark(ahead, "ahead");
    if (chord) {
      this.press(chord.right, "right");
      this.press(chord.left, "left");
    }
    const [from, to] = ahead ? [chord, ahead] : [before, chord];
    if (from && to) {
      this.arrows(from.right, to.right, "right");
      this.arrows(from.left, to.left, "left");
    }
  }

  /**
   * @param {PageChord} chord
   * @param {string} kind
   */
  mark(chord, kind) {
    for (const midi of [...chord.right.midi, ...chord.left.midi]) this.keys.get(midi)?.classList.add(kind);
  }

  /**
   * @param {PageHand} hand
   * @param {"right" | "left"} side
   */
  press(hand, side) {
    hand.midi.forEach((midi, place) => {
      this.keys.get(midi)?.classList.add(side);
      const [x, y] = [this.middle(midi), isBlack(midi) ? BLACK_TALL - 13 : TALL - 15];
      const shape =
        side === "right" ? svg("circle", { cx: x, cy: y, r: 9 }) : svg("rect", { x: x - 8.5, y: y - 8.5, width: 17, height: 17, rx: 2 });
      const finger = svg("text", { x, y: y + 4.6, "text-anchor": "middle" }, String(hand.fingers[place] ?? ""));
      this.marks.append(svg("g", { class: `finger ${side}` }, shape, finger));
    });
  }

  /**
   * @param {PageHand} before
   * @param {PageHand} hand
   * @param {"right" | "left"} side
   */
  arrows(before, hand, side) {
    for (const move of fingerMoves(before, hand)) {
      const [from, to] = [this.middle(move.from), this.middle(move.midi)];
      if (move.kind !== "goes") this.marks.append(svg("path", { d: `M${to - 6} -6H${to + 6}`, class: `stay ${side}` }));
      else {
        const up = Math.min(ARCS - 6, 9 + Math.abs(to - from) / 3);
        const d = `M${from} -3Q${(from + to) / 2} ${-2 * up} ${to} -4`;
        this.marks.append(svg("path", { d, class: `arc ${side}`, "marker-end": "url(#head)" }));
      }
    }
  }

  /**
   * What the player's own keyboard holds: right or wrong.
   * @param {Iterable<number>} good
   * @param {Iterable<number>} bad
   */
  played(good, bad) {
    for (const key of this.keys.values()) key.classList.remove("good", "bad");
    for (const midi of good) this.keys.get(midi)?.classList.add("good");
    for (const midi of bad) this.keys.get(midi)?.classList.add("bad");
  }
}

/** @param {number} midi */
function whiteAtOrBelow(midi) {
  return isBlack(midi) ? midi - 1 : midi;
}

/** @param {number} midi */
function whiteAtOrAbove(midi) {
  return isBlack(midi) ? midi + 1 : midi;
}
