"""What the notes of a drill's tune do, bar by bar: what its sheet shows and `show --tune` prints.

Conventions
- A note is told in the bar that it stands in; what leads in before the first bar is bar 0's, as on paper.
- In a form of turns only what the track plays is told.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from tracks.model import Note, Piece, Role, Why
from tracks.practice.forms import turns_taken
from tracks.practice.played import Played
from tracks.style import Style
from tracks.theory.errors import RequestError
from tracks.theory.meter import Time


@dataclass(frozen=True, slots=True)
class ToldNote:
    """A note of a tune where it stands: its bar, its felt beat in it counted from 1, how many it lasts."""

    bar: int
    beat: float
    beats: float
    note: Note
    why: Why


def whys(piece: Piece) -> dict[Time, Why]:
    """Return what each note of a piece's tune does, by its beginning; nothing where none is explained."""
    return {note.start: why for note, why in _explained(piece)}


def check_explains(style: Style, written: Piece) -> None:
    """Raise RequestError where a piece, as the style wrote it, has no tune that is explained."""
    if not whys(written):
        name = style.info.name
        raise RequestError(f"style {name} plays no tune to explain", "choose the style improvise", "explain")


def told(played: Played) -> tuple[tuple[ToldNote, ...], Mapping[int, bool]]:
    """Return the notes of the tune in the drill's form, and the bars at which turns begin.

    A turn is True where it is the student's.
    """
    piece, turns = turns_taken(played.written(None), played.drill)
    notes = tuple(_told(note, why, piece) for note, why in _explained(piece))
    return notes, {_place(start, piece)[0]: yours for start, yours in turns.items()}


def _explained(piece: Piece) -> Iterator[tuple[Note, Why]]:
    for part in piece.parts:
        if part.role is Role.MELODY:
            yield from ((note, note.why) for note in part.notes if note.why)


def _told(note: Note, why: Why, piece: Piece) -> ToldNote:
    bar, into = _place(note.start, piece)
    beat = piece.meter.beat
    return ToldNote(bar, 1 + round(into / beat, 6), round(note.length / beat, 6), note, why)


def _place(start: Time, piece: Piece) -> tuple[int, Time]:
    """Return the bar that a moment lies in, and how far into it."""
    if start < piece.music_from:
        return 0, start
    bar, into = divmod(start - piece.music_from, piece.meter.bar)
    return bar + 1, into
