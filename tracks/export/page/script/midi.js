/**
 * A keyboard on the wire: notes down and up, with the browser's own time of each.
 * Source: MIDI 1.0, note on 9n and note off 8n; a note on of velocity 0 is a note off. Web MIDI API, W3C.
 */

/** Whether this browser lets a page ask for a keyboard at all. */
export function canHearKeyboards() {
  return typeof navigator.requestMIDIAccess === "function";
}

/**
 * Asks for the keyboards and listens to all of them, also to those plugged in later.
 * @param {(midi: number, isDown: boolean, timeStamp: number) => void} heard
 * @param {(names: string[]) => void} changed
 * @returns {Promise<void>}
 */
export async function listenToKeyboards(heard, changed) {
  const access = await navigator.requestMIDIAccess({ sysex: false });
  const listen = () => {
    const inputs = [...access.inputs.values()];
    for (const input of inputs) {
      input.onmidimessage = (message) => {
        const [status = 0, midi = 0, velocity = 0] = message.data ?? [];
        const kind = status & 0xf0;
        if (kind === 0x90 || kind === 0x80) heard(midi, kind === 0x90 && velocity > 0, message.timeStamp);
      };
    }
    changed(inputs.map((input) => input.name ?? "MIDI"));
  };
  access.onstatechange = listen;
  listen();
}
