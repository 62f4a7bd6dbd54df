"""RomanText out: a lead sheet, or the changes of a progression, as text that other programs read.

Conventions
- One line a measure, a beat mark before each chord that does not begin its bar; a bar in which nothing begins
  has no line, but for the last. See `tracks.progression.romantext` for the grammar.
- Changes are written as they are played, each chord as a numeral that music21 reads: a suspension is `[add4]`
  and `[no3]`. A bass foreign to its chord has no sign in RomanText and goes into a Note.
- After a pickup, readers take the last bar to be as much shorter. Where it is not, its last chord is struck
  again; where it is shorter still, the rest of it is silence.
- Silence is `NC`. A lead sheet keeps its own words: one of chord symbols is RomanText in its lines only.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from tracks.model import Changes, ChordAt
from tracks.progression.beat_marks import beat_length, mark_of
from tracks.progression.lead_sheet import LeadSheet, SheetBar, SheetChord
from tracks.progression.written import Writing
from tracks.theory.analysis import numeral_of
from tracks.theory.key import Key
from tracks.theory.meter import Time

_PLAIN = re.compile(
    r"(?:[#b]*(?:[IV]+|[iv]+)(?:o|/o|\+|d)?(?:6|64|7|65|43|42|2|9)?(?:/[#b]*(?:[IV]+|[iv]+))*"
    r"|N6?|It6|Fr43|Ger65|Cad64)"
)


def to_romantext(sheet: LeadSheet) -> str:
    """Return a lead sheet as text; raise RequestError for a chord on a beat that no mark can name."""
    lines = [f"Title: {' '.join(sheet.title.split())}"] if sheet.title else []
    meter, key = None, None
    for bar in sheet.bars:
        if bar.meter != meter:
            meter = bar.meter
            lines.append(f"Time Signature: {meter}")
        words = []
        for word, key_here in _words(sheet, bar):
            if key_here and key_here != key:
                key = key_here
                words.append(_key_word(key))
            words.append(word)
        if words or bar is sheet.bars[-1]:
            lines.append(" ".join([f"m{bar.number}{('', 'a', 'b')[bar.ending]}", *words]))
    return "\n".join(lines) + "\n"


def changes_to_romantext(changes: Changes, title: str = "") -> str:
    """Return the changes of a progression as RomanText, with a Note for each bass that it cannot write."""
    sheet = lead_sheet_of(changes, title)
    lines = to_romantext(sheet).splitlines()
    for at in changes.chords:
        if at.chord and at.chord.bass_is_foreign:
            bar = sheet.bar_at(at.start)
            place = f"m{bar.number} {_mark(bar, at.start, is_first=bar is sheet.bars[0])}"
            lines.append(f"Note: {place} has {at.chord.bass} in the bass")
    return "\n".join(lines) + "\n"


def lead_sheet_of(changes: Changes, title: str = "") -> LeadSheet:
    """Return the lead sheet of changes, in numerals, with the last bar as readers of the format have it."""
    meter, pickup = changes.meter, changes.pickup
    first = 0 if pickup else changes.chords[0].bar
    chords = [SheetChord(_numeral(at), at.start, at.length, at.key) for at in changes.chords]
    whole = -((pickup - changes.length) // meter.bar)
    usual_end = pickup + whole * meter.bar - (pickup if whole else 0)
    end = max(usual_end, changes.length)
    starts = [*([0] if pickup else []), *range(pickup, end, meter.bar)]
    bars = tuple(
        SheetBar(number, start, stop - start, meter)
        for number, (start, stop) in enumerate(pairwise([*starts, end]), first)
    )
    return LeadSheet(title, Writing.NUMERALS, bars, tuple(_ended(chords, usual_end, end)))


def _ended(chords: list[SheetChord], usual_end: Time, end: Time) -> Iterator[SheetChord]:
    """Yield chords to the end: one that lasts past the usual end is struck again there, a short one rests."""
    *before, last = chords
    yield from before
    if last.start < usual_end < last.end:
        yield replace(last, length=usual_end - last.start)
        yield replace(last, start=usual_end, length=last.end - usual_end)
    else:
        yield last
    if last.end < end:
        yield SheetChord(None, last.end, end - last.end, last.key)


def _numeral(at: ChordAt) -> str | None:
    """Return a chord's numeral as every reader of the format knows it."""
    if at.chord is None:
        return None
    if at.chord.numeral and _PLAIN.fullmatch(at.chord.numeral):
        return at.chord.numeral
    chord = replace(at.chord, bass=at.chord.root) if at.chord.bass_is_foreign else at.chord
    return numeral_of(chord, at.key, suspensions=False)


def _words(sheet: LeadSheet, bar: SheetBar) -> Iterator[tuple[str, Key | None]]:
    """Yield a bar's words, each with the key it needs: beat marks, repeat signs and chords."""
    is_first = bar is sheet.bars[0]
    begun = {chord.start: chord for chord in sheet.chords if bar.start <= chord.start < bar.end}
    closes = {repeat.end for repeat in sheet.repeats if bar.start < repeat.end <= bar.end}
    opens = {repeat.start for repeat in sheet.repeats if bar.start <= repeat.start < bar.end} - {0}
    for time in sorted({*begun, *opens, *(closes - {bar.end})}):
        if time in closes:
            yield ":||", None
        mark = _mark(bar, time, is_first=is_first)
        if mark != "b1":
            yield mark, None
        if time in opens:
            yield "||:", None
        if time in begun:
            yield begun[time].text or "NC", begun[time].key
    if bar.end in closes:
        yield ":||", None


def _mark(bar: SheetBar, time: Time, *, is_first: bool) -> str:
    before = bar.meter.bar - bar.length if is_first else 0
    return mark_of(before + time - bar.start, beat_length(bar.meter))


def _key_word(key: Key) -> str:
    tonic = key.tonic.name
    return (tonic[0].lower() + tonic[1:] if key.is_minor else tonic) + ":"
