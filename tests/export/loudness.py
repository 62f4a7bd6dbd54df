"""How loud count-in, hands and band are, and how even a SoundFont's piano is: tables for docs/benchmarks.md.

`python -m tests.export.loudness` plays eight bars in ten styles, each with a count-in of clicks and with a
drum lead-in; `python -m tests.export.loudness FONT` plays every fourth key of a SoundFont's piano.

Conventions
- Loudness is in LUFS, ITU-R BS.1770-4. Hands and band are what they are in the mix of the file.
- A key's pitch is found between 0.3 and 1.3 s, as the strongest partial near its first or its second.
"""

import io
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import soundfile

from tracks.drill.drill import Drill, Mix
from tracks.export.audio import LEAD_S, RATE, Sound
from tracks.export.audio.balance import TARGET, factor, gains
from tracks.export.audio.loudness import loudness
from tracks.export.audio.render import Recording, Renderer, play, sounding
from tracks.export.audio.soundfont import SoundFont, soundfont
from tracks.export.audio.synth import Synth
from tracks.export.audio.tags import Tags
from tracks.export.audio.timing import seconds_at
from tracks.model import AudioFormat, KeyFrom, Note, Part, Piece, Role
from tracks.practice.plan import jobs
from tracks.practice.played import played_in_each_key
from tracks.style.registry import load
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.pitch import Pitch, Tone

STYLES = (
    "block",
    "ballad",
    "rock",
    "swing",
    "bossa-nova",
    "gospel",
    "shuffle",
    "pop-push",
    "habanera",
    "waltz",
)
HANDS = (Role.RIGHT, Role.LEFT, Role.MELODY)


def piece_of(style: str, lead_in: bool) -> Piece:
    """Return eight bars in a style, hands together, as they sound."""
    loaded = load(style)
    meter = {"waltz": Meter(3, 4), "gospel": Meter(12, 8), "habanera": Meter(2, 4)}.get(style, Meter(4, 4))
    drill = Drill(
        "lantern", "I vi IV V7", (Key.parse("Eb"),), meter, (96,), style, lead_in=lead_in, repeats=2
    )
    drill = replace(drill, mixes=(Mix.HANDS_TOGETHER,), texture=loaded.info.textures[0])
    (played,) = played_in_each_key(drill, loaded)
    return next(jobs(drill, played.key, played.arrangement)).piece


def recorded(piece: Piece, font: SoundFont) -> Sound:
    """Return what a file of the piece sounds like."""
    (content,) = Renderer(Synth(font), AudioFormat.WAV).record([Recording(piece, Tags("a", "a", 1))])
    sound: Sound = soundfile.read(io.BytesIO(content), dtype="float32", always_2d=True)[0]
    return sound


def row(style: str, font: SoundFont) -> tuple[float, ...]:
    """Return the loudness of count-in, led-in count-in, music, hands and band."""
    plain, led_in = piece_of(style, lead_in=False), piece_of(style, lead_in=True)
    start = round((LEAD_S + seconds_at(plain, plain.music_from)) * RATE)
    sound = recorded(plain, font)
    synth = Synth(font)
    parts = list(sounding(plain))
    tapes = [play(synth, plain, part) for part in parts]
    synth.close()
    stems = [tape.read(0, tape.length) for tape in tapes]
    sides = gains(parts, [loudness(stem) for stem in stems])
    levels = [(stem * side).astype(np.float32) for stem, side in zip(stems, sides, strict=True)]
    master = factor(TARGET - loudness(np.sum(levels, axis=0)))

    def together(roles: tuple[Role, ...]) -> float:
        heard = [level for part, level in zip(parts, levels, strict=True) if part.role in roles]
        return (
            loudness(np.sum(heard, axis=0).astype(np.float32) * np.float32(master))
            if heard
            else float("-inf")
        )

    return (
        loudness(sound[:start]), loudness(recorded(led_in, font)[:start]), loudness(sound[start:]),
        together(HANDS), together((Role.BASS, Role.DRUMS)),
    )  # fmt: skip


def key_row(midi: int, synth: Synth) -> tuple[float, float]:
    """Return how loud a key of the piano is, and how many cents it is sharp."""
    pitch = next(
        p for p in (Pitch.at_or_above(Tone(fifths), midi) for fifths in range(-5, 7)) if p.midi == midi
    )
    part = Part(Role.RIGHT, (Note(0, 2 * QUARTER, pitch),))
    piece = Piece("key", Meter(4, 4), (KeyFrom(0, Key.parse("C")),), 4 * QUARTER, 0, (part,), (), bpm=60)
    tape = synth.play(piece, part)
    sound = tape.read(0, tape.length)
    held = sound[round(0.3 * RATE) : round(1.3 * RATE)].sum(axis=1)
    spectrum = np.abs(np.fft.rfft(held * np.hanning(len(held)), 16 * RATE))
    best = (0.0, 0.0)
    for partial in (1, 2):
        expected = partial * 440 * 2 ** ((midi - 69) / 12)
        low, high = round(16 * expected * 2 ** (-0.5 / 12)), round(16 * expected * 2 ** (0.5 / 12))
        at = low + int(np.argmax(spectrum[low:high]))
        best = max(best, (float(spectrum[at]), 1200 * float(np.log2(at / 16 / expected))))
    return loudness(sound[: 2 * RATE]), best[1]


def main() -> None:
    """Measure and print."""
    if len(sys.argv) > 1:
        synth = Synth(soundfont(Path(sys.argv[1])))
        rows = {midi: key_row(midi, synth) for midi in range(28, 97, 4)}
        synth.close()
        for midi, (heard, cents) in rows.items():
            print(f"key {midi}: {heard:6.1f} LUFS, {cents:+5.1f} cents")
        levels = [heard for heard, _ in rows.values()]
        steps = np.abs(np.diff(levels)).max()
        print(f"between keys {max(levels) - min(levels):.1f} LU, steps to {steps:.1f} LU")
        return
    print(
        "| style | count-in | with a lead-in | music | hands | band |\n| --- | --- | --- | --- | --- | --- |"
    )
    for style in STYLES:
        print(f"| {style} | " + " | ".join(f"{heard:.1f}" for heard in row(style, soundfont())) + " |")


if __name__ == "__main__":
    main()
