"""What turns an arrangement into something to practice with: a count-in, a click, a mix, a tempo.

Conventions
- Every function is pure, Piece to Piece; parts that a mix leaves as they are stay the very same objects,
  so that whoever writes them need do so once.
- A mix is a filter of one piece, a tempo replaces one field.
- The click falls on felt beats and counts from the first downbeat, pickup or not.

The click uses General MIDI 1's two wood blocks; keys 33 and 34, the metronome of later standards, are
silent or something else on many pianos.
"""

from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache

from tracks.drill.drill import Mix
from tracks.model import Hit, KeyFrom, Marker, Note, PaceFrom, Part, Pedal, Piece, Role, TempoFrom
from tracks.patterns.drum_kit import lead_in_bar
from tracks.patterns.feel import swung
from tracks.theory.errors import RequestError
from tracks.theory.meter import Meter, Time
from tracks.theory.tempo import check_bpm

HIGH_WOOD_BLOCK, LOW_WOOD_BLOCK = 76, 77
ACCENT, BEAT = 108, 84
"""Velocities of the click on a bar's first beat and on the others."""

COUNT_IN, FIRST_DOWNBEAT = "Count-in", "Bar 1"
"""Marker texts."""

FAR_LEFT, FAR_RIGHT = 16, 111
"""Pans of the hands where they are panned apart: clearly so, and neither quite absent from the other ear."""


def with_count_in(piece: Piece, bars: int, click: bool, lead_in: bool = False) -> Piece:
    """Return the piece after so many bars of click, which goes on through the music if `click`.

    With a lead-in the last of those bars is a drum fill instead, in the click's own part, so that every mix
    has it.

    A pickup sounds inside the last count-in bar. Without count-in bars nothing moves. A last bar cut short
    by a pickup is filled up, so that the music loops at bar lines. The first downbeat is marked, and the
    count-in where there is one. Raises RequestError for a negative number of bars.
    """
    if bars < 0:
        raise RequestError(f"{bars} bars is too few", "give 0 or more", "count-in")
    moved = later(piece, bars * piece.meter.bar - piece.music_from) if bars else piece
    moved = replace(moved, length=moved.length + (moved.music_from - moved.length) % piece.meter.bar)
    marks = (Marker(0, COUNT_IN),) * (bars > 0) + (Marker(moved.music_from, FIRST_DOWNBEAT),)
    markers = tuple(sorted((*marks, *moved.markers), key=lambda marker: marker.start))
    clicks = _clicks(piece.meter, moved.music_from, moved.length if click else bars * piece.meter.bar)
    if lead_in and bars:
        clicks = _led_in(clicks, moved)
    parts = (*moved.parts, _click_part(piece, clicks)) if clicks else moved.parts
    return replace(moved, parts=parts, markers=markers)


def mixed(piece: Piece, mix: Mix) -> Piece:
    """Return the piece with the parts that sound in a mix.

    A hand alone keeps the click; where you play a hand, everything else stays; panned apart, each hand
    comes from its side. Where no part is the right hand's chords, a melody counts as the right hand.
    """
    right, left = right_hand(piece), Role.LEFT
    if mix is Mix.HANDS_TOGETHER:
        return piece
    if mix is Mix.PANNED_APART:
        pans = {right: FAR_RIGHT, left: FAR_LEFT}
        parts = tuple(
            replace(part, pan=pans[part.role]) if part.role in pans else part for part in piece.parts
        )
    elif mix in (Mix.RIGHT_ALONE, Mix.LEFT_ALONE):
        kept = (right if mix is Mix.RIGHT_ALONE else left, Role.CLICK)
        parts = tuple(part for part in piece.parts if part.role in kept)
    else:
        yours = right if mix is Mix.YOU_PLAY_RIGHT else left
        parts = tuple(part for part in piece.parts if part.role is not yours)
    return replace(piece, parts=parts)


def right_hand(piece: Piece) -> Role:
    """Return the role that is the player's right hand: the melody where that hand is given no chords."""
    has_chords = any(part.role is Role.RIGHT and part.notes for part in piece.parts)
    return Role.RIGHT if has_chords else Role.MELODY


def at_tempo(piece: Piece, bpm: int) -> Piece:
    """Return the piece at felt beats a minute, its paces too; raise RequestError outside 20 to 300."""
    tempos = (TempoFrom(pace.start, bpm * pace.share) for pace in piece.paces)
    return replace(piece, bpm=check_bpm(bpm), tempos=changing(TempoFrom(0, bpm), tempos), paces=())


def changing(first: TempoFrom, tempos: Iterable[TempoFrom]) -> tuple[TempoFrom, ...]:
    """Return the tempos that are not already held when they begin, after a first one."""
    told = [first]
    for tempo in tempos:
        if tempo.bpm != told[-1].bpm:
            told.append(tempo)
    return tuple(told[1:])


def later(piece: Piece, by: Time) -> Piece:
    """Return the piece begun so many ticks later; its first key holds from 0 all the same."""
    first, *others = piece.keys
    return replace(
        piece,
        keys=(first, *(KeyFrom(key.start + by, key.key) for key in others)),
        length=piece.length + by,
        music_from=piece.music_from + by,
        parts=tuple(part_later(part, by) for part in piece.parts),
        markers=tuple(Marker(marker.start + by, marker.text) for marker in piece.markers),
        tempos=tuple(TempoFrom(tempo.start + by, tempo.bpm) for tempo in piece.tempos),
        paces=tuple(PaceFrom(pace.start + by, pace.share) for pace in piece.paces),
    )


def on_bar_lines(piece: Piece) -> Piece:
    """Return the piece with silence before a pickup and after a short last bar: a whole number of bars."""
    bar = piece.meter.bar
    moved = later(piece, -piece.music_from % bar) if piece.music_from % bar else piece
    return replace(moved, length=moved.length + -moved.length % bar)


def part_later(part: Part, by: Time) -> Part:
    """Return the part begun so many ticks later."""
    notes = tuple(Note(n.start + by, n.length, n.pitch, n.velocity, n.finger, n.why) for n in part.notes)
    hits = tuple(Hit(h.start + by, h.key, h.velocity) for h in part.hits)
    pedals = tuple(Pedal(pedal.start + by, pedal.length) for pedal in part.pedals)
    return replace(part, notes=notes, hits=hits, pedals=pedals)


@lru_cache(maxsize=64)
def _clicks(meter: Meter, downbeat: Time, end: Time) -> tuple[Hit, ...]:
    """Return a click on every felt beat from the first that is not before 0 up to the end.

    Remembered because a drill asks for the same clicks in every key.
    """
    clicks = []
    for start in range(downbeat % meter.beat, end, meter.beat):
        on_bar = (start - downbeat) % meter.bar == 0
        clicks.append(Hit(start, *((HIGH_WOOD_BLOCK, ACCENT) if on_bar else (LOW_WOOD_BLOCK, BEAT))))
    return tuple(clicks)


def _led_in(clicks: tuple[Hit, ...], piece: Piece) -> tuple[Hit, ...]:
    """Return the clicks with a fill on the drums, swung as the band is, before a piece's first downbeat."""
    meter, downbeat = piece.meter, piece.music_from
    bar = downbeat - meter.bar
    before = (click for click in clicks if click.start < bar)
    fill = (
        replace(hit, start=swung(hit.start, piece.swing, meter, downbeat)) for hit in lead_in_bar(meter, bar)
    )
    return (*before, *fill, *(click for click in clicks if click.start >= downbeat))


def _click_part(piece: Piece, clicks: tuple[Hit, ...]) -> Part:
    """Return the click, as loud and as placed as the drums: percussion is one instrument with one volume."""
    drums = next((part for part in piece.parts if part.role is Role.DRUMS), Part(Role.DRUMS))
    return replace(drums, role=Role.CLICK, notes=(), hits=clicks, pedals=())
