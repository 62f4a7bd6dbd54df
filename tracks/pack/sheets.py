"""Sheets of a drill: what stands on paper in each key, and the files that a pack holds of it.

Conventions
- A sheet shows one time through as the style plays it, but as written: even halves, no human feel.
- The words are those of the voiced drill: the same chords, inversions and moves that `show` tells.
- A goal and a ladder to tick belong to a style's sheet; where every chord is simply held, no tempo was asked.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from tracks.drill.drill import Climb, Drill, Mix
from tracks.drill.in_key import DrillInKey, beat_of
from tracks.export.musicxml import musicxml
from tracks.export.sheet import Goal, Row, Sheet, pdf, png, svg
from tracks.extras import need
from tracks.model import NO_HEADING, Heading, PaperSize, Part, Role, VoicedChord
from tracks.notation.explained import explained, legend
from tracks.notation.held import held_parts
from tracks.notation.score import LISTEN, YOUR_TURN, Score, score
from tracks.notation.words import for_paper, say, say_call, say_left_out, say_right_hand
from tracks.pack.about import about, beat_name, felt_beat, title_of
from tracks.pack.folder import NO_RUNG, PackFile
from tracks.practice.choruses import on_paper
from tracks.practice.explaining import check_explains, whys
from tracks.practice.forms import turns_taken
from tracks.practice.naming import sheet_path
from tracks.practice.played import Played
from tracks.safety import CAUTION
from tracks.style import Style
from tracks.theory.errors import RequestError
from tracks.theory.meter import Time
from tracks.theory.pitch import Pitch


def sheet_files(drill: Drill, every: Iterable[Played], heading: Heading = NO_HEADING) -> Iterator[PackFile]:
    """Yield the sheets of a drill: PDF and MusicXML for every key, and one PDF of all where they are several.

    The PDFs are on the drill's paper, and in large print where it asks for it.
    """
    large, paper = drill.large_print, drill.paper
    sheets = []
    for played in every:
        made = played_sheet(played, heading)
        sheets.append(made)
        about = {**NO_RUNG, "key": played.key.name}
        yield PackFile(sheet_path(drill, played.key, "pdf"), pdf([made], large, paper), about)
        edited = musicxml(made.score, drill.tempos[-1])
        yield PackFile(sheet_path(drill, played.key, "musicxml"), edited, about)
    if len(sheets) > 1:
        yield PackFile(sheet_path(drill, None, "pdf"), pdf(sheets, large, paper), NO_RUNG)


def pages(
    file: Path,
    sheets: Sequence[Sheet],
    large: bool = False,
    paper: PaperSize = PaperSize.A4,
) -> dict[Path, bytes]:
    """Return sheets as a file's ending asks: each file's place and content.

    A picture holds one page, so where there are more, `sheet.png` is followed by `sheet-2.png` and so on.
    Raises RequestError for an ending that is none of a sheet's, for several keys in one MusicXML file, and
    for a folder that is not there.
    """
    ending = file.suffix.lower()
    if ending not in _WRITERS:
        raise RequestError(f"the file {file} must end in {', '.join(_WRITERS)}", place="sheet")
    if ending != ".musicxml":
        need("sheets", "sheet")
    if not file.parent.is_dir():
        raise RequestError(f"there is no folder {file.parent}", "make it first", "sheet")
    if ending == ".musicxml" and len(sheets) > 1:
        raise RequestError(f"{file}: a MusicXML file holds one key", "ask for one, or for a .pdf", "sheet")
    contents = _WRITERS[ending](sheets, large, paper)
    return {
        file if number == 1 else file.with_stem(f"{file.stem}-{number}"): content
        for number, content in enumerate(contents, start=1)
    }


def _pdf(sheets: Sequence[Sheet], large: bool, paper: PaperSize) -> list[bytes]:
    return [pdf(sheets, large, paper)]


def _musicxml(sheets: Sequence[Sheet], _large: bool, _paper: PaperSize) -> list[bytes]:
    return [musicxml(sheets[0].score)]


_WRITERS: dict[str, Callable[[Sequence[Sheet], bool, PaperSize], list[bytes]]] = {
    ".pdf": _pdf,
    ".svg": svg,
    ".png": png,
    ".musicxml": _musicxml,
}


def sheet(drill: Drill, in_key: DrillInKey, style: Style | None = None) -> Sheet:
    """Return the sheet of a drill in one key, as a style plays it or with every chord simply held."""
    if style:
        return played_sheet(Played(drill, style, in_key))
    return _sheet(drill, in_key, held_parts(in_key.chords), None)


def played_sheet(played: Played, heading: Heading = NO_HEADING) -> Sheet:
    """Return the sheet of a drill in one key as a style plays it at the top tempo, in the drill's form."""
    drill = played.drill
    written = played.written(drill.tempos[-1])
    taken, starts = turns_taken(written, drill)
    turns = {start: YOUR_TURN if yours else LISTEN for start, yours in starts.items()}
    choruses, in_key = on_paper(drill, played.in_key, taken, starts)
    made = _sheet(choruses, in_key, taken.parts, played.style, turns)
    if drill.explain:
        check_explains(played.style, written)
        told = explained(made.score, whys(taken))
        made = replace(made, score=told, legend=legend(told))
    rows = made.rows[: len(played.in_key.chords)]  # the next times through have the same chords
    hands = _practiced(_hands(written.parts), drill)
    return replace(made, rows=rows, hands=hands, heading=heading)


def tune_sheet(played: Played) -> Sheet:
    """Return the sheet of a tune to read, without a goal or boxes: no tempo was asked for it."""
    return replace(played_sheet(played), goal=None, rungs=())


def _sheet(
    drill: Drill,
    in_key: DrillInKey,
    parts: tuple[Part, ...],
    style: Style | None,
    turns: Mapping[Time, str] | None = None,
) -> Sheet:
    title = title_of(drill)
    key = drill.note_names.printed(for_paper(in_key.key.name))
    written = score(f"{title}, {key}", in_key.changes, in_key.chords, parts, turns, drill.note_names)
    return Sheet(
        title=title,
        key=key,
        about=about(drill, title, style, in_key),
        goal=_goal(drill) if style else None,
        rungs=tuple(sorted(set(drill.tempos))) if style else (),
        hands=_hands(parts),
        rows=tuple(_row(place, written, in_key, parts) for place in range(len(written.chords))),
        score=written,
        caution=CAUTION,
    )


def _goal(drill: Drill) -> Goal:
    return Goal(*felt_beat(drill.meter), drill.tempos[-1], beat_name(drill))


def _hands(parts: tuple[Part, ...]) -> tuple[str, ...]:
    playing = (role for role in (Role.RIGHT, Role.MELODY, Role.LEFT) if _plays(role, parts))
    hands = [role.value.capitalize() for role in playing]
    return (*hands, "Hands together") if len(hands) > 1 else tuple(hands)


_PRACTICED_BY = (
    (("Right hand", "Melody"), {Mix.RIGHT_ALONE, Mix.YOU_PLAY_RIGHT}),
    (("Left hand",), {Mix.LEFT_ALONE, Mix.YOU_PLAY_LEFT}),
    (("Hands together",), {Mix.HANDS_TOGETHER, Mix.PANNED_APART}),
)


def _practiced(hands: tuple[str, ...], drill: Drill) -> tuple[str, ...]:
    """Return the hands that a drill has a track for, all of them where it names no mixes."""
    if not drill.mixes or drill.climb is Climb.HANDS_IN_TURN:
        return hands
    asked = [name for names, mixes in _PRACTICED_BY if mixes & set(drill.mixes) for name in names]
    return tuple(hand for hand in hands if hand in asked) or hands


def _row(place: int, written: Score, in_key: DrillInKey, parts: tuple[Part, ...]) -> Row:
    voiced, names = written.chords[place], written.names
    beat = beat_of(voiced, in_key.changes)
    struck = _struck_lowest(voiced, parts)
    # What comes after the right hand's sentence tells of the charted left hand: true only where it is played.
    left_as_charted = voiced.left is None or (
        struck is not None and struck.midi == voiced.left.pitches[0].midi
    )
    moves = voiced.moves if left_as_charted else voiced.moves[:1]
    bass = struck.tone if struck else None
    right_plays = _plays(Role.RIGHT, parts)
    shape = say_right_hand(voiced, bass) if right_plays else ""
    call = say_call(voiced, right_as_charted=right_plays, left_as_charted=left_as_charted)
    return Row(
        place=f"{voiced.at.bar}" if beat == 1 else f"{voiced.at.bar}.{beat:g}",
        chord=written.symbols[place],
        numeral=written.numerals[place],
        say=names.printed("\n".join(filter(None, (say(voiced, bass), shape, call)))),
        moves=names.printed(for_paper("; ".join(filter(None, (*moves, _left_out(voiced, parts)))))),
    )


def _left_out(voiced: VoicedChord, parts: tuple[Part, ...]) -> str:
    """Return the sentence of the tones that neither hand plays while the chord lasts, as the style has it."""
    if not _plays(Role.RIGHT, parts):
        return ""
    below = [
        note.pitch
        for part in parts
        if part.role is Role.LEFT
        for note in part.notes
        if voiced.at.start <= note.start < voiced.at.end
    ]
    return say_left_out(voiced, below)


def _plays(role: Role, parts: tuple[Part, ...]) -> bool:
    return any(part.role is role and part.notes for part in parts)


def _struck_lowest(voiced: VoicedChord, parts: tuple[Part, ...]) -> Pitch | None:
    """Return the lowest note that the left hand strikes as the chord begins, None where it strikes none."""
    struck = [
        note.pitch
        for part in parts
        if part.role is Role.LEFT
        for note in part.notes
        if note.start == voiced.at.start
    ]
    return min(struck, key=lambda pitch: pitch.midi, default=None)
