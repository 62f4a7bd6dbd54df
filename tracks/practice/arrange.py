"""Arrange: a drill, a style and voiced changes make a piece.

Conventions
- The piece begins with its pickup at time 0; the count-in, the mix and the tempo come later.
- Every time through plays the same voicings. The pickup leads in again only where the last bar is short
  by it; where that bar is full there is no room, and the next time begins at bar 1.
- The last time through ends as `tracks.practice.endings` says.
- Parts of the band that the drill leaves out are played and then dropped, so that the others stay the same.
- Feel comes last, on what is written: by the style's preference where the drill says nothing.
- One seed gives one source of chance in every key, so a style that thinks in scale steps plays one tune.
- A marker's text is the chord symbol and the numeral, `Bb7/D | V65`; silence is `N.C.`.
"""

from dataclasses import replace

from tracks.drill.drill import Drill, Ending
from tracks.model import (
    Changes,
    ChordAt,
    KeyFrom,
    Marker,
    Part,
    Piece,
    Role,
    VoicedChord,
)
from tracks.practice.endings import (
    FOR_BANDS,
    TEXTS,
    ended,
    from_moment,
    let_go,
    marked,
    part_with_tag,
    slowing,
    tag,
    with_tag,
)
from tracks.style import Brief, Feel, Style
from tracks.style.playing import play
from tracks.theory.errors import RequestError
from tracks.theory.meter import Time
from tracks.theory.numeral_name import numeral_name

SILENCE = "N.C."
"""The marker's text where no chord sounds."""


def arrange(
    drill: Drill, style: Style, changes: Changes, chords: tuple[VoicedChord, ...], bpm: int | None = None
) -> Piece:
    """Return the piece that a style makes of voiced changes, as it sounds: written, then played with feel.

    See `as_written` and `with_drills_feel`.
    """
    return with_drills_feel(as_written(drill, style, changes, chords, bpm), drill, style, bpm)


def as_written(
    drill: Drill, style: Style, changes: Changes, chords: tuple[VoicedChord, ...], bpm: int | None = None
) -> Piece:
    """Return the piece that a style writes of voiced changes, played `drill.repeats` times, without feel.

    `chords` are the changes with both hands, once through. `bpm`, felt beats a minute, reaches only a
    style that follows the tempo. Raises RequestError where the style does not play the drill's meter, texture
    or level, and where what it gives breaks its contract.
    """
    check_plays(style, drill)
    repeated, length = _repeated(changes, chords, drill.repeats)
    brief = Brief(
        chords=repeated,
        meter=changes.meter,
        length=length,
        texture=drill.texture,
        level=drill.level,
        pickup=changes.pickup,
        bpm=bpm if style.info.follows_tempo else None,
        turn=drill.bars_in_turn,
    )
    parts = _played(style, brief, drill.seed)
    again = tag(changes, repeated, length) if drill.ending is Ending.TAG else None
    if again:
        parts = tuple(part_with_tag(part, again, changes.meter) for part in parts)
        repeated, length = with_tag(repeated, again, changes.meter)
    if any(voiced.last for voiced in repeated):
        parts = tuple(ended(part, repeated, brief, drill.ending) for part in parts)
    parts = tuple(part for part in parts if part.role not in drill.without)
    for part in parts:
        _check_reach(part, drill)
    ending = marked(drill.ending, repeated, changes.meter, changes.pickup, again)
    chord_marks = (Marker(voiced.at.start, marker_text(voiced.at)) for voiced in repeated)
    return Piece(
        title=drill.name,
        meter=changes.meter,
        keys=_keys(repeated),
        length=length,
        music_from=changes.pickup,
        parts=parts,
        markers=tuple(sorted((*ending, *chord_marks), key=lambda marker: marker.start)),
        paces=slowing(repeated, changes.meter) if drill.ending is Ending.RITARDANDO else (),
    )


def unrolled(
    changes: Changes, chords: tuple[VoicedChord, ...], repeats: int, ending: Ending = Ending.PLAIN
) -> tuple[Changes, tuple[VoicedChord, ...]]:
    """Return changes and chords with every time through written out, and a tag, as `arrange` plays them."""
    repeated, length = _repeated(changes, chords, repeats)
    if ending is Ending.TAG:
        repeated, length = with_tag(repeated, tag(changes, repeated, length), changes.meter)
    return replace(changes, chords=tuple(voiced.at for voiced in repeated), length=length), repeated


def with_drills_feel(piece: Piece, drill: Drill, style: Style, bpm: int | None = None) -> Piece:
    """Return a written piece as a band plays it: by the drill's word on feel, else by the style's."""
    from tracks.patterns.feel import swing_of, with_feel

    feel = style.info.feel or Feel(unasked=False)
    if drill.feel is False or (drill.feel is None and not feel.unasked):
        return replace(piece, swing=swing_of(piece, Feel(), bpm))

    # Feel moves what is written, so of the brief it needs the times alone.
    times = Brief((), piece.meter, piece.length, drill.texture, drill.level, piece.music_from, bpm)
    harmonies = let_go(_harmonies(piece), piece, drill.ending)
    parts = with_feel(piece.parts, feel, drill.seed, times, bpm, harmonies)
    return replace(piece, parts=parts, swing=swing_of(piece, feel, bpm))


def _harmonies(piece: Piece) -> tuple[tuple[Time, Time], ...]:
    """Return the start and end of each chord that sounds in a piece without a count-in."""
    markers = [marker for marker in piece.markers if marker.text not in TEXTS.values()]
    ends = (*(marker.start for marker in markers[1:]), piece.length)
    chords = zip(markers, ends, strict=True)
    return tuple((marker.start, end) for marker, end in chords if marker.text != SILENCE)


def check_plays(style: Style, drill: Drill) -> None:
    """Raise RequestError, with what the style plays, where that is not what the drill asks for."""
    info = style.info
    if drill.meter not in info.meters:
        raise RequestError(
            f"style {info.name} does not play {drill.meter}",
            f"it plays {', '.join(map(str, info.meters))}",
            "meter",
        )
    if drill.texture not in info.textures:
        played = ", ".join(texture.value for texture in info.textures)
        raise RequestError(
            f"style {info.name} does not play {drill.texture.value}", f"it plays {played}", "texture"
        )
    if drill.ending in FOR_BANDS and not {Role.BASS, Role.DRUMS} & set(info.roles):
        raise RequestError(
            f"style {info.name} has no band to play a {drill.ending.value}",
            "choose ritardando, or a style with bass or drums",
            "ending",
        )
    if drill.level > len(info.levels):
        count = f"{len(info.levels)} levels" if len(info.levels) > 1 else "one level only"
        raise RequestError(f"style {info.name} has no level {drill.level}", f"it has {count}", "level")


def marker_text(at: ChordAt) -> str:
    """Return a chord's marker: its symbol and, where it has one, its numeral; `N.C.` in silence."""
    if at.chord is None:
        return SILENCE
    # ASCII, as the standard has text: a player that reads Latin-1 prints other letters for the signs.
    numeral = numeral_name(at.chord, at.key)
    return f"{at.chord.symbol} | {numeral}" if numeral else at.chord.symbol


def _repeated(
    changes: Changes, chords: tuple[VoicedChord, ...], repeats: int
) -> tuple[tuple[VoicedChord, ...], Time]:
    """Return the chords of every time through, the last that sounds marked, and their length."""
    bar, pickup = changes.meter.bar, changes.pickup
    room_for_pickup = pickup and changes.length % bar == 0
    again = chords if room_for_pickup else tuple(from_moment(pickup, chords))
    step = changes.length - (0 if room_for_pickup else pickup)
    unrolled = [replace(voiced, last=False) for voiced in chords]
    for time in range(1, repeats):
        for voiced in again:
            at = replace(
                voiced.at, start=voiced.at.start + time * step, bar=voiced.at.bar + time * (step // bar)
            )
            unrolled.append(replace(voiced, at=at, last=False))
    for place in range(len(unrolled) - 1, -1, -1):
        if unrolled[place].at.chord:
            unrolled[place] = replace(unrolled[place], last=True)
            break
    return tuple(unrolled), changes.length + (repeats - 1) * step


def _played(style: Style, brief: Brief, seed: int) -> tuple[Part, ...]:
    from random import Random

    name = style.info.name
    parts = play(style, brief, Random(seed))
    roles = [part.role for part in parts]
    for role in roles:
        if role not in style.info.roles:
            raise RequestError(f"style {name} gave a part for the {role.value}, which it does not declare")
        if roles.count(role) > 1:
            raise RequestError(f"style {name} gave two parts for the {role.value}")
    for part in parts:
        ends = [note.end for note in part.notes] + [hit.start + 1 for hit in part.hits]
        if max(ends, default=0) > brief.length:
            raise RequestError(f"style {name}: the {part.role.value} plays on after the piece has ended")
    return parts


def _keys(chords: tuple[VoicedChord, ...]) -> tuple[KeyFrom, ...]:
    keys: list[KeyFrom] = []
    for voiced in chords:
        if not keys or voiced.at.key != keys[-1].key:
            keys.append(KeyFrom(voiced.at.start, voiced.at.key))
    return tuple(keys)


def _check_reach(part: Part, drill: Drill) -> None:
    """Raise RequestError where a hand would strike a wider chord than the drill's hand holds."""
    if part.role not in (Role.RIGHT, Role.LEFT):
        return
    struck: dict[Time, list[int]] = {}
    for note in part.notes:
        struck.setdefault(note.start, []).append(note.pitch.midi)
    widest = max((max(midi) - min(midi) for midi in struck.values()), default=0)
    if widest > drill.hand:
        raise RequestError(
            f"style {drill.style}, level {drill.level}: the {part.role.value} reaches {widest} half steps, "
            f"more than the hand of {drill.hand}",
            "choose an easier level, or a wider hand if it is at ease",
            "hand",
        )
