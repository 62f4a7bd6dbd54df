"""One shape for all keys of a drill: what the hands learn in one key, they play in every other.

Conventions
- A way is a whole progression voiced in one key, with its cost; a shape is what is left of it when the key
  is forgotten. Keys that play the same chords from their own tonic are asked together (`alike`).
- Each key's best way offers its shape. Taken is the one that the most keys have room for, then the one that
  costs the least in all of them together, then the one that the fewest keys bend, then the earliest key's.
  A key with no room for it keeps its own best way.

Source: convention.
"""

from collections.abc import Callable, Hashable, Sequence
from typing import Protocol, TypeVar

from tracks.model import ChordAt
from tracks.theory.chord import Chord


class Way(Protocol):
    """A progression voiced in one key: what it costs, and its shape."""

    @property
    def cost(self) -> int:
        """The cost; comparable from key to key."""

    @property
    def shape(self) -> Hashable:
        """What stays the same when the whole is transposed."""


W = TypeVar("W", bound=Way)


def one_shape(best: Sequence[W], fits: Sequence[Callable[[W], W | None]]) -> tuple[W, ...]:
    """Return a way for each key, all in one shape where the keys have room for one.

    `best` holds each key's own best way; each key's `fits` returns its best way in the shape of another key's
    way, or nearly so, or None where it has no room.
    """
    offered = list({way.shape: way for way in reversed(best)}.values())[::-1]
    if len(offered) == 1:
        return tuple(best)
    sets = [(way.shape, [fit(way) for fit in fits]) for way in offered]
    _, taken = min(sets, key=lambda found: _price(*found))
    return tuple(way or own for way, own in zip(taken, best, strict=True))


def _price(shape: Hashable, ways: Sequence[W | None]) -> tuple[int, int, int]:
    fitting = [way for way in ways if way]
    bent = sum(way.shape != shape for way in fitting)
    return ways.count(None), sum(way.cost for way in fitting), bent


def alike(keys: Sequence[Sequence[ChordAt]]) -> list[list[int]]:
    """Return which keys play the same chords from their own tonic, as groups of places in `keys`."""
    groups: dict[Hashable, list[int]] = {}
    for place, chords in enumerate(keys):
        groups.setdefault(_from_tonic(chords), []).append(place)
    return list(groups.values())


def _from_tonic(chords: Sequence[ChordAt]) -> Hashable:
    home = chords[0].key.tonic.fifths if chords else 0
    return tuple(
        (at.written, at.key.tonic.fifths - home, at.key.mode, at.chord and _above(at.chord, home))
        for at in chords
    )


def _above(chord: Chord, home: int) -> Hashable:
    return chord.root.fifths - home, chord.bass.fifths - home, chord.intervals, chord.pinned
