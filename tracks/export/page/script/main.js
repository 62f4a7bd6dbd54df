/**
 * The page: what is shown, what is pressed, and the practice behind it.
 * @import { Level, PageChord, PageData, Role } from "./types.js"
 */
import { chartOf } from "./chart.js";
import { CLICKS } from "./click.js";
import { html, part } from "./draw.js";
import { KeyboardView } from "./keyboard.js";
import { tapped, tempoOf } from "./ladder.js";
import { bestByKey, byDay, fromCsv, merged, toCsv, withEntry } from "./log.js";
import { canHearKeyboards, listenToKeyboards } from "./midi.js";
import { AHEAD_HIDDEN_S, AHEAD_S } from "./player.js";
import { Practice } from "./practice.js";
import { ScoreView } from "./score.js";
import { keepSettings, settingsFor } from "./settings.js";
import { Bank, Sound } from "./sound.js";
import { keep, kept } from "./store.js";
import { callName, fingerLine, fingerMoves, handLine, keyName, lateLine, notesLine, sayLine } from "./tell.js";
import { soundsOf, unpacked } from "./unpack.js";
import { LANGUAGES, wordOf } from "./words.js";

const TICK_MS = 25;
const SAVE_EVERY_S = 30;
const DAYS = 14;
const TEMPO_STEP = 2;
const PAPER = 680;
/** @type {Level[]} */
const LEVELS = ["heard", "soft", "silent"];
/** @type {Role[]} */
const ROLES = ["right hand", "left hand", "melody", "bass", "drums", "click"];

class Stand {
  /** @param {PageData} page */
  constructor(page) {
    this.page = page;
    this.settings = settingsFor(page, LANGUAGES);
    this.bank = new Bank();
    /** @type {AudioContext | null} */
    this.context = null;
    /** @type {Sound | null} */
    this.sound = null;
    this.practice = new Practice(page, this.settings, {
      now: () => this.context?.currentTime ?? 0,
      play: (event, at_s, length_s) => this.sound?.play(event, at_s, length_s),
      silence: () => this.sound?.stop(),
      changed: (what) => this.changed(what),
    });
    this.shown = 0;
    this.turn = "";
    this.count = 0;
    /** @type {number[]} */
    this.taps = [];
    this.sinceSaved_s = 0;
    this.log = kept("log", /** @type {import("./types.js").Entry[]} */ ([]));
    this.isKept = keep("log", this.log);
    this.isListening = false;
    this.midiWord = canHearKeyboards() ? "midi how" : "midi none";
    this.midiNames = "";
    this.score = new ScoreView(part("score"), (bar) => this.stepToBar(bar));
    this.keyboard = new KeyboardView(part("keyboard"));
    /** @type {Promise<void>} */
    this.ready = Promise.resolve();
  }

  /**
   * @param {string} name
   * @param {Record<string, string | number>} [filled]
   */
  word(name, filled) {
    return wordOf(this.settings.language, name, filled);
  }

  get language() {
    return this.settings.language;
  }

  get chords() {
    return this.practice.key.chords;
  }

  // Once.

  begin() {
    part("glyphs").innerHTML = `<defs>${this.page.glyphs}</defs>`;
    this.fillText();
    this.fillChoices();
    this.listen();
    this.showKey();
    this.showAll();
    setInterval(() => this.tick(), TICK_MS);
    const frame = () => {
      this.follow();
      requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
    this.ready = this.prepare();
    document.documentElement.dataset.ready = "yes";
  }

  /** Makes the sounds while nothing else is to do. */
  async prepare() {
    const sounds = soundsOf(part("sounds").textContent);
    if (Object.keys(sounds).length) await this.bank.record(sounds);
    const { keyPlace } = this.practice;
    await this.bank.prepare([this.practice.music], () => new Promise((resolve) => setTimeout(resolve)));
    if (keyPlace !== this.practice.keyPlace) await this.prepare();
  }

  /** Everything that is only words. */
  fillText() {
    const { language } = this;
    document.documentElement.lang = language;
    for (const element of document.querySelectorAll("[data-word]")) {
      if (element instanceof HTMLElement) element.textContent = this.word(element.dataset.word ?? "");
    }
    for (const element of document.querySelectorAll("[data-name]")) {
      if (element instanceof HTMLElement) element.setAttribute("aria-label", this.word(element.dataset.name ?? ""));
    }
    const { title, about, lesson, student, date, due, notes } = this.page;
    part("title").textContent = title;
    part("about").textContent = about;
    const told = [
      lesson,
      student && this.word("for student", { name: student }),
      date && this.word("of date", { date: this.day(date) }),
      due && this.word("due", { date: this.day(due) }),
    ].filter(Boolean);
    show("lesson", told.join(" · "));
    show("notes", notes);
  }

  /** @param {string} iso */
  day(iso) {
    const day = new Date(`${iso}T12:00:00Z`);
    return Number.isNaN(day.getTime()) ? iso : day.toLocaleDateString(this.language, { dateStyle: "long", timeZone: "UTC" });
  }

  /** The lists and groups that a choice is made from. */
  fillChoices() {
    const { practice, settings, page } = this;
    options("key", page.keys.map((key) => keyName(key, this.language)), practice.keyPlace);
    const bars = practice.key.bars.map(([number]) => String(number));
    options("first", bars, settings.first);
    options("last", bars, settings.last);
    named("click", CLICKS.map((click) => [click, this.word(`click ${click}`)]), settings.click);
    const counts = [0, 1, 2, 3, 4].map((count) => /** @type {[string, string]} */ ([String(count), this.barsName(count)]));
    named("count-in", counts, String(settings.countIn));
    named("turns", this.words("turns", ["none", "response", "echo"]), settings.turns);
    named("turn-bars", [["1", "1"], ["2", "2"], ["4", "4"]], String(settings.turnBars));
    named("mode", this.words("mode", ["along", "wait", "check"]), settings.mode);
    named("hands", this.words("hands", ["both", "right", "left"]), settings.hands);
    named("climb", [0, 1, 2, 3, 4, 5].map((count) => [String(count), this.climbName(count)]), String(settings.climb));
    named("language", LANGUAGES.map((language) => [language, wordOf(language, "language name")]), settings.language);
    part("student").value = settings.student;
    named("theme", this.words("theme", ["auto", "light", "dark"]), settings.theme);
    this.choices("see", this.words("see", ["all", "words", "numerals"]), settings.see, (value) => {
      settings.see = /** @type {typeof settings.see} */ (value);
      this.showAll();
    });
    this.fillParts();
    this.fillRungs();
    for (const [id, value] of /** @type {[string, boolean][]} */ ([
      ["repeat", settings.repeat],
      ["ahead", settings.ahead],
      ["left-handed", settings.leftHanded],
      ["shortcuts", settings.shortcuts],
    ])) part(id).checked = value;
  }

  /**
   * @param {string} group
   * @param {string[]} values
   * @returns {[string, string][]}
   */
  words(group, values) {
    return values.map((value) => [value, this.word(`${group} ${value}`)]);
  }

  /** @param {number} count */
  barsName(count) {
    return this.word(count ? (count === 1 ? "one bar" : "many bars") : "no count-in", { count });
  }

  /** @param {number} count */
  climbName(count) {
    return this.word(count ? (count === 1 ? "climb one" : "climb many") : "climb never", { count });
  }

  fillParts() {
    const there = new Set(this.practice.music.parts.filter((one) => one.notes.length || one.hits.length).map((one) => one.role));
    const rows = ROLES.filter((role) => there.has(role) || role === "click").map((role) => {
      const group = html("fieldset", { class: "part" }, html("legend", {}, this.word(role)));
      const choices = html("div", { class: "choices" });
      group.append(choices);
      const now = this.settings.levels[role] ?? "heard";
      radios(choices, `part ${role}`, LEVELS.map((level) => [level, this.word(level)]), now, (level) => {
        this.settings.levels[role] = /** @type {Level} */ (level);
        this.sound?.setLevel(role, /** @type {Level} */ (level));
      });
      return group;
    });
    part("parts").replaceChildren(...rows);
  }

  fillRungs() {
    const rungs = this.page.tempos.map((bpm) => /** @type {[string, string]} */ ([String(bpm), String(bpm)]));
    this.choices("rungs", rungs, String(this.practice.bpm), (value) => this.practice.setTempo(Number(value)));
  }

  /**
   * @param {string} id
   * @param {[string, string][]} values
   * @param {string} now
   * @param {(value: string) => void} chosen
   */
  choices(id, values, now, chosen) {
    radios(part(id), id, values, now, chosen);
  }

  // What is pressed.

  listen() {
    const { practice, settings } = this;
    const chosen = (/** @type {string} */ id, /** @type {(value: string) => void} */ obey) =>
      part(id).addEventListener("change", () => {
        obey(part(id).value);
        keepSettings(settings);
        this.showAll();
      });
    const pressed = (/** @type {string} */ id, /** @type {() => void} */ obey) => part(id).addEventListener("click", obey);
    const ticked = (/** @type {string} */ id, /** @type {(value: boolean) => void} */ obey) =>
      part(id).addEventListener("change", () => {
        obey(part(id).checked);
        keepSettings(settings);
        this.showAll();
      });
    chosen("key", (value) => practice.chooseKey(Number(value)));
    pressed("key-before", () => this.stepKey(-1));
    pressed("key-after", () => this.stepKey(1));
    pressed("chord-before", () => this.step(-1));
    pressed("chord-after", () => this.step(1));
    pressed("play", () => this.playOrStop());
    pressed("slower", () => practice.setTempo(practice.bpm - TEMPO_STEP));
    pressed("faster", () => practice.setTempo(practice.bpm + TEMPO_STEP));
    pressed("tap", () => this.tap());
    pressed("rung-up", () => practice.climb());
    pressed("clean", () => practice.saidClean());
    chosen("tempo", (value) => practice.setTempo(Number(value) || practice.bpm));
    pressed("open", () => this.setUp(part("setup").hidden));
    pressed("close", () => this.setUp(false));
    chosen("first", (value) => this.setBars(Number(value), Math.max(Number(value), settings.last)));
    chosen("last", (value) => this.setBars(Math.min(settings.first, Number(value)), Number(value)));
    pressed("all-bars", () => this.setBars(0, practice.music.bars.length - 1));
    ticked("repeat", (value) => (settings.repeat = value));
    ticked("ahead", (value) => (settings.ahead = value));
    ticked("left-handed", (value) => (settings.leftHanded = value));
    ticked("shortcuts", (value) => (settings.shortcuts = value));
    chosen("click", (value) => (settings.click = /** @type {typeof settings.click} */ (value)));
    chosen("count-in", (value) => (settings.countIn = Number(value)));
    chosen("turns", (value) => (settings.turns = /** @type {typeof settings.turns} */ (value)));
    chosen("turn-bars", (value) => (settings.turnBars = Number(value)));
    chosen("climb", (value) => (settings.climb = Number(value)));
    chosen("mode", (value) => this.setMode(/** @type {typeof settings.mode} */ (value)));
    chosen("hands", (value) => (settings.hands = /** @type {typeof settings.hands} */ (value)));
    chosen("language", (value) => {
      settings.language = value;
      this.fillText();
      this.fillChoices();
      this.showKey();
    });
    chosen("student", (value) => (settings.student = value.trim()));
    chosen("theme", (value) => (settings.theme = /** @type {typeof settings.theme} */ (value)));
    pressed("connect", () => this.connect());
    pressed("measure", () => this.sounding().then(() => practice.measureLatency()));
    pressed("rested", () => {
      practice.rested();
      part("rest").hidden = true;
    });
    pressed("print", () => print());
    pressed("export", () => this.exportLog());
    part("import").addEventListener("change", () => this.importLog());
    document.addEventListener("keydown", (event) => this.shortcut(event));
    document.addEventListener("visibilitychange", () => this.tick());
    addEventListener("pagehide", () => this.save());
    let wasOpen = false;
    addEventListener("beforeprint", () => {
      wasOpen = part("words").open;
      part("words").open = true;
      this.showScore(PAPER);
    });
    addEventListener("afterprint", () => {
      part("words").open = wasOpen;
      this.showScore();
    });
    let width = innerWidth;
    addEventListener("resize", () => {
      if (innerWidth !== width) this.showScore();
      width = innerWidth;
    });
  }

  /** @param {KeyboardEvent} event */
  shortcut(event) {
    if (event.key === "Escape" && !part("setup").hidden) {
      this.setUp(false);
      return;
    }
    const target = /** @type {HTMLElement} */ (event.target);
    const isTyping = /^(INPUT|SELECT|TEXTAREA)$/.test(target.tagName) || (event.key === " " && /^(BUTTON|SUMMARY|A)$/.test(target.tagName));
    if (!this.settings.shortcuts || isTyping || event.ctrlKey || event.metaKey || event.altKey) return;
    const { practice } = this;
    /** @type {Record<string, () => void>} */
    const keys = {
      " ": () => this.playOrStop(),
      "+": () => practice.setTempo(practice.bpm + TEMPO_STEP),
      "-": () => practice.setTempo(practice.bpm - TEMPO_STEP),
      t: () => this.tap(),
      n: () => practice.climb(),
      c: () => practice.saidClean(),
      ArrowLeft: () => this.step(-1),
      ArrowRight: () => this.step(1),
    };
    const obey = keys[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    if (!obey) return;
    event.preventDefault();
    obey();
  }

  async playOrStop() {
    const { practice } = this;
    if (practice.isOn) {
      practice.stop();
      return;
    }
    if (this.settings.mode !== "wait") await this.sounding();
    practice.start();
    for (const name of ["score", "now"]) part(name).scrollIntoView({ block: "nearest" });
  }

  /** Sound, which browsers allow only after a press. */
  async sounding() {
    if (!this.context) {
      this.context = new AudioContext({ latencyHint: "interactive" });
      this.sound = new Sound(this.context, this.bank);
      for (const role of ROLES) this.sound.setLevel(role, this.settings.levels[role] ?? "heard");
    }
    await this.context.resume();
    part("play").textContent = this.word("preparing");
    await this.ready;
  }

  tap() {
    this.taps = tapped(this.taps, performance.now() / 1000);
    const bpm = tempoOf(this.taps);
    if (bpm) this.practice.setTempo(bpm);
  }

  /** @param {number} by */
  stepKey(by) {
    const count = this.page.keys.length;
    this.practice.chooseKey((this.practice.keyPlace + by + count) % count);
  }

  /** @param {number} by */
  step(by) {
    if (this.practice.isOn) return;
    this.shown = Math.min(this.chords.length - 1, Math.max(0, this.shown + by));
    this.showChord();
    this.announce(`${this.chords[this.shown].symbol}: ${part("call").textContent}`);
  }

  /** @param {number} bar */
  stepToBar(bar) {
    if (this.practice.isOn) return;
    const [, start, length] = this.practice.key.bars[bar];
    const place = this.chords.findIndex((chord) => chord.start + chord.length > start && chord.start < start + length);
    this.shown = Math.max(0, place);
    this.showChord();
  }

  /**
   * @param {number} first
   * @param {number} last
   */
  setBars(first, last) {
    Object.assign(this.settings, { first, last });
    part("first").value = String(first);
    part("last").value = String(last);
    this.showAll();
  }

  /** @param {import("./settings.js").Settings["mode"]} mode */
  setMode(mode) {
    if (this.practice.isOn) this.practice.stop();
    this.settings.mode = mode;
    if (mode !== "along" && !this.isListening) this.connect();
  }

  /** @param {boolean} isOpen */
  setUp(isOpen) {
    part("setup").hidden = !isOpen;
    part("open").setAttribute("aria-expanded", String(isOpen));
    if (isOpen) {
      this.showLog();
      part("setup").focus();
    } else part("open").focus();
  }

  // The player's keyboard.

  async connect() {
    if (!canHearKeyboards()) {
      this.announce(this.word("midi none"));
      return;
    }
    try {
      await listenToKeyboards(
        (midi, isDown, timeStamp) => this.hear(midi, isDown, timeStamp),
        (names) => {
          this.midiWord = names.length ? "midi there" : "midi empty";
          this.midiNames = names.join(", ");
          this.showMidi();
        },
      );
      this.isListening = true;
    } catch {
      this.midiWord = "midi refused";
    }
    this.showMidi();
    this.announce(part("midi").textContent);
  }

  /**
   * @param {number} midi
   * @param {boolean} isDown
   * @param {number} timeStamp the browser's, in ms
   */
  hear(midi, isDown, timeStamp) {
    const { context } = this;
    const at_s = context ? context.currentTime - (performance.now() - timeStamp) / 1000 - this.outputLatency : 0;
    this.practice.hear(midi, isDown, at_s);
  }

  get outputLatency() {
    return this.context?.outputLatency || this.context?.baseLatency || 0;
  }

  // As time goes by.

  tick() {
    const { practice } = this;
    const before = practice.practiced_s;
    practice.tick(document.hidden ? AHEAD_HIDDEN_S : AHEAD_S);
    this.sinceSaved_s += Math.max(0, practice.practiced_s - before);
    if (this.sinceSaved_s >= SAVE_EVERY_S) this.save();
  }

  /** Lets the page follow what is heard. */
  follow() {
    const { practice } = this;
    if (!practice.isOn || practice.waiting) return;
    const place = practice.place((this.context?.currentTime ?? 0) - this.outputLatency);
    if (!place) return;
    if (place.turn !== this.turn || place.count !== this.count) this.showTurn(place.turn, place.count);
    const names = place.count ? [] : this.notesAt(place.tick);
    this.score.light(names, place.count ? -1 : place.chord, place.bar);
    if (place.chord >= 0 && place.chord !== this.shown) {
      this.shown = place.chord;
      this.showChord(false);
    }
  }

  /** @param {number} tick */
  notesAt(tick) {
    return this.practice.key.events.filter(([, start, length]) => tick >= start && tick < start + length).map(([name]) => name);
  }

  save() {
    this.sinceSaved_s = 0;
    const entry = this.practice.takeEntry(today());
    if (!entry) return;
    this.log = withEntry(this.log, entry);
    this.isKept = keep("log", this.log);
    this.showBest();
    if (!part("setup").hidden) this.showLog();
  }

  // What has changed.

  /** @param {string} what */
  changed(what) {
    const { practice } = this;
    /** @type {Record<string, () => void>} */
    const heard = {
      leaving: () => this.save(),
      key: () => {
        this.shown = 0;
        this.showKey();
        this.showAll();
        this.ready = this.prepare();
        this.announce(keyName(practice.key, this.language));
      },
      tempo: () => this.showTempo(),
      started: () => this.showAll(),
      stopped: () => {
        this.save();
        if (this.settings.mode === "wait") show("report", "");
        this.showAll();
      },
      climbed: () => {
        this.save();
        this.showTempo();
        this.tell(this.word("climbed", { bpm: practice.bpm }));
      },
      clean: () => {
        this.save();
        this.showTempo();
        this.announce(part("climbing").textContent);
      },
      "not clean": () => this.showTempo(),
      summary: () => this.tell(this.summaryLine()),
      verdict: () => this.showVerdict(),
      heard: () => this.showPlayed(),
      chord: () => this.showWaiting(),
      waiting: () => this.showWaiting(),
      released: () => this.showHeldDown(),
      "waited clean": () => this.tell(this.word("waited clean")),
      "waited with slips": () => this.tell(this.word("waited with slips", { slips: practice.slipsBefore })),
      measuring: () => this.showLatency("measuring"),
      measured: () => {
        keepSettings(this.settings);
        this.showLatency("measured");
        this.showAll();
      },
      unsteady: () => this.showLatency("unsteady"),
      "too few taps": () => this.showLatency("too few taps"),
      rest: () => {
        part("rest").hidden = false;
        this.announce(this.word("rest"));
      },
    };
    heard[what]?.();
  }

  /** @param {string} text */
  announce(text) {
    part("live").textContent = text;
  }

  /** @param {string} text */
  tell(text) {
    show("report", text);
    this.announce(text);
  }

  summaryLine() {
    const { summary } = this.practice;
    if (!summary) return "";
    const { right, strikes, wrong, missing, late_s, clean } = summary;
    const line = this.word("summary", { right, strikes, wrong, missing, late: lateLine(late_s, this.language) });
    return clean ? `${this.word("summary clean")} ${line}` : line;
  }

  // What is shown.

  showAll() {
    const { settings, practice } = this;
    document.documentElement.dataset.theme = settings.theme;
    document.body.classList.toggle("left-handed", settings.leftHanded);
    document.body.classList.toggle("see-words", settings.see === "words");
    document.body.classList.toggle("see-numerals", settings.see === "numerals");
    part("play").textContent = this.word(practice.isOn ? "stop" : "play");
    for (const id of ["chord-before", "chord-after"]) part(id).disabled = practice.isOn;
    if (!practice.isOn) {
      this.showTurn("", 0);
      this.score.light([], -1, -1);
    }
    this.score.dim(settings.first, settings.last);
    this.showTempo();
    this.showChord();
    this.showMidi();
    this.showBest();
    if (!practice.taps) this.showLatency(settings.isMeasured ? "measured" : "not measured");
    if (!part("setup").hidden) this.showLog();
  }

  showKey() {
    const { practice } = this;
    part("key").value = String(practice.keyPlace);
    part("key-on-paper").textContent = keyName(practice.key, this.language);
    this.keyboard.show(practice.key.chords);
    this.showScore();
    part("rows").replaceChildren(...practice.key.chords.map((chord) => this.rowOf(chord)));
  }

  /** @param {number} [width] pixels */
  showScore(width) {
    const { settings, practice } = this;
    this.score.show(practice.key, width ?? (part("score").clientWidth || innerWidth - 26));
    this.score.dim(settings.first, settings.last);
  }

  /** @param {PageChord} chord */
  rowOf(chord) {
    const said = sayLine(chord, this.language);
    const moves = this.language === "en" ? chord.moves : this.movesOf(chord).join("; ");
    return html("tr", {}, ...[chord.place, chord.symbol || "N.C.", chord.numeral, said, moves].map((cell) => html("td", {}, cell)));
  }

  /** The chord before one, past any silence. @param {PageChord} chord */
  before(chord) {
    const earlier = this.chords.slice(0, this.chords.indexOf(chord));
    return earlier.findLast((one) => one.right.midi.length || one.left.midi.length);
  }

  /** @param {PageChord} chord */
  movesOf(chord) {
    const before = this.before(chord);
    if (!before) return [];
    return [...fingerMoves(before.right, chord.right), ...fingerMoves(before.left, chord.left)].map((move) => fingerLine(move, this.language));
  }

  showChord(isLit = true) {
    const { settings, language, practice } = this;
    const chord = this.chords[this.shown];
    const next = this.chords[(this.shown + 1) % this.chords.length];
    part("symbol").textContent = chord.symbol || "N.C.";
    part("numeral").textContent = chord.numeral;
    part("call").textContent = chord.call ? callName(chord.call, language) : "\u00a0";
    part("said").textContent = sayLine(chord, language);
    const ahead = settings.ahead && next !== chord ? next : undefined;
    const call = ahead?.call ? `: ${callName(ahead.call, language)}` : "";
    show("next", ahead ? this.word("next", { chord: settings.see === "numerals" ? ahead.numeral : `${ahead.symbol || "N.C."}${call}` }) : "");
    this.keyboard.hold(chord, this.before(chord), ahead);
    part("held").textContent = this.word("keyboard now", { right: handLine(chord.right, language), left: handLine(chord.left, language) });
    this.showFingers(ahead ? chord : this.before(chord), ahead ?? chord);
    if (isLit && !practice.player.isPlaying) this.score.light(this.notesAt(chord.start), this.shown, this.barOf(chord));
  }

  /** @param {PageChord} chord */
  barOf(chord) {
    return this.practice.key.bars.findIndex(([, start, length]) => chord.start >= start && chord.start < start + length);
  }

  /**
   * @param {PageChord | undefined} before
   * @param {PageChord} chord
   */
  showFingers(before, chord) {
    for (const side of /** @type {const} */ (["right", "left"])) {
      const moves = before ? fingerMoves(before[side], chord[side]) : [];
      const lines = moves.map((move) => html("li", {}, fingerLine(move, this.language)));
      part(`fingers-${side}`).replaceChildren(...(lines.length ? [html("li", { class: "head" }, this.word(`${side} hand`)), ...lines] : []));
    }
  }

  /**
   * @param {string} turn
   * @param {number} count
   */
  showTurn(turn, count) {
    this.turn = turn;
    this.count = count;
    const said = count ? this.word("count", { beat: count }) : turn ? this.word(turn === "play" ? "your turn" : "listen") : "";
    show("turn", said);
    part("turn").classList.toggle("play", turn === "play" && !count);
    if (turn && !count) this.announce(said);
  }

  showTempo() {
    const { practice, settings } = this;
    part("tempo").value = String(practice.bpm);
    for (const input of document.querySelectorAll("#rungs input")) {
      if (input instanceof HTMLInputElement) input.checked = Number(input.value) === practice.bpm;
    }
    const isTop = practice.bpm >= practice.goal;
    part("rung-up").disabled = isTop;
    const so = settings.climb ? this.word("clean so far", { clean: practice.clean, needed: settings.climb }) : "";
    part("climbing").textContent = isTop ? [so, this.word("top")].filter(Boolean).join(" · ") : so;
  }

  showBest() {
    const best = bestByKey(this.log, this.page.name, this.page.texture).get(this.practice.key.name);
    part("best").textContent = best ? this.word("best", { bpm: best }) : this.word("not yet");
  }

  showMidi() {
    part("midi").textContent = this.word(this.midiWord, { names: this.midiNames });
    part("connect").hidden = !canHearKeyboards() || this.midiWord === "midi there";
    part("measure").hidden = this.midiWord !== "midi there";
  }

  /** @param {string} word */
  showLatency(word) {
    const isOf = this.isListening || this.settings.isMeasured;
    show("latency", isOf ? this.word(word, { late: lateLine(this.settings.latency_s, this.language) }) : "");
    if (isOf && word !== "not measured" && word !== "measured") this.announce(part("latency").textContent);
  }

  showVerdict() {
    const { practice, language } = this;
    const verdict = practice.verdicts[practice.verdicts.length - 1];
    const chord = this.chords[verdict.chord];
    const told = [
      `${chord?.symbol ?? ""}: ${this.word(`verdict ${verdict.word}`)}`,
      verdict.wrong.length && this.word("wrong notes", { notes: notesLine(verdict.wrong, chord, language) }),
      verdict.missing.length && this.word("missing notes", { notes: notesLine(verdict.missing, chord, language) }),
      verdict.late_s !== null && verdict.word !== "right" && lateLine(verdict.late_s, language),
    ].filter(Boolean);
    show("report", told.join(" · "));
    part("report").dataset.verdict = verdict.word;
    this.keyboard.played(verdict.right, verdict.wrong);
  }

  showPlayed() {
    const { checked } = this.practice;
    const judge = checked[checked.length - 1]?.judge;
    const place = judge?.nearest((this.context?.currentTime ?? 0) - this.outputLatency - judge.latency_s) ?? -1;
    if (!judge || place < 0) return;
    const { right, wrong } = judge.verdict(place);
    this.keyboard.played(right, wrong);
  }

  showWaiting() {
    const { practice, language } = this;
    const { waiting } = practice;
    if (!waiting) return;
    const there = practice.waitedFor[waiting.place];
    if (there && there.number !== this.shown) {
      this.shown = there.number;
      this.showChord();
    } else if (there) this.score.light(this.notesAt(there.chord.start), there.number, this.barOf(there.chord));
    this.showHeldDown();
    const told = [
      waiting.wrong.length && this.word("not asked", { notes: notesLine(waiting.wrong, there?.chord, language) }),
      waiting.missing.length && this.settings.see === "all" && this.word("waiting for", { notes: notesLine(waiting.missing, there?.chord, language) }),
    ].filter(Boolean);
    show("report", told.join(" · "));
    this.announce(told.join(". "));
  }

  showHeldDown() {
    const { waiting } = this.practice;
    if (!waiting) return;
    const { down, wrong } = waiting;
    this.keyboard.played([...down].filter((midi) => !wrong.includes(midi)), wrong);
  }

  showLog() {
    const days = byDay(this.log, { drill: this.page.name, key: this.practice.key.name, texture: this.page.texture }, today(), DAYS);
    part("chart").replaceChildren(chartOf(days));
    part("today").textContent = this.word("today", { minutes: Math.round(days[DAYS - 1].minutes) });
    const told = days.filter((day) => day.minutes || day.bpm);
    part("days").replaceChildren(
      ...told.map((day) => {
        const best = day.bpm ? this.word("best", { bpm: day.bpm }) : this.word("not yet");
        return html("li", {}, this.word("day", { date: this.day(day.date), minutes: Math.round(day.minutes), best }));
      }),
    );
    part("kept").hidden = this.isKept;
  }

  exportLog() {
    this.save();
    const { student } = this.settings;
    if (!student) {
      show("imported", this.word("name first"));
      part("student").focus();
      return;
    }
    const named = this.log.map((entry) => ({ ...entry, student: entry.student || student }));
    const file = URL.createObjectURL(new Blob([toCsv(named)], { type: "text/csv" }));
    const link = html("a", { href: file, download: "progress.csv" });
    link.click();
    setTimeout(() => URL.revokeObjectURL(file), 1000);
  }

  async importLog() {
    const [file] = part("import").files;
    if (!file) return;
    try {
      const entries = fromCsv(await file.text());
      this.log = merged(this.log, entries);
      this.isKept = keep("log", this.log);
      show("imported", this.word("imported", { count: entries.length }));
    } catch (fault) {
      show("imported", this.word("bad file", { line: fault instanceof Error ? fault.message : "1" }));
    }
    this.announce(part("imported").textContent);
    part("import").value = "";
    this.showBest();
    this.showLog();
  }
}

/** The day where the player is, as 2031-04-27. */
function today() {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((number) => String(number).padStart(2, "0")).join("-");
}

/**
 * Shows a text, or nothing where it is empty.
 * @param {string} id
 * @param {string} text
 */
function show(id, text) {
  part(id).textContent = text;
  part(id).hidden = !text;
}

/**
 * @param {string} id
 * @param {string[]} texts
 * @param {number} now
 */
function options(id, texts, now) {
  named(id, texts.map((text, place) => [String(place), text]), String(now));
}

/**
 * @param {string} id
 * @param {[string, string][]} values
 * @param {string} now
 */
function named(id, values, now) {
  part(id).replaceChildren(...values.map(([value, text]) => html("option", { value }, text)));
  part(id).value = now;
}

/**
 * @param {HTMLElement} home
 * @param {string} name
 * @param {[string, string][]} values
 * @param {string} now
 * @param {(value: string) => void} chosen
 */
function radios(home, name, values, now, chosen) {
  home.setAttribute("role", "radiogroup");
  home.replaceChildren(
    ...values.map(([value, text]) => {
      const input = /** @type {HTMLInputElement} */ (html("input", { type: "radio", name, value }));
      input.checked = value === now;
      input.addEventListener("change", () => chosen(value));
      return html("label", {}, input, html("span", {}, text));
    }),
  );
}

const page = await unpacked(part("data").textContent);
new Stand(page).begin();
