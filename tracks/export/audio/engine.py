"""The engine in a process of its own, which a broken SoundFont may take down with it.

Run as a script by `players`; it needs nothing of ours. It reads requests from its standard input and writes
a WAV for each to its standard output, until its input ends. A request is three numbers of four bytes, lowest
first, and two contents: a number for the SoundFont, how long its content is (0 where it was sent before under
that number), how long the MIDI file is. A WAV is preceded by its length, 0 where the engine refused.
"""

import signal
import sys
from struct import Struct

REQUEST, ANSWER = Struct("<III"), Struct("<I")


def main() -> None:
    """Serve until the input ends."""
    from midirenderer import render_wave_from

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who asked decides when to stop
    read, write = sys.stdin.buffer, sys.stdout.buffer
    fonts: dict[int, bytes] = {}
    while request := read.read(REQUEST.size):
        font, font_length, midi_length = REQUEST.unpack(request)
        if font_length:
            fonts[font] = read.read(font_length)
        midi = read.read(midi_length)
        try:
            wave = render_wave_from(fonts[font], midi)
        except RuntimeError:
            wave = b""
        write.write(ANSWER.pack(len(wave)))
        write.write(wave)
        write.flush()


if __name__ == "__main__":
    main()
