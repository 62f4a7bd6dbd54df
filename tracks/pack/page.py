"""The practice page of a drill: what stands on it in each key, and the file that a pack holds of it.

Conventions
- A page repeats its music as long as it is played, so it holds one time through; only where the times differ
  (a melody, turns) are all of them written out.
- Turns are the page's own business: it is given the music throughout, and who is silent when is chosen there.
- The words are those of the voiced drill: the same chords, calls and moves that `show` tells.
"""

from dataclasses import replace
from pathlib import Path

from tracks.drill.drill import Drill, Form
from tracks.drill.in_key import DrillInKey, in_each_key, record
from tracks.export.page.html import to_html
from tracks.export.page.page import Page, PageChord, PageHand, PageKey
from tracks.hands.motion import matching
from tracks.model import Hand, Piece, Role, VoicedChord
from tracks.notation.words import for_paper
from tracks.pack.folder import PackFile
from tracks.pack.sheets import sheet
from tracks.practice.arrange import arrange, unrolled
from tracks.style import Style


def page_file(drill: Drill, style: Style, soundfont: Path | None = None) -> PackFile:
    """Return the practice page of a drill, all its keys in one file.

    With a SoundFont, the page plays notes recorded from it. Raises RequestError as `arrange` does.
    """
    sounds = None
    if soundfont:
        from tracks.export.page.recorded import recorded_notes

        sounds = recorded_notes(soundfont)
    about: dict[str, object] = {"key": None, "mix": None, "bpm": None}
    return PackFile(f"{drill.name}.html", to_html(page(drill, style), sounds), about)


def page(drill: Drill, style: Style) -> Page:
    """Return what stands on a drill's page."""
    keys = in_each_key(drill)
    once = _once(drill, style, keys[0])
    written = [_written_out(in_key, drill.repeats if once is drill else 1) for in_key in keys]
    plain = replace(once, repeats=1)
    head = sheet(plain, written[0], style)
    return Page(
        name=drill.name,
        title=head.title,
        about=head.about,
        texture=drill.texture.value,
        style=style.info.name,
        meter=written[0].changes.meter,
        pickup=written[0].changes.pickup,
        length=written[0].changes.length,
        tempos=tuple(sorted(set(drill.tempos))),
        count_in=drill.count_in,
        click=drill.click,
        form=drill.form.value,
        turn=drill.bars_in_turn,
        keys=tuple(_key(plain, style, in_key) for in_key in written),
    )


def _once(drill: Drill, style: Style, in_key: DrillInKey) -> Drill:
    """Return the drill played once, or as it is where its times through are not alike."""
    bpm = drill.tempos[0] if style.info.follows_tempo else None
    parts = arrange(drill, style, in_key.changes, in_key.chords, bpm).parts
    differs = drill.form is not Form.PLAIN or any(part.role is Role.MELODY for part in parts)
    return drill if differs else replace(drill, repeats=1)


def _written_out(in_key: DrillInKey, repeats: int) -> DrillInKey:
    changes, chords = unrolled(in_key.changes, in_key.chords, repeats)
    return replace(in_key, changes=changes, chords=chords)


def _key(drill: Drill, style: Style, in_key: DrillInKey) -> PageKey:
    made = sheet(drill, in_key, style)
    return PageKey(
        in_key.key.name,
        in_key.key.sign,
        made.score,
        _chords(made.rows, in_key),
        _pieces(drill, style, in_key),
    )


def _pieces(drill: Drill, style: Style, in_key: DrillInKey) -> tuple[Piece, ...]:
    if not style.info.follows_tempo:
        return (arrange(drill, style, in_key.changes, in_key.chords),)
    return tuple(
        replace(arrange(drill, style, in_key.changes, in_key.chords, bpm), bpm=bpm)
        for bpm in sorted(set(drill.tempos))
    )


def _chords(rows: tuple[tuple[str, str, str, str, str], ...], in_key: DrillInKey) -> tuple[PageChord, ...]:
    told = record(in_key)["chords"]
    calls = [chord.get("call") or "" for chord in told] if isinstance(told, list) else []
    before = _heard_before(in_key.chords)
    return tuple(
        PageChord(
            start=voiced.at.start,
            length=voiced.at.length,
            place=place,
            symbol=symbol if voiced.at.chord else "",
            numeral=numeral,
            say=say,
            call=call,
            moves=moves,
            right=_hand(old.right if old else None, voiced.right),
            left=_hand(old.left if old else None, voiced.left),
        )
        for old, voiced, call, (place, symbol, numeral, say, moves) in zip(
            before, in_key.chords, calls, rows, strict=True
        )
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
