"""How loud the players of a band are beside each other: `python -m tests.styles.balance [FONT [STYLE ...]]`.

Every level of every band style, eight bars, as an instrument plays the MIDI file: velocities and volumes
alone, without the leveling of our sound files (`tracks.export.audio.balance`), in which a bass always lies 6
LU under a hand and drums 4.

Conventions
- `lu` is loudness by ITU-R BS.1770-4, against the right hand's. `rms` is plain power over the whole piece,
  rests and all, in dB against the right hand's: it favors who never rests.
"""

import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

import numpy as np

from tracks.drill.drill import Drill, Mix
from tracks.export.audio.loudness import loudness
from tracks.export.audio.render import play, sounding
from tracks.export.audio.soundfont import SoundFont, soundfont
from tracks.export.audio.synth import Synth
from tracks.model import Role
from tracks.practice.plan import jobs
from tracks.practice.played import played_in_each_key
from tracks.style import Style
from tracks.style.registry import load, names
from tracks.theory.key import Key

BPM = 96
PLAYERS = (Role.LEFT, Role.BASS, Role.DRUMS)


def beside_the_right_hand(
    style: Style, level: int, font: SoundFont
) -> tuple[Mapping[Role, float], Mapping[Role, float]]:
    """Return how much louder each player is than the right hand: in LU, and in dB of plain power."""
    info = style.info
    drill = Drill(
        "balance", "I vi IV V7", (Key.parse("Eb"),), info.meters[0], (BPM,), info.name, level,
        info.textures[0], repeats=2, mixes=(Mix.HANDS_TOGETHER,), click=False, count_in=0,
    )  # fmt: skip
    (made,) = played_in_each_key(drill, style)
    piece = next(jobs(drill, made.key, made.arrangement)).piece
    heard, power = {}, {}
    synth = Synth(font)
    try:
        for part in sounding(piece):
            tape = play(synth, piece, part)
            sound = tape.read(0, tape.length) * np.float32((part.volume / 100) ** 2)
            heard[part.role] = loudness(sound)
            power[part.role] = 10 * float(np.log10(np.square(sound).sum()))
    finally:
        synth.close()
    return _against(heard), _against(power)


def _against(levels: Mapping[Role, float]) -> dict[Role, float]:
    return {role: levels[role] - levels[Role.RIGHT] for role in PLAYERS if role in levels}


def bands() -> Iterator[Style]:
    """Yield every style that has a bass."""
    for name in names():
        style = load(name)
        if Role.BASS in style.info.roles:
            yield style


def main(arguments: list[str]) -> None:
    """Measure and print."""
    font = soundfont(Path(arguments[0]) if arguments else None)
    print("| style and level | left | bass | drums | bass, rms |\n| --- | --- | --- | --- | --- |")
    for style in bands():
        if arguments[1:] and style.info.name not in arguments[1:]:
            continue
        for level in range(1, len(style.info.levels) + 1):
            lu, rms = beside_the_right_hand(style, level, font)
            row = " | ".join(f"{lu[role]:+.1f}" for role in PLAYERS)
            print(f"| {style.info.name} {level} | {row} | {rms[Role.BASS]:+.1f} |", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
