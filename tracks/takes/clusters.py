"""Notes struck together, and what it costs to play some of them for others.

Conventions
- A *cluster* is played notes struck together: each at most 35 ms after the one before it, no key twice.
- Costs are whole numbers. A wrong, missing or extra note costs NOTE. The same notes in another octave or
  inversion cost RENAMED, half a note, however many they are.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

NOTE = 4
RENAMED = 2
LINK_S = 0.035


class Notes(NamedTuple):
    """Keys struck together: a bit for each, a bit for each pitch class as often as it comes, and how many."""

    keys: int
    classes: int
    size: int


class Cluster(NamedTuple):
    """Played notes struck together: their places in the take, the first and last onset, and their keys."""

    places: tuple[int, ...]
    first_s: float
    last_s: float
    notes: Notes


def notes_of(midi: Iterable[int]) -> Notes:
    """Return keys, 0 to 127, as a set; one that comes twice counts once."""
    keys = sorted(set(midi))
    mask, classes, found = 0, 0, [0] * 12
    for key in keys:
        mask |= 1 << key
        chroma = key % 12
        classes |= 1 << (chroma * 11 + found[chroma])
        found[chroma] += 1
    return Notes(mask, classes, len(keys))


def cost(played: Notes, asked: Notes) -> int:
    """Return what playing some notes for others costs: each unlike one is a note; renamed, half a note."""
    most = played.size if played.size > asked.size else asked.size
    same = (played.keys & asked.keys).bit_count()
    if same == most:
        return 0
    renamed = (played.classes & asked.classes).bit_count()
    return min((most - same) * NOTE, (most - renamed) * NOTE + RENAMED)


def clusters(onsets: Sequence[tuple[float, int]]) -> list[Cluster]:
    """Return played notes, (seconds, key) in order of time, in clusters."""
    found: list[list[int]] = []
    keys: set[int] = set()
    for place, (onset, key) in enumerate(onsets):
        if found and onset - onsets[found[-1][-1]][0] <= LINK_S and key not in keys:
            found[-1].append(place)
            keys.add(key)
        else:
            found.append([place])
            keys = {key}
    return [
        Cluster(tuple(each), onsets[each[0]][0], onsets[each[-1]][0], notes_of(onsets[p][1] for p in each))
        for each in found
    ]


def merged(played: Sequence[Cluster], first: int, after: int) -> Notes:
    """Return the notes of several clusters in a row; a key struck twice counts for an extra note."""
    if after - first == 1:
        return played[first].notes
    keys = notes_of(key for each in played[first:after] for key in keys_of(each.notes.keys))
    size = sum(each.notes.size for each in played[first:after])
    return keys._replace(size=size)


def keys_of(mask: int) -> Iterable[int]:
    """Yield the keys of a set, low to high."""
    while mask:
        lowest = mask & -mask
        yield lowest.bit_length() - 1
        mask ^= lowest
