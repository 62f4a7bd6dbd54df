import assert from "node:assert/strict";
import { test } from "node:test";
import { bestByKey, byDay, fromCsv, merged, toCsv, withEntry } from "../../../../tracks/export/page/script/log.js";
import { chance } from "./music.js";

const entry = (more = {}) => ({ date: "2031-04-27", student: "Wren", drill: "week-5", key: "Eb major", texture: "over-bass", bpm: 72, ready: false, minutes: 5, ...more });

test("a line stands for a day, a drill and a key: the best clean tempo, and all the minutes", () => {
  const log = [entry(), entry({ bpm: 60, ready: true, minutes: 3 }), entry({ bpm: 66, ready: true, minutes: 2 }), entry({ key: "F major" })].reduce(withEntry, []);
  assert.equal(log.length, 2);
  assert.deepEqual(log[0], entry({ bpm: 66, ready: true, minutes: 10 }));
});

test("what is saved and read again is the same, and reading it twice counts nothing twice", () => {
  const strange = ["plain", 'a "quoted" name', "comma, and\nline", " ü♭ ", "=1+1"];
  for (let seed = 1; seed <= 500; seed++) {
    const next = chance(seed);
    const log = Array.from({ length: 5 }, () =>
      entry({
        date: `2031-0${1 + Math.floor(next() * 9)}-1${Math.floor(next() * 9)}`,
        student: next.among(strange).trim(),
        drill: next.among(strange).trim(),
        bpm: next.among([60, 97, 132]),
        ready: next() < 0.5,
        minutes: Math.round(next() * 300) / 10,
      }),
    ).reduce(withEntry, []);
    const rounded = log.map((one) => ({ ...one, minutes: Math.round(one.minutes * 10) / 10 }));
    const read = fromCsv(toCsv(log));
    assert.deepEqual(read, rounded);
    assert.deepEqual(merged(read, read), read);
  }
});

test("the studio's own records are read, without minutes, with other line ends, order and separators", () => {
  const text = "\ufeffdate,student,drill,key,texture,bpm,ready\n2031-04-27,Wren,week-5,Eb major,over-bass,72,true\n\n";
  assert.deepEqual(fromCsv(text), [entry({ ready: true, minutes: 0 })]);
  const other = "Student;Date;Drill;Key;Texture;BPM;Ready\r\nWren;2031-04-27;week-5;Eb major;over-bass;72;yes\r\n";
  assert.deepEqual(fromCsv(other), fromCsv(text));
});

test("what is no log names its line", () => {
  const head = "date,student,drill,key,texture,bpm,ready,minutes\r\n";
  assert.throws(() => fromCsv("<html></html>"), /1/);
  assert.throws(() => fromCsv(`${head}yesterday,W,d,C major,x,60,yes,1\r\n`), /2/);
  assert.throws(() => fromCsv(`${head}2031-04-27,W,d,C major,x,60,yes,1\r\n2031-04-27,W,d,C major,x,fast,yes,1\r\n`), /3/);
});

test("the chart has every day, the minutes of all drills and the tempo of this key", () => {
  const log = [entry({ ready: true }), entry({ drill: "other", bpm: 120 }), entry({ date: "2031-04-25", bpm: 66, ready: true }), entry({ date: "2031-04-26", bpm: 99 })].reduce(withEntry, []);
  const days = byDay(log, { drill: "week-5", key: "Eb major", texture: "over-bass" }, "2031-04-27", 3);
  assert.deepEqual(days, [
    { date: "2031-04-25", minutes: 5, bpm: 66 },
    { date: "2031-04-26", minutes: 5, bpm: null },
    { date: "2031-04-27", minutes: 10, bpm: 72 },
  ]);
  assert.deepEqual([...bestByKey(log, "week-5", "over-bass")], [["Eb major", 72]]);
});
