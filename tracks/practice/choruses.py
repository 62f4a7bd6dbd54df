"""Choruses on paper: one time through where all are alike, else every one.

Conventions
- They differ where there is a tune, which goes on, and where turns fall otherwise: fours in twelve bars.
- More bars than anybody would print are not written out.
"""

from collections.abc import Mapping
from dataclasses import replace

from tracks.drill.drill import Drill
from tracks.drill.in_key import DrillInKey
from tracks.model import Piece, Role
from tracks.practice.arrange import unrolled
from tracks.theory.meter import Time

MOST_BARS = 128
"""The most bars that are written out."""


def on_paper(
    drill: Drill, in_key: DrillInKey, piece: Piece, turns: Mapping[Time, bool]
) -> tuple[Drill, DrillInKey]:
    """Return a drill in its key as paper has it: with every chorus as chords of their own, or the first."""
    written, chords = unrolled(in_key.changes, in_key.chords, drill.repeats, drill.ending)
    differ = _has_tune(piece) or _turns_differ(in_key, turns)
    if drill.repeats == 1 or not differ or written.length > MOST_BARS * written.meter.bar:
        return drill, in_key
    return replace(drill, repeats=1), replace(in_key, changes=written, chords=chords)


def _has_tune(piece: Piece) -> bool:
    return any(part.role is Role.MELODY and part.notes for part in piece.parts)


def _turns_differ(in_key: DrillInKey, turns: Mapping[Time, bool]) -> bool:
    """Return whether the second time through begins its turns otherwise than the first."""
    once = in_key.changes
    again = unrolled(once, in_key.chords, 2)[0].length - once.length
    end = once.pickup + again
    first = {at: yours for at, yours in turns.items() if at < end}
    second = {at - again: yours for at, yours in turns.items() if end <= at < end + again}
    return first != second
