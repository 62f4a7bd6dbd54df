"""One recording of several items, as of an exam, parted where the player waited.

Conventions
- The gap between two items is longer, by two seconds or more, than those that are usual in the take: nine in
  ten of its gaps between one moment struck and the next.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from tracks.takes.clusters import LINK_S
from tracks.takes.take import PlayedNote, Take

_WAIT_S = 2.0
_USUAL = 0.9


def parted(take: Take, most: int) -> tuple[Take, ...]:
    """Return the parts of a take, `most` at most, each named by its number; one take where nobody waited."""
    starts = [0, *sorted(_longest_waits(take.notes)[: most - 1]), len(take.notes)]
    if len(starts) == 2:
        return (take,)
    return tuple(
        replace(take, name=f"{take.name}, {number}", notes=take.notes[start:end])
        for number, (start, end) in enumerate(pairwise(starts), 1)
    )


def _longest_waits(notes: Sequence[PlayedNote]) -> list[int]:
    """Return the notes that come after a wait, the longest wait first."""
    gaps = [later.onset_s - before.onset_s for before, later in pairwise(notes)]
    usual = sorted(gap for gap in gaps if gap > LINK_S)
    if not usual:
        return []
    longest = usual[int(_USUAL * (len(usual) - 1))] + _WAIT_S
    return sorted(
        (place for place, gap in enumerate(gaps, 1) if gap >= longest), key=lambda place: -gaps[place - 1]
    )
