/**
 * Wait for me: each chord waits until it is held.
 *
 * A chord is held when all its keys are down and no other; a key may stay down from the chord before, but one
 * at least is struck anew, so that the same chord twice is played twice.
 */
export class Waiting {
  /** @param {number[][]} chords the keys of each, those without any are passed over */
  constructor(chords) {
    this.chords = chords;
    this.place = this.after(-1);
    /** @type {Set<number>} */
    this.down = new Set();
    this.struck = false;
  }

  /** Whether every chord has been held. */
  get isOver() {
    return this.place >= this.chords.length;
  }

  /** The keys still to be put down. */
  get missing() {
    return (this.chords[this.place] ?? []).filter((midi) => !this.down.has(midi));
  }

  /** The keys that are down and do not belong. */
  get wrong() {
    const asked = this.chords[this.place] ?? [];
    return [...this.down].filter((midi) => !asked.includes(midi));
  }

  /**
   * A key goes down; says whether the chord is now held, and goes on to the next.
   * @param {number} midi
   */
  press(midi) {
    this.down.add(midi);
    if ((this.chords[this.place] ?? []).includes(midi)) this.struck = true;
    return this.goOn();
  }

  /**
   * A key comes up.
   * @param {number} midi
   */
  release(midi) {
    this.down.delete(midi);
    return this.goOn();
  }

  goOn() {
    if (this.isOver || !this.struck || this.missing.length || this.wrong.length) return false;
    this.place = this.after(this.place);
    this.struck = false;
    return true;
  }

  /** @param {number} place */
  after(place) {
    let next = place + 1;
    while (next < this.chords.length && this.chords[next].length === 0) next++;
    return next;
  }
}
