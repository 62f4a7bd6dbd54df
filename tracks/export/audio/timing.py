"""When things sound, in seconds and frames, by the tempos that a piece's MIDI file says.

Conventions
- Tempos are taken as the file has them, in whole microseconds a quarter note: the sound lies over the file,
  not over what the file rounds.
"""

from itertools import pairwise
from typing import TYPE_CHECKING

from tracks.export.audio import LEAD_S, RATE, TAIL_S, Sound
from tracks.model import Piece
from tracks.theory.errors import RequestError
from tracks.theory.meter import QUARTER, Time
from tracks.theory.tempo import micros_per_quarter

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy import float64
    from numpy.typing import NDArray

LONGEST_S = 900.0
"""The longest sound that is made, a quarter of an hour."""

_MICROS = 1_000_000


def seconds_at(piece: Piece, time: Time) -> float:
    """Return when a moment of the piece sounds; raise ValueError where no tempo has been chosen."""
    return float(seconds_of(piece, (time,))[0])


def seconds_of(piece: Piece, times: "Sequence[Time]") -> "NDArray[float64]":
    """Return when moments of the piece sound; raise ValueError where no tempo has been chosen."""
    from numpy import array, searchsorted

    tempos = _tempos(piece)
    starts = array([start for start, _ in tempos])
    speeds = array([micros / (QUARTER * _MICROS) for _, micros in tempos])
    reached = [0.0]
    for (start, micros), (end, _) in pairwise(tempos):
        reached.append(reached[-1] + (end - start) * micros / (QUARTER * _MICROS))
    asked = array(times, dtype=float)
    at = searchsorted(starts, asked, "right") - 1
    seconds: NDArray[float64] = array(reached)[at] + (asked - starts[at]) * speeds[at]
    return seconds


def frames(piece: Piece) -> int:
    """Return how many frames the piece's stems have, tail included."""
    return round((seconds_at(piece, piece.length) + TAIL_S) * RATE)


def lasts_s(piece: Piece) -> float:
    """Return how long a file of the piece sounds."""
    return LEAD_S + seconds_at(piece, piece.length) + TAIL_S


def fitted(sound: Sound, length: int) -> Sound:
    """Return the sound cut, or filled up with silence, to so many frames."""
    from numpy import pad

    return pad(sound[:length], ((0, max(length - len(sound), 0)), (0, 0)))


def _tempos(piece: Piece) -> list[tuple[Time, int]]:
    """Return every tempo, from when it holds, in microseconds a quarter note."""
    if piece.bpm is None:
        raise ValueError(f"{piece.title!r} has no tempo yet")
    changes = ((change.start, change.bpm) for change in piece.tempos)
    return [(start, micros_per_quarter(bpm, piece.meter)) for start, bpm in ((0, piece.bpm), *changes)]


def check_length(piece: Piece) -> None:
    """Raise RequestError for a piece whose sound would last longer than LONGEST_S."""
    lasts = seconds_at(piece, piece.length)
    if lasts > LONGEST_S:
        raise RequestError(
            f"audio at {piece.bpm} beats a minute would last {lasts / 60:.0f} minutes, more than "
            f"{LONGEST_S / 60:.0f}",
            "ask for fewer repeats or a faster tempo",
        )
