/**
 * Sound: a bank of notes and strokes, and the parts that play from it, each through a gain of its own.
 * @import { Event, Level, Music, Role } from "./types.js"
 */
import { BAND_RATE, bassNote, strokeOf } from "./band.js";
import { HIGH_BLOCK, LOW_BLOCK } from "./click.js";
import { RATE, pianoNote, touchOf } from "./piano.js";

const STEP = 3;
const RELEASE_S = 0.07;
const TAIL_S = 0.5;
const STOP_S = 0.02;
const EASE_S = 0.015;
const ACOUSTIC_BASS = 32;
const LAST_BASS = 39;
const ONSET_SHARE = 0.05;
const ONSET_BEFORE_S = 0.001;

/** @type {Record<Level, number>} */
const GAINS = { heard: 1, soft: 0.25, silent: 0 };

/** How loud a part is beside a hand: as the audio files have it, 6 dB and so on below. @type {Record<Role, number>} */
const LEVELS = { "right hand": 0.34, "left hand": 0.34, melody: 0.4, bass: 0.3, drums: 0.22, click: 0.3 };

/** @typedef {{ soft: AudioBuffer, bright: AudioBuffer | null, midi: number, from: number }} Recorded */

/** What can be played: piano notes a few keys apart, bass notes, strokes. */
export class Bank {
  constructor() {
    /** @type {Map<number, Recorded>} */
    this.piano = new Map();
    /** @type {Map<string, AudioBuffer>} */
    this.others = new Map();
  }

  /**
   * Makes what some music needs and is not there yet, a note at a time, so that the page stays at hand.
   * @param {Music[]} musics
   * @param {() => Promise<void>} pause
   */
  async prepare(musics, pause) {
    for (const key of [HIGH_BLOCK, LOW_BLOCK]) this.stroke(key);
    for (const part of musics.flatMap((music) => music.parts)) {
      for (const hit of part.hits) this.stroke(hit.key);
      for (const note of part.notes) {
        const before = this.piano.size + this.others.size;
        if (isBass(part.program)) this.bass(note.midi, part.program);
        else this.note(note.midi);
        if (this.piano.size + this.others.size > before) await pause();
      }
    }
  }

  /** @param {number} midi */
  note(midi) {
    if (this.isRecorded) return this.nearest(midi);
    const place = Math.round(midi / STEP) * STEP;
    const there = this.piano.get(place);
    if (there) return there;
    const { soft, bright } = pianoNote(place);
    const made = { soft: bufferOf(soft, RATE), bright: bufferOf(bright, RATE), midi: place, from: 0 };
    this.piano.set(place, made);
    return made;
  }

  /** Whether the notes were recorded from an instrument, and are all there. */
  get isRecorded() {
    return this.recorded === true;
  }

  /**
   * Takes recorded notes, each an MP3, and finds where they begin: a decoder puts silence before them.
   * @param {Record<string, ArrayBuffer>} sounds
   */
  async record(sounds) {
    const decoder = new OfflineAudioContext(1, 1, BAND_RATE);
    for (const [midi, content] of Object.entries(sounds)) {
      const soft = await decoder.decodeAudioData(content);
      this.piano.set(Number(midi), { soft, bright: null, midi: Number(midi), from: onsetOf(soft) });
    }
    this.recorded = this.piano.size > 0;
  }

  /** @param {number} midi @returns {Recorded} */
  nearest(midi) {
    return [...this.piano.values()].reduce((best, one) =>
      Math.abs(one.midi - midi) < Math.abs(best.midi - midi) ? one : best,
    );
  }

  /** @param {number} midi @param {number} program */
  bass(midi, program) {
    return this.other(`bass ${program} ${midi}`, () => bassNote(midi, program === ACOUSTIC_BASS));
  }

  /** @param {number} key */
  stroke(key) {
    return this.other(`stroke ${key}`, () => strokeOf(key));
  }

  /** @param {string} name @param {() => Float32Array<ArrayBuffer>} make */
  other(name, make) {
    const buffer = this.others.get(name) ?? bufferOf(make(), BAND_RATE);
    this.others.set(name, buffer);
    return buffer;
  }
}

/** Plays events on an audio context, exactly at their times. */
export class Sound {
  /**
   * @param {BaseAudioContext} context
   * @param {Bank} bank
   */
  constructor(context, bank) {
    this.context = context;
    this.bank = bank;
    /** @type {Map<Role, GainNode>} */
    this.parts = new Map();
    /** @type {Set<{ sources: AudioBufferSourceNode[], gain: GainNode }>} */
    this.live = new Set();
  }

  /**
   * @param {Role} role
   * @param {Level} level
   */
  setLevel(role, level) {
    const gain = this.partGain(role, 64).gain;
    const now = this.context.currentTime;
    gain.cancelScheduledValues(now);
    gain.setValueAtTime(gain.value, now);
    gain.linearRampToValueAtTime(GAINS[level] * LEVELS[role], now + EASE_S);
  }

  /**
   * @param {Event} event
   * @param {number} at_s
   * @param {number} length_s
   */
  play(event, at_s, length_s) {
    const { role, midi, velocity, part } = event;
    const volume = ((part?.volume ?? 100) / 100) ** 2;
    if (!part || part.hits.length) this.start(event, [[this.bank.stroke(midi), (velocity / 127) ** 2 * volume, 1, 0]], at_s, null);
    else if (isBass(part.program)) {
      this.start(event, [[this.bank.bass(midi, part.program), (velocity / 127) ** 1.6 * volume, 1, 0]], at_s, length_s);
    } else {
      const { soft, bright, midi: made, from } = this.bank.note(midi);
      const { loud, bright: share } = touchOf(velocity);
      const rate = 2 ** ((midi - made) / 12);
      /** @type {[AudioBuffer, number, number, number][]} */
      const layers = bright ? [[soft, loud * volume * (1 - share), rate, from], [bright, loud * volume * share, rate, from]] : [[soft, loud * volume, rate, from]];
      this.start(event, layers.filter(([, level]) => level > 0), at_s, length_s);
    }
    this.partGain(role, part?.pan ?? 64);
  }

  /** Ends all that sounds or is to sound. */
  stop() {
    const now = this.context.currentTime;
    for (const voice of this.live) {
      voice.gain.gain.cancelScheduledValues(now);
      voice.gain.gain.setTargetAtTime(0, now, STOP_S);
      for (const source of voice.sources) source.stop(now + STOP_S * 6);
    }
  }

  /**
   * @param {Event} event
   * @param {[buffer: AudioBuffer, level: number, rate: number, from: number][]} layers
   * @param {number} at_s
   * @param {number | null} length_s null lets it ring
   */
  start(event, layers, at_s, length_s) {
    const gain = this.context.createGain();
    gain.connect(this.partGain(event.role, event.part?.pan ?? 64));
    const sources = layers.map(([buffer, level, rate, from]) => {
      const source = this.context.createBufferSource();
      source.buffer = buffer;
      source.playbackRate.value = rate;
      const own = this.context.createGain();
      own.gain.value = level;
      source.connect(own).connect(gain);
      source.start(at_s, from);
      if (length_s !== null) source.stop(at_s + length_s + TAIL_S);
      return source;
    });
    if (length_s !== null) gain.gain.setTargetAtTime(0, at_s + length_s, RELEASE_S);
    const voice = { sources, gain };
    this.live.add(voice);
    const last = sources[sources.length - 1];
    if (last) {
      last.onended = () => {
        this.live.delete(voice);
        gain.disconnect();
      };
    }
  }

  /**
   * @param {Role} role
   * @param {number} pan General MIDI's, 0 to 127
   */
  partGain(role, pan) {
    const there = this.parts.get(role);
    if (there) return there;
    const gain = this.context.createGain();
    gain.gain.value = LEVELS[role];
    const panner = this.context.createStereoPanner();
    panner.pan.value = Math.max(-1, Math.min(1, (pan - 64) / 63));
    gain.connect(panner).connect(this.context.destination);
    this.parts.set(role, gain);
    return gain;
  }
}

/** @param {number} program */
function isBass(program) {
  return program >= ACOUSTIC_BASS && program <= LAST_BASS;
}

/**
 * @param {Float32Array<ArrayBuffer>} wave
 * @param {number} rate
 */
function bufferOf(wave, rate) {
  const buffer = new AudioBuffer({ length: wave.length, numberOfChannels: 1, sampleRate: rate });
  buffer.copyToChannel(wave, 0);
  return buffer;
}

/**
 * Where a recording begins to sound, in seconds.
 * @param {AudioBuffer} buffer
 */
function onsetOf(buffer) {
  const wave = buffer.getChannelData(0);
  const peak = wave.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
  const place = wave.findIndex((sample) => Math.abs(sample) >= ONSET_SHARE * peak);
  return Math.max(0, place / buffer.sampleRate - ONSET_BEFORE_S);
}
