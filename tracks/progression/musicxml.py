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

from tracks.progression.lead_sheet import MOST_BARS, LeadSheet, SheetBar, SheetChord
from tracks.progression.playing import RepeatSign, repeats_of
from tracks.progression.written import Writing
from tracks.progression.xml_checks import check_part
from tracks.progression.xml_document import document
from tracks.theory.analysis import likely_key
from tracks.theory.chord import Chord, degree_interval, parse_symbol
from tracks.theory.chord_kinds import BY_NAME, FUNCTIONAL, NO_CHORD
from tracks.theory.errors import RequestError, one_line
from tracks.theory.key import Key, Mode
from tracks.theory.meter import QUARTER, Meter, Time
from tracks.theory.numeral import parse_numeral
from tracks.theory.pitch import Interval, Tone

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

# music21 gives some of the standard's kinds names of its own.
_STANDARD_NAMES = {
    "dominant-seventh": "dominant",
    "half-diminished-seventh": "half-diminished",
    "minor-major-seventh": "major-minor",
    "tristan": "Tristan",
}
_PEDAL, _WORDED, _SILENCE = NO_CHORD


def read_musicxml(content: bytes, is_zipped: bool = False) -> LeadSheet:
    """Return the lead sheet of a MusicXML file (plain, or zipped as .mxl).

    Raises RequestError, in one line, where the file cannot be read or has no chord symbols, and for a
    symbol that names no chord, with its measure.
    """
    part, title = _part(content, is_zipped)
    measures = list(part.getElementsByClass("Measure"))
    bars = _bars(measures, _endings(part))
    chords = tuple(_held(list(_chords(measures)), bars))
    if not any(chord.text for chord in chords):
        raise RequestError("all of it is N.C.", "there is no chord to practice")
    chords, doubts = _in_likely_key(chords)
    jumps = (m for m in measures if m.getElementsByClass("RepeatExpression"))
    remarks = (*doubts, *(f"measure {m.number}: a jump is not played out" for m in jumps))
    return LeadSheet(title, Writing.SYMBOLS, bars, chords, repeats_of(_signs(measures), bars), remarks)


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


def _part(content: bytes, is_zipped: bool) -> tuple[Any, str]:
    """Return music21's reading of the first part with chord symbols, and the piece's title."""
    root = document(content, is_zipped)
    if root.tag != "score-partwise":
        fix = "export it part by part (score-partwise)" if root.tag == "score-timewise" else "export it again"
        raise RequestError("it holds no score that we read", f"{fix}")
    check_part(_one_part_left(root))
    score = _read_by_music21(root)
    if not score.parts:
        raise RequestError("it holds no part", "export the piece again")
    title = (score.metadata.bestTitle or "") if score.metadata else ""
    return score.parts[0], one_line(title)


def _one_part_left(root: "Element") -> "Element":
    """Take out the parts that we do not need, which may be an orchestra's, and return the other.

    Raises RequestError where none has chord symbols, and for more bars than we can play.
    """
    parts = root.findall("part")
    chosen = next((part for part in parts if part.find(".//harmony") is not None), None)
    if chosen is None:
        raise RequestError("there are no chord symbols in it", "add some above the notes, or give RomanText")
    for part in parts:
        if part is not chosen:
            root.remove(part)
    bars = len(chosen.findall("measure"))
    if bars > MOST_BARS:
        raise RequestError(f"{bars:,} bars are more than the {MOST_BARS:,} we can play", "divide the piece")
    return chosen


def _read_by_music21(root: "Element") -> Any:
    import warnings

    from music21.musicxml import xmlToM21

    reader: Any = xmlToM21  # half typed
    importer = reader.MusicXMLImporter()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what the library doubts is no word to a teacher
        try:
            importer.xmlRootToScore(root, importer.stream)
        except Exception as error:
            said = one_line(str(error)) or type(error).__name__
            raise RequestError(f"it cannot be read as MusicXML: {said}") from error
    return importer.stream


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


def _signs(measures: list[Any]) -> Iterator[RepeatSign]:
    for measure in measures:
        begin = _time(measure.offset, measure)
        for sign in measure.getElementsByClass("Repeat"):
            if sign.direction == "start":
                yield RepeatSign(begin, opens=True)
            else:
                yield RepeatSign(_time(measure.offset + sign.offset, measure), False, sign.times or 2)


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
            # A signature without fifths names its accidentals one by one, and no key.
            key = key if signature.sharps is None else _key(signature, final)
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
