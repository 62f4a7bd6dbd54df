"""The table that `show` prints: a chord a row, for a person at the piano."""

from collections.abc import Sequence
from itertools import zip_longest

from rich import box
from rich.markup import escape
from rich.table import Table

from tracks.drill.in_key import DrillInKey, beat_of
from tracks.model import Hand, Texture, VoicedChord
from tracks.notation.words import position, say_call, say_left_out
from tracks.theory.note_names import NoteNames
from tracks.theory.numeral_name import numeral_name
from tracks.theory.pitch import signs

_INVERSIONS = ("root", "1st inv", "2nd inv", "3rd inv")


def in_key_table(in_key: DrillInKey, texture: Texture, names: NoteNames) -> Table:
    """Return the table of a drill in a key: the numeral under each chord, the fingers under the notes."""
    rows: list[tuple[str, ...]] = []
    # Over a bass the chord's own position is the bass's; what is told is the shape of the right hand.
    whose = "Position" if texture is Texture.DOUBLED else "RH position"
    keys_change = any(voiced.at.key != in_key.key for voiced in in_key.chords)
    key = in_key.chords[0].at.key
    for voiced in in_key.chords:
        if keys_change and (voiced.at.key != key or voiced is in_key.chords[0]):
            key = voiced.at.key
            rows.append(("", f"{names.printed(key.sign)}:"))
        rows.append(_row(voiced, in_key, names))
    return table_of(("Bar", "Chord", "Right hand", whose, "Left hand", "What moves"), rows, "What moves")


def table_of(headings: Sequence[str], rows: Sequence[tuple[str, ...]], wraps: str) -> Table:
    """Return a table of rows of text, of which one column may be broken into lines, with room for a word."""
    table = Table(box=box.SIMPLE, pad_edge=False, show_lines=False)
    for heading, *cells in zip_longest(headings, *rows, fillvalue=""):
        widest = max(len(line) for cell in (heading, *cells) for line in cell.split("\n"))
        # The library takes a cell that is not to be broken for as narrow as its widest word.
        table.add_column(
            heading, no_wrap=heading != wraps, min_width=_LONGEST_WORD if heading == wraps else widest
        )
    for row in rows:
        # A numeral's brackets are no markup; a row of two cells is the name of a key.
        table.add_row(*map(escape, row), style="bold" if len(row) == _KEY_ROW else None)
    return table


_LONGEST_WORD, _KEY_ROW = 20, 2


def in_key_list(in_key: DrillInKey, names: NoteNames) -> str:
    """Return the same as lines, for a screen that is too narrow for a table."""
    blocks = []
    for voiced in in_key.chords:
        place, chord, *cells = _row(voiced, in_key, names)
        if len(cells) < len(_CELLS):
            blocks.append(f"{place}: silence\n")
            continue
        lines = [f"Bar {place}: {' '.join(chord.split())}"]
        for heading, cell in zip(_CELLS, cells, strict=True):
            first, _, second = cell.rstrip().partition("\n")
            link = "; " if heading == "moves" else ", fingers "
            said = link.join(filter(None, (first, " ".join(second.split()))))
            lines += [f"  {heading}: {said}"] if said else []
        blocks.append("\n".join(lines) + "\n")
    return "\n".join(blocks)


_CELLS = ("right", "shape", "left", "moves")


def _row(voiced: VoicedChord, in_key: DrillInKey, names: NoteNames) -> tuple[str, ...]:
    beat = beat_of(voiced, in_key.changes)
    place = f"{voiced.at.bar}" if beat == 1 else f"{voiced.at.bar}.{beat:g}"
    chord = voiced.at.chord
    if not chord or not voiced.right or not voiced.left:
        return place, "N.C.\n", "silence"
    return (
        place,
        f"{names.printed(signs(chord.symbol))}\n{signs(numeral_name(chord, voiced.at.key))}\n",
        _played(voiced.right, names),
        position(chord, voiced.right.pitches[0].tone, _INVERSIONS),
        _played(voiced.left, names),
        names.printed(_told(voiced)),
    )


def _told(voiced: VoicedChord) -> str:
    """Return the call, under it what moves and what is left out, and a line to keep the rows apart."""
    sentences = signs("; ".join(filter(None, (*voiced.moves, say_left_out(voiced)))))
    return "\n".join(filter(None, (say_call(voiced), sentences))) + "\n"


def _played(hand: Hand, names: NoteNames) -> str:
    """Return the notes of a hand, and under each its finger."""
    notes = [names.printed(pitch.sign) for pitch in hand.pitches]
    fingers = [f"{finger:<{len(note)}}" for finger, note in zip(hand.fingers, notes, strict=True)]
    return " ".join(notes) + "\n" + " ".join(fingers)
