/** Music of our own to plan and play: bars of chords with a bass, at any meter. */
const QUARTER = 10080;

/** A source of chance that gives the same for the same seed. */
export function chance(seed) {
  let state = seed >>> 0 || 1;
  const next = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
  next.among = (list) => list[Math.floor(next() * list.length)];
  next.between = (low, high) => low + next() * (high - low);
  return next;
}

/** A chord a bar, both hands, held; a melody of quarters; a drum on every beat. */
export function exampleMusic({ bars = 4, beats = 4, pickup = 0, lastIsShort = true } = {}) {
  const bar = beats * QUARTER;
  const short = pickup && lastIsShort ? pickup : 0;
  const length = pickup + bars * bar - short;
  const spans = [];
  if (pickup) spans.push({ number: 0, start: 0, length: pickup });
  for (let number = 1; number <= bars; number++) {
    const start = pickup + (number - 1) * bar;
    spans.push({ number, start, length: Math.min(bar, length - start) });
  }
  const chords = spans.map((span, place) => ({
    ...span,
    symbol: "E♭",
    right: hand([67 + place, 70 + place, 75 + place]),
    left: hand([55, 58, 63]),
  }));
  const held = (midi) => (chord) => ({ start: chord.start, length: chord.length, midi, velocity: 80 });
  const part = (role, notes, hits = []) => ({ role, program: 0, pan: 64, volume: 100, notes, hits });
  const quarters = Array.from({ length: Math.floor(length / QUARTER) }, (_, place) => place * QUARTER);
  return {
    beat: QUARTER,
    bar,
    pickup,
    length,
    bars: spans,
    chords,
    parts: [
      part("right hand", chords.flatMap((chord) => chord.right.midi.map((midi) => held(midi)(chord)))),
      part("left hand", chords.flatMap((chord) => chord.left.midi.map((midi) => held(midi)(chord)))),
      part("melody", quarters.map((start) => ({ start, length: QUARTER, midi: 84, velocity: 70 }))),
      part("drums", [], quarters.map((start) => ({ start, key: 51, velocity: 60 }))),
    ],
  };
}

function hand(midi) {
  return { midi, fingers: midi.map((_, place) => 1 + 2 * place), names: midi.map(String), moves: midi.map((_, place) => [place, place]) };
}

/** What is chosen where nothing is. */
export const WHOLE = { first: 0, last: 3, click: "on", turns: "none", turnBars: 2 };
export { QUARTER };
