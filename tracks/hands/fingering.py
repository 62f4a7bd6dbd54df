"""Fingers for chords struck at once.

Conventions
- 1 is the thumb, 5 the little finger; fingers are given low to high, so a left hand reads 5 to 1.
- A shape is what lies between neighboring notes, measured on the keyboard: one or two half steps are a
  second, three or four a third, however they are spelled. So one rule serves every key and every spelling.
- The left hand is the right hand's mirror: its fingers for a shape are those of the shape turned over.

Source: triads, 1-3-5, 1-2-5, 1-3-5 and 5-3-1, 5-3-1, 5-2-1, as three independent public teaching pages give
them (onlinepianocoach.com, musicfanfare.com, pianoandvoicewithbrenda.com). Seventh chords and other
shapes: convention.
"""

from collections.abc import Sequence
from itertools import pairwise

from tracks.theory.errors import RequestError
from tracks.theory.pitch import Pitch

_SECOND, _THIRD, _FOURTH, _FIFTH = 1, 2, 3, 4
_SIZES = (_SECOND, _SECOND, _SECOND, _THIRD, _THIRD, _FOURTH, _FOURTH)
"""What half steps between two keys count as for the hand; seven or more are a fifth or wider."""


def right_fingers(pitches: Sequence[Pitch]) -> tuple[int, ...]:
    """Return the right hand's fingers for one to four notes, low to high."""
    return _fingers(_shape(pitches))


def left_fingers(pitches: Sequence[Pitch]) -> tuple[int, ...]:
    """Return the left hand's fingers for one to four notes, low to high."""
    return _fingers(_shape(pitches)[::-1])[::-1]


def _shape(pitches: Sequence[Pitch]) -> tuple[int, ...]:
    return tuple([_size(high.midi - low.midi) for low, high in pairwise(pitches)])


def _size(half_steps: int) -> int:
    return _SIZES[half_steps] if half_steps < len(_SIZES) else _FIFTH


def _fingers(shape: tuple[int, ...]) -> tuple[int, ...]:
    """Return the fingers of a shape counted from the thumb."""
    if not shape:
        return (1,)
    if len(shape) == 1:
        return (1, shape[0] + 1)
    if len(shape) == 2:
        return (1, _middle(*shape), 5)
    if len(shape) == 3:
        return _four(*shape)
    raise RequestError(f"a chord of {len(shape) + 1} notes in one hand", "fingers are given for 1 to 4")


def _middle(by_thumb: int, by_little: int) -> int:
    """Return the middle finger of three, by the steps on the thumb's and the little finger's side."""
    if by_thumb <= _SECOND:
        return 3 if by_little <= _SECOND else 2
    if by_little <= _SECOND:
        return 4
    return 3 if by_little == _THIRD else 2


def _four(by_thumb: int, inner: int, by_little: int) -> tuple[int, int, int, int]:
    """Return the fingers of four notes: 1-2-4-5 where a second lies at either end, 1-2-3-5 elsewhere."""
    if by_thumb <= _SECOND and inner <= _SECOND:
        return (1, 2, 3, 5)
    if by_little <= _SECOND and inner <= _SECOND:
        return (1, 3, 4, 5)
    return (1, 2, 4, 5) if _SECOND in (by_thumb, by_little) else (1, 2, 3, 5)
