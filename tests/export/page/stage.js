/**
 * A stage for the page: a sound card and a keyboard of our own, on the browser's clock, which the test moves.
 * Put into the page before anything of it runs.
 */
(() => {
  const struck = [];
  const begun = performance.now();
  class Param {
    value = 1;
    setValueAtTime() { return this; }
    linearRampToValueAtTime(value) { this.value = value; return this; }
    setTargetAtTime() { return this; }
    cancelScheduledValues() { return this; }
  }
  class Node {
    gain = new Param();
    pan = new Param();
    playbackRate = new Param();
    connect(other) { this.to = other; return other; }
    disconnect() { this.to = null; }
  }
  class Source extends Node {
    start(at) {
      this.at = at;
      let end = this;
      while (end.to?.to?.to) end = end.to;
      this.ends(at + this.buffer.duration / this.playbackRate.value);
      if (stage.isForgetful) return;
      struck.push({ at, seconds: this.buffer.duration, rate: this.playbackRate.value, part: end });
    }
    stop(at) {
      // A stop is final for what has not yet begun.
      if (at < this.at) this.at = Infinity;
      this.ends(at);
    }
    ends(at) {
      clearTimeout(this.timer);
      this.timer = setTimeout(() => this.onended?.(), Math.max(0, (at - stage.context.currentTime) * 1000));
    }
  }
  class Context {
    state = "running";
    sampleRate = 48000;
    outputLatency = 0;
    baseLatency = 0;
    destination = new Node();
    constructor() { stage.context = this; }
    get currentTime() { return (performance.now() - begun) / 1000; }
    resume() { return Promise.resolve(); }
    createGain() { return new Node(); }
    createStereoPanner() { return new Node(); }
    createBufferSource() { return new Source(); }
  }
  const input = { name: "Meadow P-25", onmidimessage: null };
  const access = { inputs: new Map([["1", input]]), onstatechange: null };
  const stage = (window.stage = {
    struck,
    context: null,
    access,
    input,
    /** Presses or lets go of keys, now. */
    keys(midi, isDown = true) {
      for (const one of midi) input.onmidimessage({ data: [isDown ? 0x90 : 0x80, one, isDown ? 80 : 0], timeStamp: performance.now() });
    },
  });
  window.AudioContext = Context;
  navigator.requestMIDIAccess = async () => access;
})();
