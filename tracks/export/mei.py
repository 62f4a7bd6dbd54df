"""A score as MEI, the open music encoding that the engraver reads.

Conventions
- Element and attribute names are MEI's own; with a wrong one the engraver draws nothing and says nothing, so
  none is made up from pieces.
- Stems stand away from the fingering: down on the upper staff, whose fingers are above, up on the lower.
  Single notes are left to the engraver, and two voices have each its own side.
- Fingers belong to a chord as a whole, written from the staff outwards.

Source: MEI 5, CMN module (Music Encoding Initiative).
"""

from collections.abc import Iterator
from itertools import groupby
from xml.etree.ElementTree import Element, SubElement, tostring

from tracks.model import VoicedChord
from tracks.notation.beams import beams_of
from tracks.notation.score import Bar, Event, Score
from tracks.notation.values import BREVE, Tuplet, Value
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter, Time
from tracks.theory.pitch import Pitch

_NAMESPACE = "http://www.music-encoding.org/ns/mei"
_XML_ID = "{http://www.w3.org/XML/1998/namespace}id"
_ACCIDENTALS = {-2: "ff", -1: "f", 0: "n", 1: "s", 2: "x"}

SPACE = "\N{NO-BREAK SPACE}" * 2
"""What keeps a symbol apart from the next; the engraver spaces the words, and this is taken off again."""


def mei(score: Score, breaks: tuple[int, ...] = ()) -> str:
    """Return the score as an MEI document; `breaks` are the places of bars that begin a new system.

    Each system is a page of its own.
    """
    root = Element("mei", xmlns=_NAMESPACE, meiversion="5.0")
    SubElement(SubElement(SubElement(root, "meiHead"), "fileDesc"), "titleStmt")
    mdiv = SubElement(SubElement(SubElement(root, "music"), "body"), "mdiv")
    written = SubElement(mdiv, "score")
    written.append(_definition(score))
    section = SubElement(written, "section")
    key = score.bars[0].key
    for place, bar in enumerate(score.bars):
        if bar.key.signature != key.signature:
            SubElement(SubElement(section, "scoreDef"), "keySig", sig=_signature(bar.key))
        key = bar.key
        if place in breaks:
            SubElement(section, "pb")
        section.append(_measure(score, bar, is_last=bar is score.bars[-1]))
    return tostring(root, encoding="unicode")


def _definition(score: Score) -> Element:
    definition = Element("scoreDef")
    group = SubElement(definition, "staffGrp", {"symbol": "brace", "bar.thru": "true"})
    for number, treble in enumerate(score.treble, start=1):
        staff = SubElement(group, "staffDef", n=str(number), lines="5")
        SubElement(staff, "clef", shape="G" if treble else "F", line="2" if treble else "4")
        SubElement(staff, "keySig", sig=_signature(score.bars[0].key))
        meter = score.meter
        SubElement(staff, "meterSig", count=str(meter.numerator), unit=str(meter.denominator))
    return definition


def _signature(key: Key) -> str:
    count = key.signature
    return f"{abs(count)}{'s' if count > 0 else 'f'}" if count else "0"


def _measure(score: Score, bar: Bar, is_last: bool) -> Element:
    measure = Element("measure", n=str(bar.number))
    if bar.length < score.meter.bar:
        measure.set("metcon", "false")
    if is_last:
        measure.set("right", "end")
    fingered = []
    for number, layers in enumerate(bar.staves, start=1):
        staff = SubElement(measure, "staff", n=str(number))
        for layer_number, events in enumerate(layers, start=1):
            layer = SubElement(staff, "layer", n=str(layer_number))
            stems = _stems(layer_number, len(layers))
            _fill(layer, bar, events, score.meter, f"b{bar.number}s{number}v{layer_number}", stems)
            fingered += [
                (f"b{bar.number}s{number}v{layer_number}e{place}", number, event)
                for place, event in enumerate(events)
                if event.fingers
            ]
    for voiced, symbol, numeral in score.chords_of(bar):
        measure.extend(_words(voiced, symbol, numeral, bar, score.meter))
    if bar.turn:
        SubElement(measure, "dir", staff="1", place="above", tstamp="1").text = bar.turn + SPACE
    for at, figure in bar.figures:
        words = SubElement(measure, "dir", staff="1", place="above", tstamp=_stamp(at, bar, score.meter))
        words.text = figure + SPACE
    for name, number, event in fingered:
        measure.extend(_fingers(name, number, event))
    return measure


def _stems(layer: int, layers: int) -> dict[str, str]:
    """Return which way a voice's stems point: its own where there are two, else as every note has it."""
    if layers == 1:
        return {}
    return {"stem.dir": "up" if layer == 1 else "down"}


def _fill(
    layer: Element, bar: Bar, events: tuple[Event, ...], meter: Meter, name: str, stems: dict[str, str]
) -> None:
    """Write a voice: tuplets around what stands in them, beams around what they join."""
    beams = beams_of(events, bar, meter)
    numbered = list(enumerate(events))
    for tuplet, group in groupby(numbered, key=lambda pair: pair[1].value and pair[1].value.tuplet):
        parent = _tuplet(layer, tuplet) if tuplet else layer
        for beam, beamed in groupby(group, key=lambda pair: beams[pair[0]]):
            joined = list(beamed)
            target = SubElement(parent, "beam") if beam is not None and len(joined) > 1 else parent
            for place, event in joined:
                target.append(_event(event, f"{name}e{place}", stems))


def _tuplet(layer: Element, tuplet: Tuplet) -> Element:
    return SubElement(
        layer,
        "tuplet",
        {"num": str(tuplet.actual), "numbase": str(tuplet.normal), "num.visible": "true"},
    )


def _event(event: Event, name: str, stems: dict[str, str]) -> Element:
    if event.value is None:
        return Element("mSpace" if event.hidden else "mRest")
    if not event.pitches:
        return Element("space" if event.hidden else "rest", _duration(event.value))
    tie = _tie(event)
    if len(event.pitches) == 1:
        note = _note(event.pitches[0], event.shown[0])
        note.attrib.update({_XML_ID: name, **_duration(event.value), **tie, **stems})
        if event.mark:
            SubElement(SubElement(note, "verse", n="1"), "syl").text = event.mark
        return note
    chord = Element("chord", {_XML_ID: name, **_duration(event.value), **stems})
    for pitch, shown in zip(event.pitches, event.shown, strict=True):
        note = _note(pitch, shown)
        note.attrib.update(tie)
        chord.append(note)
    return chord


def _tie(event: Event) -> dict[str, str]:
    """Return the tie of an event: i(nitial), m(edial) or t(erminal)."""
    tie = {(False, True): "i", (True, True): "m", (True, False): "t"}.get((event.tied_in, event.tied_on))
    return {"tie": tie} if tie else {}


def _duration(value: Value) -> dict[str, str]:
    dur = "breve" if value.plain == BREVE else str(4 * QUARTER // value.plain)
    return {"dur": dur, **({"dots": str(value.dots)} if value.dots else {})}


def _note(pitch: Pitch, shown: bool) -> Element:
    tone = pitch.tone
    note = Element("note", pname=tone.letter.lower(), oct=str(pitch.octave))
    if shown:
        note.set("accid", _ACCIDENTALS[tone.alter])
    elif tone.alter:
        note.set("accid.ges", _ACCIDENTALS[tone.alter])
    return note


def _stamp(at: Time, bar: Bar, meter: Meter) -> str:
    """Return where a moment stands in its bar, in the meter's units from 1."""
    return f"{1 + (at - bar.start) * meter.denominator / (4 * QUARTER):g}"


def _words(voiced: VoicedChord, symbol: str, numeral: str, bar: Bar, meter: Meter) -> Iterator[Element]:
    stamp = _stamp(voiced.at.start, bar, meter)
    above = Element("harm", staff="1", place="above", tstamp=stamp, type="symbol")
    above.text = symbol + SPACE
    yield above
    if numeral:
        below = Element("harm", staff="2", place="below", tstamp=stamp, type="numeral")
        below.text = numeral + SPACE
        yield below


def _fingers(name: str, staff: int, event: Event) -> Iterator[Element]:
    above = staff == 1
    for finger in event.fingers if above else reversed(event.fingers):
        written = Element("fing", startid=f"#{name}", staff=str(staff), place="above" if above else "below")
        written.text = str(finger)
        yield written
