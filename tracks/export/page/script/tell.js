/**
 * What is said of keys, chords and fingers, in the page's language.
 *
 * German names of notes and keys are the trade's: H for B, B for B flat, Es, As, Fis; c-Moll in small letters.
 * Chord symbols stay as they are printed.
 * @import { PageChord, PageHand, PageKey } from "./types.js"
 */
import { WORDS, wordOf } from "./words.js";

/** @typedef {{ finger: number, from: number, midi: number, kind: "stays" | "same key" | "goes", note: string, fromFinger: number }} FingerMove */

/**
 * @param {string} sign a note's name with signs, as in E♭
 * @param {string} language
 */
export function noteName(sign, language) {
  const match = /^([A-G])(♭*|♯*|×?)(-?\d*)$/.exec(sign);
  if (language !== "de" || !match) return sign;
  const [, letter, alter, octave] = match;
  if (alter === "♭" && letter === "B") return `B${octave}`;
  const base = letter === "B" ? "H" : letter;
  const flats = letter === "A" || letter === "E" ? `${letter}s` : `${base}es`;
  /** @type {Record<string, string>} */
  const names = { "": base, "♭": flats, "♭♭": `${flats}es`, "♯": `${base}is`, "♯♯": `${base}isis`, "×": `${base}isis` };
  return `${names[alter] ?? sign}${octave}`;
}

/**
 * @param {PageKey} key
 * @param {string} language
 */
export function keyName(key, language) {
  return triadName(key.sign.split(" ")[0], key.minor, language);
}

/**
 * @param {string} root
 * @param {boolean} isMinor
 * @param {string} language
 */
function triadName(root, isMinor, language) {
  const mode = wordOf(language, isMinor ? "minor" : "major");
  if (language !== "de") return `${root} ${mode}`;
  const name = noteName(root, language);
  return `${isMinor ? name.toLowerCase() : name}-${mode}`;
}

/**
 * A call such as `bottom up, top two down`, word by word.
 * @param {string} call
 * @param {string} language
 */
export function callName(call, language) {
  const told = call.split(", ").map((one) => {
    const [, voices = one, verb = ""] = /^(.*) (\S+)$/.exec(one) ?? [];
    const known = WORDS[`voice ${voices}`] && WORDS[`verb ${verb}`];
    return known ? `${wordOf(language, `voice ${voices}`)} ${wordOf(language, `verb ${verb}`)}` : one;
  });
  return told.join(", ");
}

/**
 * The line to say aloud, such as `C minor, first inversion`; a kind without a word is named by its symbol.
 * @param {PageChord} chord
 * @param {string} language
 */
export function sayLine(chord, language) {
  if (!chord.symbol) return wordOf(language, "silence");
  if (language === "en") return chord.say.replace("\n", "; ");
  const [head, ...shapes] = chord.say.split(/, |\n/);
  const [, root = "", kind = ""] = /^(\S+) (.*)$/.exec(head) ?? [];
  const isTriad = kind === "major" || kind === "minor";
  const known = WORDS[`kind ${kind}`] ? `${noteName(root, language)} ${wordOf(language, `kind ${kind}`)}` : chord.symbol;
  const name = isTriad ? triadName(root, kind === "minor", language) : known;
  const told = shapes.flatMap((shape) => (WORDS[`shape ${shape}`] ? wordOf(language, `shape ${shape}`) : []));
  return [name, ...told].join(", ");
}

/**
 * Which finger stays and which goes where, from the chord before.
 * @param {PageHand} before
 * @param {PageHand} hand
 * @returns {FingerMove[]}
 */
export function fingerMoves(before, hand) {
  return hand.moves.map(([old, now]) => {
    const [from, midi] = [before.midi[old], hand.midi[now]];
    const [fromFinger, finger] = [before.fingers[old], hand.fingers[now]];
    const kind = from !== midi ? "goes" : finger === fromFinger ? "stays" : "same key";
    return { finger, from, midi, kind, note: hand.names[now], fromFinger };
  });
}

/**
 * @param {FingerMove} move
 * @param {string} language
 */
export function fingerLine({ kind, finger, fromFinger, note }, language) {
  return wordOf(language, kind, { finger, from: fromFinger, note: noteName(note, language) });
}

/**
 * What a hand holds, as `1 on E♭4, 3 on G4`.
 * @param {PageHand} hand
 * @param {string} language
 */
export function handLine(hand, language) {
  if (!hand.midi.length) return wordOf(language, "nothing");
  return hand.names
    .map((name, place) => wordOf(language, "finger on", { finger: hand.fingers[place], note: noteName(name, language) }))
    .join(", ");
}

const NAMES = ["C", "C♯", "D", "E♭", "E", "F", "F♯", "G", "A♭", "A", "B♭", "B"];

/**
 * Notes by name: as a chord spells them, else as they are mostly written.
 * @param {number[]} midi
 * @param {PageChord | undefined} chord
 * @param {string} language
 */
export function notesLine(midi, chord, language) {
  const spelled = new Map(
    [chord?.right, chord?.left].flatMap((hand) => (hand ? hand.midi.map((one, place) => /** @type {const} */ ([one, hand.names[place]])) : [])),
  );
  return midi
    .map((one) => noteName(spelled.get(one) ?? `${NAMES[one % 12]}${Math.floor(one / 12) - 1}`, language))
    .join(" ");
}

/**
 * How late or early something was, in words.
 * @param {number | null} late_s
 * @param {string} language
 */
export function lateLine(late_s, language) {
  const ms = Math.round((late_s ?? 0) * 1000);
  if (late_s === null || ms === 0) return wordOf(language, "on time");
  return wordOf(language, ms > 0 ? "ms late" : "ms early", { ms: Math.abs(ms) });
}
