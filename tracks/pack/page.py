"""The practice page of a drill: what stands on it in each key, and the file that a pack holds of it.

Conventions
- A page repeats its music as long as it is played, so it holds one time through; only where the times differ
  (a melody, turns) are all of them written out.
- A page goes round and round, so no ending is on it but the last chord, held.
- Turns are the page's own business: it is given the music throughout, and who is silent when is chosen there.
- The words are those of the voiced drill: the same chords, calls and moves that `show` tells. They are given
  in English names, which the page's script puts into its reader's language; what is drawn stays as printed.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from tracks.drill.drill import Drill, Ending, Form
from tracks.drill.in_key import DrillInKey, record
from tracks.export.page.html import to_html
from tracks.export.page.page import Page, PageChord, PageHand, PageKey
from tracks.export.sheet import Row
from tracks.hands.motion import matching
from tracks.model import NO_HEADING, Hand, Heading, Piece, Role, VoicedChord
from tracks.notation.words import for_paper
from tracks.pack.folder import NO_RUNG, PackFile
from tracks.pack.sheets import played_sheet
from tracks.practice.arrange import unrolled, with_drills_feel
from tracks.practice.naming import page_path
from tracks.practice.played import Played
from tracks.theory.note_names import NoteNames


def page_file(
    drill: Drill,
    every: Iterable[Played],
    soundfont: Path | None = None,
    heading: Heading = NO_HEADING,
) -> PackFile:
    """Return the practice page of a drill as it is played in each key, all in one file.

    With a SoundFont, the page plays notes recorded from it. Raises RequestError as `Played` does.
    """
    sounds = None
    if soundfont:
        from tracks.export.page.recorded import recorded_notes

        sounds = recorded_notes(soundfont)
    about = {**NO_RUNG, "kind": "page"}
    return PackFile(page_path(drill), to_html(page(drill, tuple(every), heading), sounds), about)


def page(drill: Drill, every: Sequence[Played], heading: Heading = NO_HEADING) -> Page:
    """Return what stands on a drill's page; it is played in one key at least."""
    repeats = drill.repeats if _times_differ(drill, every[0]) else 1
    written = [_written_out(played, repeats) for played in every]
    head, changes = played_sheet(written[0]), written[0].in_key.changes
    return Page(
        name=drill.name,
        title=head.title,
        about=head.about,
        texture=drill.texture.value,
        style=drill.style,
        meter=changes.meter,
        pickup=changes.pickup,
        length=changes.length,
        tempos=tuple(sorted(set(drill.tempos))),
        count_in=drill.count_in,
        click=drill.click,
        form=drill.form.value,
        turn=drill.bars_in_turn,
        keys=tuple(_key(played) for played in written),
        heading=heading,
        language="de" if drill.note_names is NoteNames.GERMAN else "",
    )


def _times_differ(drill: Drill, played: Played) -> bool:
    """Whether a time through is not like the others: who plays takes turns, or a tune goes on."""
    parts = played.written(drill.tempos[-1]).parts
    return drill.form is not Form.PLAIN or any(part.role is Role.MELODY and part.notes for part in parts)


def _written_out(played: Played, repeats: int) -> Played:
    """Return the drill played once, over changes that hold so many times through, and without an ending."""
    once = replace(played.drill, repeats=1, ending=Ending.PLAIN)
    if played.drill == once:
        return played
    in_key = played.in_key
    changes, chords = unrolled(in_key.changes, in_key.chords, repeats)
    return Played(once, played.style, replace(in_key, changes=changes, chords=chords))


def _key(played: Played) -> PageKey:
    names, in_key = played.drill.note_names, played.in_key
    in_english = replace(played.drill, note_names=NoteNames.ENGLISH)
    made = played_sheet(Played(in_english, played.style, in_key))
    score = replace(made.score, numerals=tuple(map(names.printed, made.score.numerals)), names=names)
    rows = (
        row._replace(chord=symbol, numeral=numeral)
        for row, symbol, numeral in zip(made.rows, score.symbols, score.numerals, strict=True)
    )
    chords = _chords(rows, in_key)
    return PageKey(in_key.key.name, in_key.key.sign, score, chords, tuple(_pieces(played)))


def _pieces(played: Played) -> Iterator[Piece]:
    """Yield the piece as it sounds throughout, whoever takes turns: one, or one for every tempo."""
    drill, style = played.drill, played.style
    if not style.info.follows_tempo:
        yield with_drills_feel(played.written(None), drill, style)
        return
    for bpm in sorted(set(drill.tempos)):
        yield replace(with_drills_feel(played.written(bpm), drill, style, bpm), bpm=bpm)


def _chords(rows: Iterable[Row], in_key: DrillInKey) -> tuple[PageChord, ...]:
    told = record(in_key)["chords"]
    calls = [chord.get("call") or "" for chord in told] if isinstance(told, list) else []
    before = _heard_before(in_key.chords)
    return tuple(
        PageChord(
            start=voiced.at.start,
            length=voiced.at.length,
            place=row.place,
            symbol=row.chord if voiced.at.chord else "",
            numeral=row.numeral,
            say=row.say,
            call=call,
            moves=row.moves,
            right=_hand(old.right if old else None, voiced.right),
            left=_hand(old.left if old else None, voiced.left),
        )
        for old, voiced, call, row in zip(before, in_key.chords, calls, rows, strict=True)
    )


def _heard_before(chords: tuple[VoicedChord, ...]) -> list[VoicedChord | None]:
    """Return for each chord the one that was held before it, past any silence."""
    before: list[VoicedChord | None] = []
    held = None
    for voiced in chords:
        before.append(held)
        held = voiced if voiced.right or voiced.left else held
    return before


def _hand(before: Hand | None, hand: Hand | None) -> PageHand:
    if not hand:
        return PageHand()
    midi = tuple(pitch.midi for pitch in hand.pitches)
    moves = matching([pitch.midi for pitch in before.pitches], midi) if before else ()
    return PageHand(midi, hand.fingers, tuple(for_paper(pitch.name) for pitch in hand.pitches), moves)
