"""MusicXML in: the chord symbols of a lead sheet, with its bars, meters, pickup, keys and repeats.

Conventions
- music21 reads the file; the first part that has chord symbols is taken. A symbol holds to the next one.
- A symbol's tones are its kind's with its degrees made: an altered degree counts from the kind's own tone, an
  added one from a dominant chord's (so an added 7 is minor), as the standard has it.
- The four functional kinds are the numerals they name (`Ger65`) in the key, whatever root is written.
- A key signature without a mode is minor where the last chord is the minor tonic, else major. Where the
  piece has one signature and ends on neither of its tonics, the likeliest key is taken, and a remark says so.
- Jumps (D.C., D.S., coda) are not played out, which a remark says.

Source: MusicXML 4.0, W3C Music Notation Community Group, final report of June 2021; music21 reads it.
"""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from tracks.progression.lead_sheet import LeadSheet, SheetBar, SheetChord, SheetRepeat
from tracks.progression.written import Writing
from tracks.theory.analysis import likely_key
from tracks.theory.chord import Chord, degree_interval, parse_symbol
from tracks.theory.chord_kinds import BY_NAME, FUNCTIONAL, NO_CHORD
from tracks.theory.errors import RequestError
from tracks.theory.key import Key, Mode
from tracks.theory.meter import QUARTER, Meter, Time
from tracks.theory.numeral import parse_numeral
from tracks.theory.pitch import Interval, Tone

if TYPE_CHECKING:
    from pathlib import Path

# music21 gives some of the standard's kinds names of its own.
_STANDARD_NAMES = {
    "dominant-seventh": "dominant",
    "half-diminished-seventh": "half-diminished",
    "minor-major-seventh": "major-minor",
    "tristan": "Tristan",
}
_PEDAL, _WORDED, _SILENCE = NO_CHORD


def read_musicxml(path: "Path") -> LeadSheet:
    """Return the lead sheet of a MusicXML file (plain, or zipped as .mxl).

    Raises RequestError, in one line, where the file cannot be read or has no chord symbols, and for a
    symbol that names no chord, with its measure.
    """
    score = _parsed(path)
    part = next((part for part in score.parts if part.recurse().getElementsByClass("Harmony")), None)
    if part is None:
        raise RequestError("there are no chord symbols in it", "add some above the notes, or give RomanText")
    measures = list(part.getElementsByClass("Measure"))
    bars = _bars(measures, _endings(part))
    chords = tuple(_held(list(_chords(measures)), bars))
    if not any(chord.text for chord in chords):
        raise RequestError("all of it is N.C.", "there is no chord to practice")
    chords, doubts = _in_likely_key(chords)
    remarks = (*doubts, *(f"measure {m.number}: a jump is not played out" for m in measures if _jumps(m)))
    title = (score.metadata.bestTitle or "") if score.metadata else ""
    return LeadSheet(title, Writing.SYMBOLS, bars, chords, tuple(_repeats(measures, bars)), remarks)


def _in_likely_key(chords: tuple[SheetChord, ...]) -> tuple[tuple[SheetChord, ...], tuple[str, ...]]:
    """Return the chords in their key, and what there is to doubt in the file's own."""
    sounding = tuple(parse_symbol(chord.text) for chord in chords if chord.text)
    named = {chord.key for chord in chords if chord.key}
    if len(named) > 1:
        return chords, ()
    given, last = next(iter(named), None), sounding[-1].root
    if given and last in (given.tonic, Tone(given.signature), Tone(given.signature + 3)):
        return chords, ()
    likely = likely_key(sounding)
    doubt = (
        f"the signature is that of {given}, but the chords are read in {likely}" if given != likely else ""
    )
    return tuple(replace(chord, key=likely) for chord in chords), (doubt,) if given and doubt else ()


def _parsed(path: "Path") -> Any:
    import warnings

    from music21 import converter

    _check_xml(path)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what the library doubts is no word to a teacher
        try:
            # Not `parse`, which would leave a cache of the file behind.
            reader = converter.Converter()
            reader.parseFileNoPickle(path, format="musicxml")
        except Exception as error:
            said = " ".join(str(error).split())[:200] or type(error).__name__
            raise RequestError(f"it cannot be read as MusicXML: {said}") from error
    if not reader.stream or not hasattr(reader.stream, "parts"):
        raise RequestError("it holds no score", "export the piece as MusicXML again")
    return reader.stream


def _check_xml(path: "Path") -> None:
    """Raise RequestError with the line where a file is no XML at all, clearer than what a reader says."""
    from xml.etree import ElementTree as Tree
    from zipfile import BadZipFile, ZipFile

    try:
        if path.suffix.lower() == ".mxl":
            with ZipFile(path) as zipped:
                zipped.testzip()
        else:
            Tree.parse(path)  # noqa: S314 - the teacher's own file
    except BadZipFile:
        raise RequestError("it is no .mxl file (a zip of MusicXML)", "export the piece again") from None
    except Tree.ParseError as error:
        line, column = error.position
        raise RequestError(
            f"line {line}, column {column + 1}: it is no XML", "export the piece again"
        ) from None


def _time(offset: Any, measure: Any) -> Time:
    """Return music21's quarter notes in ticks; only what falls between the ticks of a bar is refused."""
    time = Fraction(offset).limit_denominator(QUARTER) * QUARTER
    if time.denominator != 1:
        raise RequestError(f"measure {measure.number}: a rhythm finer than we can count", "simplify it")
    return int(time)


def _bars(measures: list[Any], endings: dict[int, int]) -> tuple[SheetBar, ...]:
    bars: list[SheetBar] = []
    meter = Meter(4, 4)
    following = [measure.offset for measure in measures[1:]]
    last = measures[-1]
    following.append(last.offset + (last.duration.quarterLength or last.barDuration.quarterLength))
    for measure, end in zip(measures, following, strict=True):
        signature = measure.timeSignature
        if signature:
            meter = Meter.parse(signature.ratioString)
        start = _time(measure.offset, measure)
        length = _time(end, measure) - start
        if length > 0:
            bars.append(SheetBar(measure.number, start, length, meter, endings.get(id(measure), 0)))
    return tuple(bars)


def _endings(part: Any) -> dict[int, int]:
    """Return the ending, 1 or 2, of each measure that lies in one."""
    endings = {}
    for bracket in part.recurse().getElementsByClass("RepeatBracket"):
        number = bracket.numberRange[0] if bracket.numberRange else 1
        if number > 2:
            raise RequestError(f"ending {number}: two endings are what we play", "write the piece out")
        endings.update({id(measure): number for measure in bracket.getSpannedElements()})
    return endings


def _repeats(measures: list[Any], bars: tuple[SheetBar, ...]) -> Iterator[SheetRepeat]:
    start = 0
    for measure in measures:
        begin = _time(measure.offset, measure)
        if getattr(measure.leftBarline, "direction", None) == "start":
            start = begin
        if getattr(measure.rightBarline, "direction", None) == "end":
            end = next(bar.end for bar in bars if bar.start == begin)
            firsts = [bar.start for bar in bars if bar.ending == 1 and start <= bar.start < end]
            yield SheetRepeat(start, end, firsts[0] if firsts else end)
            start = end


def _jumps(measure: Any) -> list[Any]:
    return list(measure.getElementsByClass("RepeatExpression"))


def _chords(measures: list[Any]) -> Iterator[SheetChord]:
    """Yield the chord symbols; their lengths are not known yet."""
    key: Key | None = None
    final = next(
        (
            harmony
            for m in reversed(measures)
            for harmony in reversed(_harmonies(m))
            if harmony.chordKind != _SILENCE
        ),
        None,
    )
    for measure in measures:
        for signature in measure.getElementsByClass("KeySignature"):
            key = _key(signature, final)
        for harmony in _harmonies(measure):
            try:
                text = _symbol(harmony, key or Key(Tone(0)))
            except RequestError as fault:
                raise fault.at(f"measure {measure.number}") from fault
            yield SheetChord(text, _time(measure.offset + harmony.offset, measure), 0, key)


def _harmonies(measure: Any) -> list[Any]:
    return [h for h in measure.getElementsByClass("Harmony") if "ChordSymbol" in h.classes]


def _key(signature: Any, final: Any) -> Key:
    sharps = signature.sharps
    mode = getattr(signature, "mode", None)
    minor = Tone(sharps + 3)
    if mode is None and final is not None:
        ends_minor = final.chordKind.startswith("minor") and _tone(final.root()) == minor
        mode = "minor" if ends_minor else "major"
    return Key(minor, Mode.MINOR) if mode == "minor" else Key(Tone(sharps))


def _tone(pitch: Any) -> Tone:
    return Tone.parse(pitch.name.replace("-", "b"))


def _symbol(harmony: Any, key: Key) -> str | None:
    """Return a symbol as we write it, or None for silence."""
    kind = _STANDARD_NAMES.get(harmony.chordKind, harmony.chordKind)
    if kind == _SILENCE:
        return None
    if kind in FUNCTIONAL:
        return parse_numeral(FUNCTIONAL[kind], key).symbol
    if kind == _PEDAL:
        raise RequestError("a pedal names no chord", "write the chord that sounds over it")
    root = _tone(harmony.root())
    if kind not in BY_NAME:
        return _as_worded(harmony, root)
    tones = {interval.steps: interval for interval in BY_NAME[kind].intervals}
    for change in harmony.chordStepModifications:
        _change(tones, change)
    chord = Chord(root, tuple(tones[steps] for steps in sorted(tones)), _tone(harmony.bass()))
    return chord.symbol


def _as_worded(harmony: Any, root: Tone) -> str:
    """Return the chord that a symbol of another kind says in its text."""
    words = harmony.chordKindStr or ""
    known = None
    if words:
        with suppress(RequestError):
            known = parse_symbol(root.name + words).symbol
    if known is None:
        raise RequestError(
            f"the chord symbol on {root} is of the kind {harmony.chordKind!r}, text {words!r}, which is no "
            "chord we know",
            "write its usual symbol",
        )
    return known


def _change(tones: dict[int, Interval], change: Any) -> None:
    steps = change.degree - 1
    alter = round(change.interval.semitones) if change.interval else 0
    if change.modType == "subtract":
        tones.pop(steps, None)
    elif change.modType == "alter" and steps in tones:
        tones[steps] = Interval(tones[steps].fifths + 7 * alter, steps)
    else:
        tones[steps] = degree_interval(change.degree, alter - (change.degree == 7))


def _held(chords: list[SheetChord], bars: tuple[SheetBar, ...]) -> Iterator[SheetChord]:
    """Yield the chords each to the next one's beginning, after silence where the first comes late."""
    if chords and chords[0].start > 0:
        yield SheetChord(None, 0, chords[0].start, chords[0].key)
    end = bars[-1].end
    last = SheetChord(None, end, 0, None)
    for chord, following in pairwise([*chords, last]):
        if following.start > chord.start:
            yield replace(chord, length=following.start - chord.start)
