"""The style contract: how voiced chords become rhythm and notes.

A style is a value of `Style`, found through the entry-point group `rungwise.styles.v1`. It sees only this
module, `tracks.theory`, `tracks.model` and `tracks.patterns`.

What a style may rely on
- `brief.chords` cover `brief.length` without gaps, every time through included; silence has no hands.
- The source of chance is handed in, seeded: the same brief and seed must give the same parts.
- The ending is not its business: the arranger makes every pitched part strike the last chord once and
  hold it, whatever the style played there.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tracks.model import Part, Role, Texture, VoicedChord
from tracks.theory.meter import Meter, Time

if TYPE_CHECKING:
    from random import Random


@dataclass(frozen=True, slots=True)
class StyleInfo:
    """What a style is, as listings tell it.

    `textures` are those it plays, the default first. `levels` describe its grades from the easiest,
    level 1; a style without grades has one. `keeps_third` is how it wants three-note sevenths voiced
    where the drill does not say. `follows_tempo` asks for a fresh arrangement at every rung.
    """

    name: str
    summary: str
    meters: tuple[Meter, ...]
    roles: tuple[Role, ...]
    textures: tuple[Texture, ...]
    levels: tuple[str, ...] = ("as it is",)
    keeps_third: bool = False
    follows_tempo: bool = False


@dataclass(frozen=True, slots=True)
class Brief:
    """All that a style is told: the voiced chords and how to play them.

    `level` counts from 1. `pickup` is the length of a short first bar. `bpm` is felt beats a minute for
    a style that follows the tempo, None for every other.
    """

    chords: tuple[VoicedChord, ...]
    meter: Meter
    length: Time
    texture: Texture
    level: int = 1
    pickup: Time = 0
    bpm: int | None = None


@dataclass(frozen=True, slots=True)
class Style:
    """A style: what it is, and a pure function from a brief and a seeded source of chance to its parts."""

    info: StyleInfo
    play: Callable[[Brief, "Random"], tuple[Part, ...]]
