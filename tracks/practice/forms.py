"""Forms for practicing: who plays when, the track or the student.

Conventions
- Every function is pure, Piece to Piece, before any count-in, mix or tempo.
- A *turn* is two or four bars, counted from bar 1; the track has the first. What changes at a turn is marked
  `Listen` or `You play` at its bar line; the chords keep their own markers.
- In call and response, and in trading fours, the soloist is silent in the student's turns and everything
  else goes on. The soloist is the melody; where there is none, the right hand.
- In echo the track plays a turn, then waits as long: both hands and the melody are silent, the band plays
  those bars again. So an echo lasts twice as long.
- With the melody out the student improvises over all the rest.
"""

from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import pairwise
from typing import TypeVar

from tracks.drill.drill import Drill, Form
from tracks.model import Marker, Note, Part, Pedal, Piece, Role
from tracks.practice.climb import excerpt, in_a_row
from tracks.theory.errors import RequestError
from tracks.theory.meter import Time

LISTEN, YOU_PLAY = "Listen", "You play"
"""Marker texts."""

_Lasting = TypeVar("_Lasting", Note, Pedal)
_HANDS = (Role.RIGHT, Role.LEFT, Role.MELODY)


def turns_taken(piece: Piece, drill: Drill) -> tuple[Piece, dict[Time, bool]]:
    """Return the piece as it stands on paper in the drill's form, and the bar lines where turns begin.

    A turn is True where it is the student's, whose bars are left empty. An echo is written as the track plays
    it: the student answers by ear, and no bar of the paper is the student's alone.
    Raises RequestError as `formed` does.
    """
    if drill.form in (Form.PLAIN, Form.ECHO):
        return piece, {}
    taken = formed(piece, drill)
    whose = {LISTEN: False, YOU_PLAY: True}
    return taken, {mark.start: whose[mark.text] for mark in taken.markers if mark.text in whose}


def formed(piece: Piece, drill: Drill) -> Piece:
    """Return an arrangement in the drill's form; raise RequestError where it is too short for it."""
    turn = drill.bars_in_turn
    if drill.form is Form.MELODY_OUT:
        return melody_out(piece)
    if turn is None:
        return piece
    return echo(piece, turn) if drill.form is Form.ECHO else in_turns(piece, turn)


def soloist(piece: Piece) -> Role:
    """Return the role that takes turns with the student: the melody, or the right hand where there is none.

    Raises RequestError where a piece has neither.
    """
    playing = {part.role for part in piece.parts if part.notes}
    for role in (Role.MELODY, Role.RIGHT):
        if role in playing:
            return role
    raise RequestError(
        "no melody and no right hand plays, so nobody takes turns", "choose another style", "form"
    )


def in_turns(piece: Piece, turn: int) -> Piece:
    """Return the piece with its soloist silent in every second turn of so many bars.

    Raises RequestError where it has no soloist, or is too short for a turn each.
    """
    role = soloist(piece)
    bars = (piece.length - piece.music_from + piece.meter.bar - 1) // piece.meter.bar
    if bars <= turn:
        raise RequestError(
            f"{bars} bars are too few for a turn of {turn} each",
            "raise the repeats, or take shorter turns",
            "form",
        )
    lines = turn_lines(piece, turn)
    parts = tuple(_only(part, lines) if part.role is role else part for part in piece.parts)
    texts = (LISTEN, YOU_PLAY)
    marks = (Marker(line, texts[number % 2]) for number, line in enumerate(lines))
    return replace(piece, parts=parts, markers=_in_order((*marks, *piece.markers)))


def echo(piece: Piece, turn: int) -> Piece:
    """Return the piece with a wait after every turn of so many bars, in which the band plays them again."""
    lines = (*turn_lines(piece, turn), piece.length)
    sections = []
    for number, (start, end) in enumerate(pairwise(lines)):
        sections.append((LISTEN, excerpt(piece, 0 if number == 0 else start, end)))
        sections.append((YOU_PLAY, _waiting(excerpt(piece, start, end))))
    return in_a_row(sections)


def melody_out(piece: Piece) -> Piece:
    """Return the piece without its melody, for the student to improvise."""
    marks = (Marker(piece.music_from, YOU_PLAY), *piece.markers)
    return replace(
        piece,
        parts=tuple(part for part in piece.parts if part.role is not Role.MELODY),
        markers=_in_order(marks),
    )


def turn_lines(piece: Piece, turn: int) -> tuple[Time, ...]:
    """Return the bar lines at which turns begin."""
    return tuple(range(piece.music_from, piece.length, turn * piece.meter.bar))


def _in_order(markers: tuple[Marker, ...]) -> tuple[Marker, ...]:
    return tuple(sorted(markers, key=lambda marker: marker.start))


def _waiting(piece: Piece) -> Piece:
    parts = tuple(replace(part, notes=(), pedals=()) if part.role in _HANDS else part for part in piece.parts)
    return replace(piece, parts=parts)


def _only(part: Part, lines: tuple[Time, ...]) -> Part:
    """Return a part with what sounds in every other turn, none of it past its turn's end."""

    def heard(lasting: Iterable[_Lasting]) -> Iterator[_Lasting]:
        for each in lasting:
            number = bisect_right(lines, each.start) - 1
            end = lines[number + 1] if number + 1 < len(lines) else each.end
            if number % 2 == 0 or number < 0:
                yield each if each.end <= end else replace(each, length=end - each.start)

    return replace(part, notes=tuple(heard(part.notes)), pedals=tuple(heard(part.pedals)))
