"""The style contract: how voiced chords become rhythm and notes.

A style is a value of `Style`, found through the entry-point group `rungwise.styles.v1`. It sees only this
module, `tracks.theory`, `tracks.model`, `tracks.patterns` and `tracks.melody`.
`tracks.style.testing.check_style` is this contract as checks.

What a style may rely on
- `brief.chords` cover `brief.length` without gaps, every time through included; silence has no hands.
- Time 0 is the start of the music, or of its pickup; bar 1 begins at `brief.pickup`.
- The source of chance is handed in, seeded: the same brief and seed must give the same parts. It is the
  same in every key, so that a style which chooses by place in the scale gives one tune in twelve keys.
- The ending is not its business: the arranger makes every pitched part strike the last chord once and
  hold it, whatever the style played there, and drums end on it with a cymbal.
- Nor is the feel: it writes even halves and even loudness, and says in `info.feel` how a band plays them.

What it promises
- It gives the roles it declares, each at most once; never the click, which belongs to practice.
- Every note lies in the piece and in its role's range; no part strikes a key that it still holds, and no
  hand one that the other holds.
- The hands and the bass keep silence where the chords do.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from tracks.model import Note, Part, Role, Texture, VoicedChord
from tracks.theory.errors import RequestError
from tracks.theory.meter import Meter, Time

if TYPE_CHECKING:
    from random import Random

# MIDI numbers, both ends included: a piano's keys, and a double bass from its low E to G3 (convention).
PIANO_RANGE = (21, 108)
BASS_RANGE = (28, 55)
RANGES: dict[Role, tuple[int, int]] = {
    Role.RIGHT: PIANO_RANGE,
    Role.LEFT: PIANO_RANGE,
    Role.MELODY: PIANO_RANGE,
    Role.BASS: BASS_RANGE,
}

_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


WIDEST_SWING = 3.5


class Touch(Enum):
    """How a hand holds its keys."""

    LEGATO = "legato"
    TENUTO = "tenuto"
    STACCATO = "staccato"


@dataclass(frozen=True, slots=True)
class Feel:
    """How a band plays what is written: its swing, the hands' touch and pedal, small seeded variation.

    `swing` is how much longer a felt beat's first half is than its second, 1 (even) to 3.5; None follows
    the tempo, in a style that follows it. `touch` is the hands', `bass_touch` the bass player's; `pedal`
    holds each chord, `rolls` rolls wide chords. A drill that is played with feel only where that is asked for
    is not `unasked`. See `tracks.patterns.feel` and `touch`. Raises RequestError for another ratio.
    """

    swing: float | None = 1.0
    touch: Touch = Touch.TENUTO
    bass_touch: Touch = Touch.LEGATO
    pedal: bool = False
    rolls: bool = False
    unasked: bool = True

    def __post_init__(self) -> None:
        if self.swing is not None and not 1 <= self.swing <= WIDEST_SWING:
            raise RequestError(f"swing {self.swing} is outside 1 (even) to {WIDEST_SWING}")


@dataclass(frozen=True, slots=True)
class StyleInfo:
    """What a style is, as listings tell it.

    `name` is small letters, digits and single hyphens; `summary` is one line. `textures` are those it
    plays, the default first. `levels` describe its grades from the easiest, level 1; a style without
    grades has one. `follows_tempo` asks for a fresh arrangement at every rung. `feel` is how it is played
    where the drill does not say: None, as written, is right for a drill, and so is one that is not
    `unasked`. Raises RequestError for an info that listings could not show.
    """

    name: str
    summary: str
    meters: tuple[Meter, ...]
    roles: tuple[Role, ...]
    textures: tuple[Texture, ...]
    levels: tuple[str, ...] = ("as it is",)
    follows_tempo: bool = False
    feel: Feel | None = None

    def __post_init__(self) -> None:
        if not isinstance(self.name, str) or not _NAME.fullmatch(self.name):
            raise RequestError(f"style name {self.name!r}: use small letters, digits and single hyphens")
        if not isinstance(self.summary, str) or not self.summary.strip() or not self.summary.isprintable():
            raise RequestError(f"style {self.name}: the summary must be one line of text")
        for field, kind in (("meters", Meter), ("roles", Role), ("textures", Texture), ("levels", str)):
            values = getattr(self, field)
            if not isinstance(values, tuple) or not values or not all(isinstance(v, kind) for v in values):
                raise RequestError(
                    f"style {self.name}: {field} must be a tuple of one {kind.__name__} or more"
                )
            if len(set(values)) < len(values):
                raise RequestError(f"style {self.name}: {field} names one of its values twice")
        if self.feel and self.feel.swing is None and not self.follows_tempo:
            raise RequestError(f"style {self.name}: a swing that follows the tempo needs follows_tempo=True")
        if Role.CLICK in self.roles:
            raise RequestError(
                f"style {self.name}: the click belongs to practice", "leave it out of the roles"
            )


@dataclass(frozen=True, slots=True)
class Brief:
    """All that a style is told: the voiced chords and how to play them.

    `level` counts from 1. `pickup` is the length of a short first bar. `bpm` is felt beats a minute for
    a style that follows the tempo, None for every other. `turn` is the bars that track and student take in
    turn, so that a tune may phrase with them; None where they do not. `melody` is the tune that a band plays
    under, in order of time; empty where there is none.
    """

    chords: tuple[VoicedChord, ...]
    meter: Meter
    length: Time
    texture: Texture
    level: int = 1
    pickup: Time = 0
    bpm: int | None = None
    turn: int | None = None
    melody: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class Style:
    """A style: what it is, and a pure function from a brief and a seeded source of chance to its parts."""

    info: StyleInfo
    play: Callable[[Brief, "Random"], tuple[Part, ...]]
