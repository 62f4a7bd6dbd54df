"""Several pieces in one file: a ladder climbed without stopping, a cycle of keys, a progression built up.

Conventions
- Every function is pure. A *section* is a label and a piece with its own count-in, mix and tempo.
- Sections begin at bar lines, so the bars of a file run on without a break.
- An excerpt that begins inside a bar has a pickup: it sounds inside the last bar of its count-in.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TypeAlias

from tracks.drill.drill import BuildUp
from tracks.model import KeyFrom, Marker, PaceFrom, Part, Pedal, Piece, Role, TempoFrom
from tracks.practice.mixes import changing, later, on_bar_lines
from tracks.theory.errors import RequestError
from tracks.theory.meter import Meter, Time

Section: TypeAlias = tuple[str, Piece]
"""What a marker calls it, and the piece, before any earlier section moves it."""

MOST_STEPS = 32
"""Chords of a build-up: the last of so many steps already follows some five hundred chords."""


def in_a_row(sections: Iterable[Section]) -> Piece:
    """Return one piece that plays the sections one after the other, each at its own tempo.

    The title, the meter and the place of the first bar are the first section's. Raises ValueError for none.
    """
    placed = _placed(sections)
    if not placed:
        raise ValueError("there is nothing to play in a row")
    pieces = [piece for _, piece, _ in placed]
    return replace(
        pieces[0],
        keys=_keys(placed),
        length=pieces[-1].length,
        parts=_joined(pieces),
        markers=tuple(mark for label, piece, at in placed for mark in (Marker(at, label), *piece.markers)),
        tempos=_tempos(placed),
        paces=_paces(placed),
    )


def build_up(piece: Piece, starts: Sequence[Time], order: BuildUp) -> tuple[Section, ...]:
    """Return the piece, which has no count-in yet, as steps that add a chord at a time.

    `starts` are where its chords begin. Forwards, the steps all begin with the first chord; backwards, they
    all end with the last. Raises RequestError for more than 32 chords.
    """
    count = len(starts)
    if count > MOST_STEPS:
        raise RequestError(f"{count} chords are more than {MOST_STEPS}", "divide the progression", "build-up")
    ends = (*starts[1:], piece.length)
    if order is BuildUp.FORWARDS:
        spans = [(1, number) for number in range(1, count + 1)]
    else:
        spans = [(number, count) for number in range(count, 0, -1)]
    return tuple(
        (_called(first, last), excerpt(piece, starts[first - 1], ends[last - 1])) for first, last in spans
    )


def excerpt(piece: Piece, start: Time, end: Time) -> Piece:
    """Return what a piece without a count-in plays from `start` to `end`, moved to time 0.

    A note that sounds on from before is struck at the start where an eighth of a beat or more is left of it.
    """
    keys = [key for key in piece.keys if key.start < end]
    held = max(number for number, key in enumerate(keys) if key.start <= start or number == 0)
    paces = [pace for pace in piece.paces if pace.start < end]
    going = sum(pace.start <= start for pace in paces)
    return replace(
        piece,
        keys=(KeyFrom(0, keys[held].key), *(KeyFrom(k.start - start, k.key) for k in keys[held + 1 :])),
        length=end - start,
        music_from=(piece.music_from - start) % piece.meter.bar,
        parts=tuple(between(part, start, end, piece.meter) for part in piece.parts),
        markers=tuple(Marker(m.start - start, m.text) for m in piece.markers if start <= m.start < end),
        paces=tuple(PaceFrom(max(p.start - start, 0), p.share) for p in paces[max(going - 1, 0) :]),
    )


def _called(first: int, last: int) -> str:
    return f"Chord {first}" if first == last else f"Chords {first} to {last}"


def between(part: Part, start: Time, end: Time, meter: Meter) -> Part:
    """Return what a part plays from `start` to `end`, moved to time 0, as `excerpt` does."""
    notes, least = [], meter.beat // 8
    for note in part.notes:
        begins, stops = max(note.start, start), min(note.end, end)
        if stops > begins and (note.start >= start or stops - begins >= least):
            notes.append(replace(note, start=begins - start, length=stops - begins))
    hits = (replace(hit, start=hit.start - start) for hit in part.hits if start <= hit.start < end)
    spans = ((max(pedal.start, start), min(pedal.end, end)) for pedal in part.pedals)
    pedals = (Pedal(down - start, up - down) for down, up in spans if down < up)
    return replace(part, notes=tuple(notes), hits=tuple(hits), pedals=tuple(pedals))


def _placed(sections: Iterable[Section]) -> list[tuple[str, Piece, Time]]:
    """Return every section's label, its piece moved to its place, and where that place begins."""
    placed: list[tuple[str, Piece, Time]] = []
    now = 0
    for label, piece in sections:
        moved = later(on_bar_lines(piece), now)
        placed.append((label, moved, now))
        now = moved.length
    return placed


def _keys(placed: Sequence[tuple[str, Piece, Time]]) -> tuple[KeyFrom, ...]:
    keys: list[KeyFrom] = []
    for _, piece, start in placed:
        first, *others = piece.keys
        for key in (KeyFrom(start, first.key), *others):
            if not keys or keys[-1].key != key.key:
                keys.append(key)
    return tuple(keys)


def _tempos(placed: Sequence[tuple[str, Piece, Time]]) -> tuple[TempoFrom, ...]:
    """Return the changes of tempo after the first; none where no tempo is chosen yet."""
    told: list[TempoFrom] = []
    for _, piece, start in placed:
        told += [TempoFrom(start, piece.bpm), *piece.tempos] if piece.bpm is not None else []
    return changing(told[0], told[1:]) if told else ()


def _paces(placed: Sequence[tuple[str, Piece, Time]]) -> tuple[PaceFrom, ...]:
    """Return the paces of all, each section beginning at the tempo again; none where none slows down."""
    paces: list[PaceFrom] = []
    for _, piece, start in placed:
        again = [PaceFrom(start, 1.0)] if paces and paces[-1].share != 1 else []
        paces += [*again, *piece.paces]
    return tuple(paces)


def _joined(pieces: Sequence[Piece]) -> tuple[Part, ...]:
    """Return a part for every role that any piece has, with the notes of all."""
    roles: dict[Role, list[Part]] = {}
    for piece in pieces:
        for part in piece.parts:
            roles.setdefault(part.role, []).append(part)
    return tuple(
        replace(
            parts[0],
            notes=tuple(note for part in parts for note in part.notes),
            hits=tuple(hit for part in parts for hit in part.hits),
            pedals=tuple(pedal for part in parts for pedal in part.pedals),
        )
        for _, parts in sorted(roles.items(), key=lambda item: _ORDER.index(item[0]))
    )


_ORDER = tuple(Role)
