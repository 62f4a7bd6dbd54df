"""Notes for questions that are not chords of a drill: one after another, together, or broken.

Conventions: lengths are in beats, a beat is a quarter note; everything lies within LOWEST to C6.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction

from tracks.model import Note
from tracks.theory.meter import QUARTER, Time
from tracks.theory.pitch import Pitch, Tone

LOWEST = 55
"""G3: what is built up from a note begins between here and the F sharp above middle C."""


def beats(count: int | Fraction) -> Time:
    """Return the length of so many beats."""
    return int(count * QUARTER)


def low(tone: Tone) -> Pitch:
    """Return the pitch of a tone that something is built up from."""
    return Pitch.at_or_above(tone, LOWEST)


def line(
    pitches: Sequence[Pitch], lengths: Iterable[int | Fraction], start: int | Fraction = 0
) -> tuple[Note, ...]:
    """Return pitches one after another, each for so many beats."""
    notes, now = [], beats(start)
    for pitch, length in zip(pitches, lengths, strict=True):
        notes.append(Note(now, beats(length), pitch))
        now += beats(length)
    return tuple(notes)


def together(pitches: Sequence[Pitch], length: int, start: int | Fraction = 0) -> tuple[Note, ...]:
    """Return pitches struck at once."""
    return tuple(Note(beats(start), beats(length), pitch) for pitch in pitches)


def twice(notes: tuple[Note, ...], after: int | Fraction) -> tuple[Note, ...]:
    """Return notes, and the same again so many beats after their beginning."""
    by = beats(after)
    return (*notes, *(Note(note.start + by, note.length, note.pitch, note.velocity) for note in notes))
