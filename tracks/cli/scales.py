"""The chord scales that `show --scales` prints: for people a table, for machines fields of every chord."""

from collections.abc import Iterator
from typing import Any

from rich.table import Table

from tracks.cli.table import table_of
from tracks.drill.in_key import DrillInKey, beat_of
from tracks.model import ChordAt
from tracks.theory.chord_kinds import BY_NAME
from tracks.theory.chord_scales import Scale, avoid_notes, chord_scales, guide_tones, scale
from tracks.theory.note_names import NoteNames
from tracks.theory.numeral_name import numeral_name
from tracks.theory.pitch import Tone, signs

_BARS_OF_A_BLUES, _BAR_OF_ITS_FOUR = 12, 5
_OTHER_NAMES = {"Ionian": "major", "Aeolian": "natural minor"}


_HEADINGS = ("Bar", "Chord", "Scale to improvise on", "Guide tones", "Pass over")


def scales_table(in_key: DrillInKey, names: NoteNames) -> Table:
    """Return the scale of every chord in its key, other scales for its kind, guide tones, notes to avoid."""
    return table_of(_HEADINGS, tuple(_rows(in_key, names)), "Scale to improvise on")


def scales_list(in_key: DrillInKey, names: NoteNames) -> str:
    """Return the same as lines, for a screen that is too narrow for a table."""
    blocks = []
    for bar, chord, scales, guides, over in _rows(in_key, names):
        lines = [f"Bar {bar}: {' '.join(chord.split())}", *(f"  {line}" for line in scales.splitlines())]
        told = zip(_HEADINGS[3:], (guides, over), strict=True)
        lines += [f"  {heading}: {cell}" for heading, cell in told if cell]
        blocks.append("\n".join(lines) + "\n")
    return "\n".join(blocks)


def _rows(in_key: DrillInKey, names: NoteNames) -> Iterator[tuple[str, ...]]:
    """Yield the cells of each chord; one that comes again in the same key is not told again."""
    told = set()
    for voiced in in_key.chords:
        at, chord = voiced.at, voiced.at.chord
        if chord is None or (chord.symbol, at.key) in told:
            continue
        told.add((chord.symbol, at.key))
        beat = beat_of(voiced, in_key.changes)
        first, *others = chord_scales(chord, at.key)
        lines = [
            f"{_named(first)}: {_tones(first.tones)}",
            *(f"or {_named(other)}: {_tones(other.tones)}" for other in others),
        ]
        cells = (
            f"{at.bar}" if beat == 1 else f"{at.bar}.{beat:g}",
            f"{signs(chord.symbol)}\n{signs(numeral_name(chord, at.key))}\n",
            "\n".join(lines),
            _tones(guide_tones(chord)),
            _tones(avoid_notes(chord, first)),
        )
        yield tuple(map(names.printed, cells))


def words_on_scales(in_key: DrillInKey, names: NoteNames) -> str:
    """Return what is said under the table; on a blues with the blues scale, which serves all of it."""
    words = (
        "The first scale lies nearest to the key. Guide tones tell the harmony: the third, and the seventh "
        "or sixth. What lies a half step above a chord tone is to pass over, not to stay on; the flat nine "
        "and thirteen of a dominant are its colors.\n"
    )
    if not _is_blues(in_key):
        return names.printed(words)
    blues = scale("blues", in_key.key.tonic)
    return names.printed(f"{words}Over the whole blues: {_named(blues)}: {_tones(blues.tones)}\n")


def _is_blues(in_key: DrillInKey) -> bool:
    """Whether the tonic's own chord is a dominant seventh, or twelve bars go to a minor iv in the fifth.

    The first is the blues's way, the second the minor blues's (convention).
    """
    key, changes = in_key.key, in_key.changes
    if key.is_minor and (changes.length - changes.pickup) == _BARS_OF_A_BLUES * changes.meter.bar:
        fifth_bar = next(voiced.at.chord for voiced in in_key.chords if voiced.at.bar == _BAR_OF_ITS_FOUR)
        return bool(fifth_bar and fifth_bar.root == key.degree(4) and fifth_bar.factor(3) == key.degree(6))
    dominant = BY_NAME["dominant"].intervals
    chords = (voiced.at.chord for voiced in in_key.chords)
    return any(chord and chord.root == key.tonic and chord.intervals == dominant for chord in chords)


def with_scales(record: dict[str, Any], in_key: DrillInKey) -> dict[str, Any]:
    """Return a record with the scales, guide tones and notes to avoid of every chord; ASCII names."""
    chords = zip(record["chords"], in_key.chords, strict=True)
    return {**record, "chords": [{**chord, **_fields(voiced.at)} for chord, voiced in chords]}


def _fields(at: ChordAt) -> dict[str, object]:
    chord = at.chord
    if chord is None:
        return {"scales": [], "guide_tones": []}
    scales = [
        {"name": each.name, "tones": _names(each.tones), "avoid": _names(avoid_notes(chord, each))}
        for each in chord_scales(chord, at.key)
    ]
    return {"scales": scales, "guide_tones": _names(guide_tones(chord))}


def _named(scale: Scale) -> str:
    root, _, kind = scale.name.partition(" ")
    other = _OTHER_NAMES.get(kind)
    return f"{signs(root)} {signs(kind)}" + (f" ({other})" if other else "")


def _tones(tones: tuple[Tone, ...]) -> str:
    return " ".join(tone.sign for tone in tones)


def _names(tones: tuple[Tone, ...]) -> list[str]:
    return [tone.name for tone in tones]
