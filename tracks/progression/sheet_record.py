"""A lead sheet as plain values and back, so that a drill can hold a piece of music itself.

Format
- `bars` and `chords` follow one another from the beginning, so that only their lengths stand; lengths and the
  moments of `repeats` are in ticks, 10,080 to a quarter note (`tracks.theory.meter`).
- A bar has its printed number, its meter, and `ending` 1 or 2 where it lies in one; a chord without text is
  silence. What a reader remarked is not part of the music.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from tracks.progression.lead_sheet import LeadSheet, SheetBar, SheetChord, SheetRepeat
from tracks.progression.written import read, writing_of
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import Meter
from tracks.theory.pitch import Tone


def sheet_record(sheet: LeadSheet) -> dict[str, object]:
    """Return a lead sheet as values that JSON holds."""
    return {
        "title": sheet.title,
        "bars": [
            {"number": bar.number, "length": bar.length, "meter": str(bar.meter), "ending": bar.ending}
            for bar in sheet.bars
        ],
        "chords": [
            {"text": chord.text, "length": chord.length, "key": chord.key.name if chord.key else None}
            for chord in sheet.chords
        ],
        "repeats": [
            {"start": r.start, "end": r.end, "leave": r.leave, "times": r.times} for r in sheet.repeats
        ],
    }


def sheet_from_record(record: Mapping[str, object]) -> LeadSheet:
    """Return the lead sheet of a record; raise RequestError for what is none."""
    try:
        bars = tuple(_bars(_rows(record, "bars")))
        chords = tuple(_chords(_rows(record, "chords")))
        repeats = tuple(
            SheetRepeat(*(_whole(row, name) for name in ("start", "end", "leave", "times")))
            for row in _rows(record, "repeats")
        )
        title = _text(record, "title")
    except KeyError as missing:
        raise RequestError(f"a lead sheet's {missing.args[0]} is missing") from None
    writing = next((writing_of(chord.text) for chord in chords if chord.text), None)
    return LeadSheet(title, writing, bars, chords, repeats)


def _bars(rows: Iterable[Mapping[str, object]]) -> Iterable[SheetBar]:
    start = 0
    for row in rows:
        length, ending = _whole(row, "length"), _whole(row, "ending")
        if ending not in (0, 1, 2):
            raise RequestError(f"ending {ending} is none of 0, 1 and 2")
        yield SheetBar(_whole(row, "number"), start, length, Meter.parse(_text(row, "meter")), ending)
        start += length


def _chords(rows: Iterable[Mapping[str, object]]) -> Iterable[SheetChord]:
    start = 0
    for row in rows:
        text = None if row["text"] is None else _text(row, "text")
        key = None if row["key"] is None else Key.parse(_text(row, "key"))
        if text is not None:
            read(text, writing_of(text), key or Key(Tone(0)))
        length = _whole(row, "length")
        yield SheetChord(text, start, length, key)
        start += length


def _rows(record: Mapping[str, object], name: str) -> list[Mapping[str, Any]]:
    rows = record[name]
    if not isinstance(rows, list | tuple) or not all(isinstance(row, Mapping) for row in rows):
        raise RequestError(f"a lead sheet's {name} are no list of objects")
    return list(rows)


def _whole(row: Mapping[str, object], name: str) -> int:
    value = row[name]
    if type(value) is not int:  # a bool is an int, but no length
        raise RequestError(f"a lead sheet's {name} is no whole number")
    return value


def _text(row: Mapping[str, object], name: str) -> str:
    value = row[name]
    if not isinstance(value, str):
        raise RequestError(f"a lead sheet's {name} is no text")
    return value
