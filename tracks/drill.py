"""Drill: what a teacher asks for, checked.

Conventions
- `tempos` are felt beats a minute, ascending, each once.
- `low` and `high` bound the right hand (inclusive).
- `progression` is the text as written; see `tracks.progression` for how it is read.
"""

import re
from dataclasses import dataclass
from enum import Enum

from tracks.model import Texture
from tracks.theory.fault import Fault
from tracks.theory.key import Key
from tracks.theory.meter import Meter
from tracks.theory.pitch import Pitch
from tracks.theory.tempo import check_bpm
from tracks.voicing import Sevenths as Sevenths
from tracks.voicing import Start as Start

MOST_COUNT_IN_BARS = 8
MOST_REPEATS = 64
_NAME = re.compile(r"[A-Za-z0-9_-]{1,80}")


class Mix(Enum):
    """Which parts sound."""

    HANDS_TOGETHER = "hands-together"
    RIGHT_ALONE = "right-alone"
    LEFT_ALONE = "left-alone"
    YOU_PLAY_RIGHT = "you-play-right"
    YOU_PLAY_LEFT = "you-play-left"
    SPLIT = "split"


LOWEST_RIGHT = Pitch.parse("F3")
HIGHEST_RIGHT = Pitch.parse("C6")


@dataclass(frozen=True, slots=True)
class Drill:
    """A progression, the keys to play it in, and how."""

    name: str
    progression: str
    keys: tuple[Key, ...]
    meter: Meter
    tempos: tuple[int, ...]
    style: str = "block"
    level: int = 1
    texture: Texture = Texture.HANDS_TOGETHER
    start: Start = Start.ROOT
    sevenths: Sevenths = Sevenths.SMOOTHEST
    low: Pitch = LOWEST_RIGHT
    high: Pitch = HIGHEST_RIGHT
    mixes: tuple[Mix, ...] = tuple(Mix)
    count_in: int = 1
    click: bool = True
    repeats: int = 1
    seed: int = 1
    midi_type: int = 1
    written_in: Key | None = None

    def __post_init__(self) -> None:
        if not _NAME.fullmatch(self.name):
            raise Fault(f"name {self.name!r}: use 1 to 80 letters, digits, - and _ only")
        if not self.keys or not self.tempos or not self.mixes:
            raise Fault(f"drill {self.name}: it needs a key, a tempo and a mix at least")
        for bpm in self.tempos:
            check_bpm(bpm)
        for label, value, lowest, highest in (
            ("count-in bars", self.count_in, 0, MOST_COUNT_IN_BARS),
            ("repeats", self.repeats, 1, MOST_REPEATS),
            ("MIDI type", self.midi_type, 0, 1),
            ("level", self.level, 1, 9),
        ):
            if not lowest <= value <= highest:
                raise Fault(f"{label} {value} is outside {lowest} to {highest}")
        if self.high.midi - self.low.midi < 12:
            raise Fault(
                f"range {self.low} to {self.high} is too small for a hand; give it an octave at least"
            )
