"""A style as a table: what the hands and the band play at each level, and the parts made of it.

Conventions
- A table row is a figure (see `figures`) or a vocabulary of phrases (`phrases`); a `Level` is the rows of one
  grade, and what both hands play is told for each texture that it plays, the right hand's first. Rows that
  share a vocabulary say the same.
- A `Groove` is a bar or more of drums, a figure to a percussion key, with fills that take the last beats of
  every phrase of so many bars, counted from bar 1. Fills grow with the form: at every second phrase twice as
  long, with a crash after it; at every fourth the whole bar but its first beat.
- A bass player plays the chord's bass in its own register, doubling the left hand where that has the bass.
- Loudness: the hands lead, for they are what a student practices; the bass stays beside them and the drums
  under them (judgment, measured on one sound set).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tracks.model import Hit, Part, Role, Texture
from tracks.patterns.drum_kit import (
    CRASH_CYMBAL,
    HIGH_TOM,
    LOW_FLOOR_TOM,
    LOW_TOM,
    SIDE_STICK,
    SNARE,
    STANDARD_KIT,
)
from tracks.patterns.figures import Figure, figure
from tracks.patterns.laying import drum, lay
from tracks.patterns.phrases import Phrases, Plan, planned
from tracks.patterns.registers import with_low_bass
from tracks.style import Brief, Feel, Style, StyleInfo, Touch
from tracks.theory.meter import Meter, Time

if TYPE_CHECKING:
    from random import Random

ELECTRIC_BASS = 33
PLAYED = Feel()
"""The feel of a band that does not swing."""
SUSTAINED = Feel(touch=Touch.LEGATO, pedal=True, rolls=True)
"""The feel of what sings: legato, with the pedal."""
DETACHED = Feel(touch=Touch.STACCATO)
"""The feel of what dances: short chords."""

CHORDS, LEFT, BASS, DRUMS = 76, 76, 72, 70

Rows = Mapping[int, Figure]
"""A figure for each percussion key."""
Row = Figure | Phrases | tuple[Figure, ...]
"""What a hand or a bass plays: a figure, phrases, or several figures at once."""
Hands = tuple[Row, Row]
"""What the right hand and the left hand play."""

TRIPLET_FILLS: tuple[Rows, ...] = (
    {SNARE: figure("x x . . . .", 3), HIGH_TOM: figure(". . x x . .", 3), LOW_TOM: figure(". . . . x x", 3)},
    {SNARE: figure("x . x x . x", 3), LOW_FLOOR_TOM: figure(". . . . x .", 3)},
)
"""Fills of two felt beats, in thirds of a beat."""

STRAIGHT_FILLS: tuple[Rows, ...] = (
    {SNARE: figure("x x . .", 2), HIGH_TOM: figure(". . x .", 2), LOW_FLOOR_TOM: figure(". . . x", 2)},
    {
        SNARE: figure("x . x x . . . .", 4),
        HIGH_TOM: figure(". . . . x x . .", 4),
        LOW_TOM: figure(". . . . . . x x", 4),
    },
    {SNARE: figure("x . . x x . x x", 4)},
)
"""Fills of two felt beats, in halves and quarters of a beat."""

LIGHT_FILLS: tuple[Rows, ...] = (
    {SIDE_STICK: figure("x . x x", 2)},
    {SNARE: figure(". x x x", 2)},
)
"""Fills for a quiet band."""


@dataclass(frozen=True, slots=True)
class Groove:
    """Drums: the figure of each key, and the fills that take the last `fill_beats` of every `phrase` bars.

    `crash` is the key struck after the longer fills; None for a quiet band. `program` is the kit's (see
    `drum_kit`), `loudness` the velocity of a stroke without accent.
    """

    rows: Rows
    fills: tuple[Rows, ...] = ()
    fill_beats: int = 2
    phrase: int = 4
    crash: int | None = CRASH_CYMBAL
    program: int = STANDARD_KIT
    loudness: int = DRUMS


@dataclass(frozen=True, slots=True)
class Level:
    """What is played at one grade: its words, both hands in each texture (right, left), bass and drums.

    `early` is how many ticks the chords come early, where a style pushes them; a bass line does not.
    `bass_loudness` is the velocity of the bass player's strokes. A left hand's bass that is kept `low` takes
    the octave below where it would climb past G3.
    """

    words: str
    hands: Mapping[Texture, Hands]
    bass: Row | None = None
    drums: Groove | None = None
    early: Time = 0
    bass_loudness: int = BASS
    low: bool = False


Table = Callable[[Meter], tuple[Level, ...]]
"""The levels of a style in a meter; their words and roles must be alike in all its meters."""


def tabled(
    name: str,
    summary: str,
    meters: tuple[Meter, ...],
    table: Table,
    feel: Feel | None = None,
    bass_program: int = ELECTRIC_BASS,
) -> Style:
    """Return the style that a table is; with a feel it is a band's, without one a drill's."""
    levels = table(meters[0])
    roles = [Role.RIGHT, Role.LEFT]
    roles += [Role.BASS] if any(level.bass for level in levels) else []
    roles += [Role.DRUMS] if any(level.drums for level in levels) else []

    def play(brief: Brief, rng: "Random") -> tuple[Part, ...]:
        return played(table(brief.meter)[brief.level - 1], brief, rng, bass_program)

    info = StyleInfo(
        name=name,
        summary=summary,
        meters=meters,
        roles=tuple(roles),
        textures=tuple(levels[0].hands),
        levels=tuple(level.words for level in levels),
        feel=feel,
    )
    return Style(info, play)


def played(level: Level, brief: Brief, rng: "Random", bass_program: int = ELECTRIC_BASS) -> tuple[Part, ...]:
    """Return the parts of one level: both hands, and the bass and the drums that it has."""
    plans: dict[int, Plan] = {}

    def row(each: Row) -> tuple[Figure | Plan, ...]:
        if isinstance(each, Figure):
            return (each,)
        if isinstance(each, tuple):
            return each
        if id(each) not in plans:
            plans[id(each)] = planned(each, brief, rng)
        return (plans[id(each)],)

    right, left = level.hands[brief.texture]
    left_brief = with_low_bass(brief) if level.low and brief.texture is Texture.OVER_BASS else brief
    left_early = level.early if brief.texture is Texture.DOUBLED else 0
    parts = [
        lay(brief, Role.RIGHT, *row(right), loudness=CHORDS, early=level.early),
        lay(left_brief, Role.LEFT, *row(left), loudness=LEFT, early=left_early),
    ]
    if level.bass:
        low = lay(brief, Role.BASS, *row(level.bass), loudness=level.bass_loudness, program=bass_program)
        parts.append(low)
    if level.drums:
        parts.append(kit(brief, level.drums, rng))
    return tuple(parts)


def both(comp: Row, bass: Row) -> dict[Texture, Hands]:
    """Return hands that comp together, or in the right hand alone over the left hand's bass."""
    return {Texture.OVER_BASS: (comp, bass), Texture.DOUBLED: (comp, comp)}


def kit(brief: Brief, groove: Groove, rng: "Random") -> Part:
    """Return the drums of a groove, with a fill, chosen by chance, at the end of every phrase.

    A fill leaves the bar that it ends its first beat at least; a bar of one beat has none.
    """
    part = replace(drum(brief, groove.rows, groove.loudness), program=groove.program)
    meter = brief.meter
    longest = (meter.beats - 1) * meter.beat
    if not groove.fills or not longest:
        return part
    phrase = groove.phrase * meter.bar
    hits = list(part.hits)
    for number, end in enumerate(range(brief.pickup + phrase, brief.length + 1, phrase), start=1):
        grown = meter.beats if number % 4 == 0 else groove.fill_beats * (1 + (number % 2 == 0))
        start = end - min(grown * meter.beat, longest)
        hits = [hit for hit in hits if not start <= hit.start < end]
        hits += _fill(rng.choice(groove.fills), start, end, meter, groove.loudness)
        if number % 2 == 0 and end < brief.length and groove.crash:
            hits.append(Hit(end, groove.crash, groove.loudness))
    return replace(part, hits=tuple(sorted(hits, key=lambda hit: (hit.start, hit.key))))


def _fill(rows: Rows, start: Time, end: Time, meter: Meter, loudness: int) -> list[Hit]:
    """Return a fill, as often as it fits before its end, from a start on, growing louder towards the end."""
    hits = []
    for key, each in rows.items():
        cell, length = meter.beat // each.per_beat, each.length(meter)
        for turn in range(end - length, start - length, -length):
            for stroke in each.strokes:
                at = turn + cell * stroke.cell
                if at >= start:
                    hits.append(Hit(at, key, loudness + 4 + 16 * (at - start) // (end - start)))
    return hits
