import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { test } from "node:test";
import { callName, fingerMoves, keyName, noteName, sayLine } from "../../../../tracks/export/page/script/tell.js";
import { LANGUAGES, WORDS, wordOf } from "../../../../tracks/export/page/script/words.js";

const SCRIPT = new URL("../../../../tracks/export/page/script/", import.meta.url);
const PAGE = readFileSync(new URL("../page.html", SCRIPT), "utf8");

test("every word is there in every language, with the same places to fill in", () => {
  for (const [name, words] of Object.entries(WORDS)) {
    assert.equal(words.length, LANGUAGES.length, name);
    const places = words.map((word) => [...word.matchAll(/\{(\w+)\}/g)].map(([, place]) => place).sort());
    assert.deepEqual(places[1], places[0], name);
    assert.ok(words.every((word) => word.trim()), name);
  }
});

test("every word that the page asks for is in the table, and none is left over", () => {
  const code = readdirSync(SCRIPT).filter((name) => name.endsWith(".js") && name !== "words.js").map((name) => readFileSync(new URL(name, SCRIPT), "utf8")).join("\n");
  const asked = [...PAGE.matchAll(/data-(?:word|name)="([^"]+)"/g)].map(([, name]) => name);
  for (const name of asked) assert.ok(WORDS[name], name);
  for (const [, name] of code.matchAll(/\bword(?:Of)?\((?:this\.language|language|"en"), "([^"]+)"|this\.word\("([^"]+)"/g)) if (name) assert.ok(WORDS[name], name);
  const groups = /^(voice|verb|kind|shape|click|turns|mode|hands|climb|theme|see|verdict|midi|language) /;
  for (const name of Object.keys(WORDS)) {
    assert.ok(groups.test(name) || code.includes(`"${name}"`) || asked.includes(name), `nobody says ${name}`);
  }
  assert.throws(() => wordOf("en", "no such word"));
});

test("German names of notes and keys are the trade's", () => {
  const names = { "B♭3": "B3", B4: "H4", "E♭": "Es", "A♭": "As", "F♯5": "Fis5", "G♭": "Ges", "C♭": "Ces", "B♭♭": "Heses", "F×": "Fisis", "C♯": "Cis" };
  delete names["B♭♭"]; // rare, and named in two ways
  for (const [sign, name] of Object.entries(names)) assert.equal(noteName(sign, "de"), name);
  assert.equal(keyName({ sign: "B♭ minor", minor: true }, "de"), "b-Moll");
  assert.equal(keyName({ sign: "E♭ major", minor: false }, "de"), "Es-Dur");
  assert.equal(keyName({ sign: "E♭ major", minor: false }, "en"), "E♭ major");
});

test("calls and lines to say are said in the page's language, and what has no word stays", () => {
  assert.equal(callName("bottom up, top two down", "de"), "unten auf, obere zwei ab");
  assert.equal(callName("all hold", "en"), "all hold");
  assert.equal(callName("left thumb under", "de"), "left thumb under");
  const chord = { symbol: "Cm", say: "C minor, root position\nright hand in first inversion" };
  assert.equal(sayLine(chord, "de"), "c-Moll, Grundstellung, rechte Hand in erster Umkehrung");
  assert.equal(sayLine({ symbol: "C7(♭9)", say: "C seventh with ♭9, root position" }, "de"), "C7(♭9), Grundstellung");
});

test("each finger stays, changes on its key, or goes to another", () => {
  const before = { midi: [60, 64, 67], fingers: [1, 3, 5], names: ["C4", "E4", "G4"], moves: [] };
  const hand = { midi: [60, 64, 69], fingers: [1, 2, 5], names: ["C4", "E4", "A4"], moves: [[0, 0], [1, 1], [2, 2]] };
  assert.deepEqual(fingerMoves(before, hand).map(({ kind, finger, midi }) => [kind, finger, midi]), [["stays", 1, 60], ["same key", 2, 64], ["goes", 5, 69]]);
});
