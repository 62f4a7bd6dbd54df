"""Ladders of tempos: the rungs a student climbs, slow to fast.

Conventions
- A rung is whole felt beats a minute, 20 to 300; a ladder ascends and holds each rung once.
- The slowest and the fastest tempo asked for are always rungs.
"""

from collections.abc import Iterable

from tracks.theory.errors import RequestError
from tracks.theory.tempo import FASTEST, MARKS, SLOWEST, check_bpm

_MOST_RUNGS = FASTEST - SLOWEST + 1


def by_step(slowest: int, fastest: int, step: int) -> tuple[int, ...]:
    """Return the tempos from `slowest` up by `step`, and `fastest` itself.

    Raises RequestError where a tempo lies outside 20 to 300, the ladder runs down or the step is under 1.
    """
    _check_ends(slowest, fastest)
    if step < 1:
        raise RequestError(f"{step} climbs nowhere", "give 1 or more beats a minute", "step")
    return (*range(slowest, fastest, step), fastest)


def by_rungs(slowest: int, fastest: int, rungs: int) -> tuple[int, ...]:
    """Return so many tempos, each the same ratio faster than the one before, rounded to whole beats.

    Every climb then feels alike. Rungs that round to the same tempo are one rung, so a short ladder may
    have fewer than asked for. Raises RequestError as `by_step` does, and for fewer than two rungs between two
    different tempos.
    """
    _check_ends(slowest, fastest)
    fewest = 1 if slowest == fastest else 2
    if not fewest <= rungs <= _MOST_RUNGS:
        raise RequestError(
            f"{rungs} is outside {fewest} to {_MOST_RUNGS} for {slowest} to {fastest} beats a minute",
            place="rungs",
        )
    ratio, climbs = fastest / slowest, max(rungs - 1, 1)
    return chosen(round(slowest * ratio ** (rung / climbs)) for rung in range(rungs))


def by_marks(slowest: int, fastest: int) -> tuple[int, ...]:
    """Return the metronome's traditional marks between two tempos, and the two themselves.

    Raises RequestError where a tempo lies outside 20 to 300 or the ladder runs down.
    """
    _check_ends(slowest, fastest)
    return chosen((slowest, *(mark for mark in MARKS if slowest < mark < fastest), fastest))


def chosen(tempos: Iterable[int]) -> tuple[int, ...]:
    """Return the tempos given, ascending, each once.

    Raises RequestError for none and for one outside 20 to 300.
    """
    ladder = tuple(sorted({check_bpm(bpm) for bpm in tempos}))
    if not ladder:
        raise RequestError("a ladder needs a tempo", "give one from 20 to 300 beats a minute", "tempos")
    return ladder


def _check_ends(slowest: int, fastest: int) -> None:
    if check_bpm(slowest) > check_bpm(fastest):
        raise RequestError(f"{slowest} to {fastest} run down", "give the slower one first", "from")


USUAL_STEP = 8
USUAL = by_step(60, 100, USUAL_STEP)
"""The ladder of a drill that names no tempo."""
