"""Rhythm from cells: what a bar of a tune may do, and how much each level and each temper likes it.

Conventions
- A cell fills one or two felt beats. Its notes begin on twelfths of the beat: 6 is its half, 4 its third.
- A temper is what a whole tune is like, drawn once: level 6 has several, an easier level one.

Source: convention; how much each temper likes each cell, by ear and by the corpora of docs/improvising.md.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tracks.theory.meter import Meter, Time

if TYPE_CHECKING:
    from random import Random

PARTS = 12

# Cell -> the felt beats it fills, and the twelfths of a beat on which its notes begin.
_SIMPLE: dict[str, tuple[int, tuple[int, ...]]] = {
    "hold": (1, ()),
    "one": (1, (0,)),
    "pair": (1, (0, 6)),
    "long": (2, (0,)),
    "dotted": (2, (0, 18)),
    "syncopated": (2, (0, 6, 18)),
    "snap": (1, (0, 9)),
    "late": (1, (0, 6, 9)),
    "early": (1, (0, 3, 6)),
    "four": (1, (0, 3, 6, 9)),
}
_COMPOUND: dict[str, tuple[int, tuple[int, ...]]] = {
    "hold": (1, ()),
    "whole": (1, (0,)),
    "rock": (1, (0, 8)),
    "run": (1, (0, 4, 8)),
    "lilt": (1, (0, 6, 8)),
}

_FINE = {"late", "early", "four"}
_FINE_IN_LONG_BARS, _CLOSES_LATE = 0.15, 0.7


@dataclass(frozen=True, slots=True)
class Temper:
    """What a tune is like: how it likes its cells, and how often it does what it may.

    `repeats` multiplies the liking for a repeated note, `skips` that for thirds and fourths, `leaps` that for
    more, `chromatic` that for approach notes and enclosures. `pickups`, `early` and `riffs` are shares: of
    phrases that lead in before their bar, of bars whose first note anticipates them, of phrases whose first
    bar comes back in them, note by note.
    """

    cells: Mapping[str, float]
    repeats: float = 1.0
    skips: float = 1.0
    leaps: float = 1.0
    chromatic: float = 1.0
    pickups: float = 0.0
    early: float = 0.0
    riffs: float = 0.0


_LEVELS = (
    Temper({"hold": 2, "one": 5, "whole": 5}),
    Temper({"hold": 1, "one": 4, "pair": 4, "dotted": 1, "whole": 4, "rock": 4, "run": 1}, pickups=0.3),
    Temper({"hold": 2, "one": 4, "pair": 3, "dotted": 1, "whole": 4, "rock": 3, "run": 1}, pickups=0.3),
    Temper(
        {"hold": 1, "one": 2, "pair": 6, "syncopated": 0.5, "whole": 2, "rock": 6, "run": 3},
        pickups=0.5,
    ),
    Temper(
        {"hold": 1, "one": 2, "pair": 4, "syncopated": 3, "whole": 2, "rock": 4, "run": 2},
        repeats=2, pickups=0.5, early=0.1, riffs=0.6,
    ),
)  # fmt: skip
_SONG = Temper(
    {"hold": 0.4, "one": 7, "pair": 3.5, "long": 1, "dotted": 1.5, "snap": 0.5, "late": 0.5, "early": 0.3,
     "whole": 0.5, "rock": 4, "run": 4, "lilt": 0.8},
    repeats=4.8, skips=1.1, leaps=2.5, chromatic=0.1, pickups=0.95, early=0.01, riffs=0.45,
)  # fmt: skip
_DANCE = Temper(
    {"one": 1, "pair": 10, "four": 2.5, "late": 1, "early": 1, "snap": 0.3,
     "rock": 1.5, "run": 10, "lilt": 1},
    repeats=2.2, skips=1.4, leaps=2.5, chromatic=0.1, pickups=0.95, riffs=0.7,
)  # fmt: skip
_MARCH = Temper(
    {"one": 4, "pair": 3, "long": 0.5, "snap": 2, "late": 1, "early": 0.5, "four": 0.6, "dotted": 1,
     "rock": 3, "run": 3, "lilt": 2},
    repeats=3.6, skips=1.4, leaps=2.5, chromatic=0.2, pickups=0.95, riffs=0.5,
)  # fmt: skip
_SWAY = Temper(
    {"hold": 1, "one": 3, "pair": 4, "syncopated": 2, "dotted": 2, "whole": 1, "rock": 3, "run": 3},
    repeats=4, chromatic=0.6, pickups=0.85, early=0.1, riffs=0.5,
)  # fmt: skip
_TEMPERS = (_SONG, _DANCE, _MARCH, _SWAY)
_IN_TWO, _IN_MORE = (4, 7, 2, 1), (8, 3, 2, 1)
"""How much each temper is liked in bars of two felt beats, which dance, and in longer ones, which sing."""


def temper(level: int, meter: Meter, rng: "Random") -> Temper:
    """Return what a tune of a level, from 1, is like in a meter."""
    if level <= len(_LEVELS):
        return _LEVELS[level - 1]
    return rng.choices(_TEMPERS, _IN_TWO if meter.beats == 2 else _IN_MORE)[0]


def bar_rhythm(meter: Meter, likes: Temper, rng: "Random") -> tuple[Time, ...]:
    """Return where the notes of a bar begin, from its start."""
    return tuple(_onsets(meter, likes, rng, meter.beats))


def closing_rhythm(meter: Meter, likes: Temper, rng: "Random", room: Time) -> tuple[Time, ...]:
    """Return where the notes of a phrase's last bar begin: one or a few that lead to a longer one.

    `room` is how much of the bar the phrase has.
    """
    beat, division = meter.beat, meter.division
    lasts = [lead * beat for lead in range(min(3, meter.beats)) if lead * beat + division <= room]
    if meter.beats < 3:
        lasts += [last + division for last in lasts if last + 2 * division <= room and not meter.is_compound]
    last = lasts[-1] if meter.is_compound and rng.random() < _CLOSES_LATE else rng.choice(lasts)
    begun = _onsets(meter, likes, rng, last // beat)
    return (*begun, *((last - division,) if last % beat else ()), last)


def pickup_rhythm(meter: Meter, likes: Temper, rng: "Random") -> tuple[Time, ...]:
    """Return where the notes before a phrase's bar begin, from the bar: none, or one to three."""
    if rng.random() >= likes.pickups:
        return ()
    division, beat = meter.division, meter.beat
    leads: list[tuple[Time, ...]] = [(-division,), (-division,)]
    if meter.beats > 2:
        leads += [(-beat,), (-beat,), (-beat, -division)]
    elif not meter.is_compound:
        leads += [(-division, -division // 2)]
    return rng.choice(leads)


def _onsets(meter: Meter, likes: Temper, rng: "Random", beats: int) -> Iterator[Time]:
    cells = _COMPOUND if meter.is_compound else _SIMPLE
    weights = {
        cell: weight * (_FINE_IN_LONG_BARS if cell in _FINE and meter.beats > 2 else 1)
        for cell, weight in likes.cells.items()
        if cell in cells
    }
    beat = 0
    while beat < beats:
        fitting = [
            cell
            for cell in weights
            if beat + cells[cell][0] <= beats
            and not (cell == "hold" and beat == 0)
            and not (cells[cell][0] == 2 and beat % 2)
        ]
        filled, places = cells[rng.choices(fitting, [weights[cell] for cell in fitting])[0]]
        yield from (beat * meter.beat + place * meter.beat // PARTS for place in places)
        beat += filled
