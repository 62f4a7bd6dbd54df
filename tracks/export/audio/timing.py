"""When things sound, in seconds and frames, by the tempos that a piece's MIDI file says.

Conventions
- Tempos are taken as the file has them, in whole microseconds a quarter note: the sound lies over the file,
  not over what the file rounds.
"""

from dataclasses import replace
from itertools import pairwise

from tracks.export.audio import RATE, TAIL_S, Sound
from tracks.model import Piece
from tracks.theory.errors import RequestError
from tracks.theory.meter import QUARTER, Time
from tracks.theory.tempo import micros_per_quarter

LONGEST_S = 900.0
"""The longest sound that is made, a quarter of an hour: those of one tempo are held in memory together."""

_MICROS = 1_000_000


def seconds_at(piece: Piece, time: Time) -> float:
    """Return when a moment of the piece sounds; raise ValueError where no tempo has been chosen."""
    spans = pairwise([*_tempos(piece), (max(time, piece.length), 0)])
    ticks = sum(max(0, min(time, end) - start) * micros for (start, micros), (end, _) in spans)
    return ticks / (QUARTER * _MICROS)


def frames(piece: Piece) -> int:
    """Return how many frames the piece's sounds have, tail included."""
    return round((seconds_at(piece, piece.length) + TAIL_S) * RATE)


def with_tail(piece: Piece) -> Piece:
    """Return the piece with silence to die away in after its end: TAIL_S, and a quarter note for rounding."""
    _, micros = _tempos(piece)[-1]
    return replace(piece, length=piece.length + int(TAIL_S * _MICROS * QUARTER / micros) + QUARTER)


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
            f"{LONGEST_S / 60:.0f}; ask for fewer repeats or a faster tempo"
        )
