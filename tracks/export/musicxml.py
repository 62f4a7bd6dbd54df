"""A score as MusicXML 4.0, for a teacher to go on with in any notation program.

Conventions
- One part on two staves; the voices of the lower staff are numbered from 5, as notation programs do.

Source: MusicXML 4.0, W3C Music Notation Community Group, final report of June 2021.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import reduce
from math import gcd
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from tracks.export.harmony import harmonies
from tracks.model import VoicedChord
from tracks.notation.beams import beams_of
from tracks.notation.score import Bar, Event, Score
from tracks.notation.values import BREVE, Value
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter, Time
from tracks.theory.pitch import Pitch

_TYPES = {
    BREVE: "breve",
    4 * QUARTER: "whole",
    2 * QUARTER: "half",
    QUARTER: "quarter",
    QUARTER // 2: "eighth",
    QUARTER // 4: "16th",
    QUARTER // 8: "32nd",
    QUARTER // 16: "64th",
    QUARTER // 32: "128th",
}
_ACCIDENTALS = {-2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}
_FIRST_VOICE = (1, 5)
_HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)


def musicxml(score: Score, bpm: int | None = None) -> bytes:
    """Return the score as a MusicXML document; `bpm`, felt beats a minute, is its metronome mark."""
    root = Element("score-partwise", version="4.0")
    SubElement(SubElement(root, "work"), "work-title").text = score.title
    encoding = SubElement(SubElement(root, "identification"), "encoding")
    SubElement(encoding, "software").text = "Rungwise"
    for element in ("accidental", "beam", "stem"):
        SubElement(encoding, "supports", element=element, type="no" if element == "stem" else "yes")
    listed = SubElement(SubElement(root, "part-list"), "score-part", id="P1")
    SubElement(listed, "part-name").text = "Piano"
    part = SubElement(root, "part", id="P1")
    tick = _tick(score)
    before = None
    for bar in score.bars:
        measure = _measure(part, score, bar)
        _attributes(measure, score, bar, before, QUARTER // tick)
        if before is None and bpm:
            measure.append(_metronome(score.meter, bpm))
        _fill(measure, score, bar, tick)
        if bar is score.bars[-1]:
            line = SubElement(measure, "barline", location="right")
            SubElement(line, "bar-style").text = "light-heavy"
        before = bar
    indent(root)
    return _HEAD.encode() + tostring(root) + b"\n"


def _tick(score: Score) -> Time:
    """Return the greatest length that divides every length and place of the score."""
    times = [QUARTER, *(voiced.at.start for voiced in score.chords)]
    for bar in score.bars:
        times += [bar.start, bar.length]
        times += [event.value.length for _, _, event in _events(bar) if event.value]
    return reduce(gcd, times)


def _events(bar: Bar) -> Iterator[tuple[int, int, Event]]:
    for staff, layers in enumerate(bar.staves):
        for layer, events in enumerate(layers):
            for event in events:
                yield staff, layer, event


def _measure(part: Element, score: Score, bar: Bar) -> Element:
    measure = SubElement(part, "measure", number=str(bar.number))
    if bar.length < score.meter.bar and bar.number == 0:
        measure.set("implicit", "yes")
    return measure


def _attributes(measure: Element, score: Score, bar: Bar, before: Bar | None, divisions: int) -> None:
    """Write what holds from this bar on: everything in the first, after that only a new key."""
    if before and before.key == bar.key:
        return
    attributes = SubElement(measure, "attributes")
    if not before:
        SubElement(attributes, "divisions").text = str(divisions)
    attributes.append(_key(bar.key))
    if not before:
        time = SubElement(attributes, "time")
        SubElement(time, "beats").text = str(score.meter.numerator)
        SubElement(time, "beat-type").text = str(score.meter.denominator)
        SubElement(attributes, "staves").text = str(len(score.treble))
        for number, treble in enumerate(score.treble, start=1):
            clef = SubElement(attributes, "clef", number=str(number))
            SubElement(clef, "sign").text = "G" if treble else "F"
            SubElement(clef, "line").text = "2" if treble else "4"


def _key(key: Key) -> Element:
    element = Element("key")
    SubElement(element, "fifths").text = str(key.signature)
    SubElement(element, "mode").text = key.mode.value
    return element


def _metronome(meter: Meter, bpm: int) -> Element:
    direction = Element("direction", placement="above")
    mark = SubElement(SubElement(direction, "direction-type"), "metronome")
    plain = meter.beat * 2 // 3 if meter.is_compound else meter.beat
    SubElement(mark, "beat-unit").text = _TYPES[plain]
    if meter.is_compound:
        SubElement(mark, "beat-unit-dot")
    SubElement(mark, "per-minute").text = str(bpm)
    SubElement(direction, "staff").text = "1"
    SubElement(direction, "sound", tempo=f"{bpm * meter.beat / QUARTER:g}")
    return direction


# The bar's notes.


@dataclass(frozen=True, slots=True)
class _Voice:
    """A voice of a bar: its staff and its layer there, from 0, and the ticks of a division."""

    bar: Bar
    staff: int
    layer: int
    tick: Time

    @property
    def number(self) -> int:
        """The voice as the document counts it."""
        return _FIRST_VOICE[self.staff] + self.layer

    def length(self, event: Event) -> Time:
        """Return how long an event lasts; a rest without a value fills the bar."""
        return event.value.length if event.value else self.bar.length


def _fill(measure: Element, score: Score, bar: Bar, tick: Time) -> None:
    measure.extend(_words_above(bar, tick))
    for staff, layers in enumerate(bar.staves):
        for layer, events in enumerate(layers):
            if staff or layer:
                SubElement(SubElement(measure, "backup"), "duration").text = str(bar.length // tick)
            voice = _Voice(bar, staff, layer, tick)
            measure.extend(_played(voice, events, score.meter, () if layer else score.chords_of(bar)))


def _words_above(bar: Bar, tick: Time) -> Iterator[Element]:
    for at, said in (*([(bar.start, bar.turn)] if bar.turn else ()), *bar.figures):
        words = Element("direction", placement="above")
        SubElement(SubElement(words, "direction-type"), "words").text = said
        if at > bar.start:
            SubElement(words, "offset").text = str((at - bar.start) // tick)
        SubElement(words, "staff").text = "1"
        yield words


def _played(
    voice: _Voice, events: tuple[Event, ...], meter: Meter, chords: Iterable[tuple[VoicedChord, str, str]]
) -> Iterator[Element]:
    """Yield a voice's notes, before each the symbols of the chords that begin while it lasts."""
    groups = beams_of(events, voice.bar, meter)
    for place, event in enumerate(events):
        for voiced, _, numeral in chords:
            into = voiced.at.start - event.start
            if 0 <= into < voice.length(event):
                yield from harmonies(voiced.at.chord, numeral, voice.staff, into // voice.tick)
        yield from _notes(voice, event, dict(_beams(events, groups, place)), _tuplet_ends(events, place))


def _notes(voice: _Voice, event: Event, beams: dict[int, str], ends: list[str]) -> Iterator[Element]:
    """Yield an event's notes, low to high, or its rest; the order of what they hold is the standard's."""
    ties = [kind for kind, is_so in (("stop", event.tied_in), ("start", event.tied_on)) if is_so]
    for place, pitch in enumerate(event.pitches or (None,)):
        note = Element("note", {"print-object": "no"} if event.hidden else {})
        if place:
            SubElement(note, "chord")
        note.append(_pitch(pitch) if pitch else _rest(event))
        SubElement(note, "duration").text = str(voice.length(event) // voice.tick)
        for kind in ties:
            SubElement(note, "tie", type=kind)
        SubElement(note, "voice").text = str(voice.number)
        shown = pitch if pitch and event.shown[place] else None
        note.extend(_shape(event.value, shown))
        SubElement(note, "staff").text = str(voice.staff + 1)
        for number, kind in sorted(beams.items()) if not place else ():
            SubElement(note, "beam", number=str(number)).text = kind
        finger = event.fingers[place] if event.fingers else None
        _notations(note, ties, ends if not place else [], finger, voice.staff)
        if event.mark and not place:
            lyric = SubElement(note, "lyric", placement="below")
            SubElement(lyric, "syllabic").text = "single"
            SubElement(lyric, "text").text = event.mark
        yield note


def _pitch(pitch: Pitch) -> Element:
    element = Element("pitch")
    SubElement(element, "step").text = pitch.tone.letter
    if pitch.tone.alter:
        SubElement(element, "alter").text = str(pitch.tone.alter)
    SubElement(element, "octave").text = str(pitch.octave)
    return element


def _rest(event: Event) -> Element:
    return Element("rest", {} if event.value else {"measure": "yes"})


def _shape(value: Value | None, shown: Pitch | None) -> Iterator[Element]:
    """Yield type, dots, accidental and tuplet; nothing for the rest of a whole bar."""
    if value is None:
        return
    yield _text("type", _TYPES[value.plain])
    for _ in range(value.dots):
        yield Element("dot")
    if shown:
        yield _text("accidental", _ACCIDENTALS[shown.tone.alter])
    if value.tuplet:
        time = Element("time-modification")
        SubElement(time, "actual-notes").text = str(value.tuplet.actual)
        SubElement(time, "normal-notes").text = str(value.tuplet.normal)
        yield time


def _text(element: str, text: str) -> Element:
    made = Element(element)
    made.text = text
    return made


def _notations(note: Element, ties: list[str], ends: list[str], finger: int | None, staff: int) -> None:
    if not ties and not ends and not finger:
        return
    notations = SubElement(note, "notations")
    for kind in ties:
        SubElement(notations, "tied", type=kind)
    for kind in ends:
        SubElement(notations, "tuplet", type=kind)
    if finger:
        above = "below" if staff else "above"
        SubElement(SubElement(notations, "technical"), "fingering", placement=above).text = str(finger)


def _tuplet_ends(events: tuple[Event, ...], place: int) -> list[str]:
    """Return whether a tuplet starts with an event, stops with it, or both."""

    def tuplet(at: int) -> object:
        value = events[at].value if 0 <= at < len(events) else None
        return value.tuplet if value else None

    here = tuplet(place)
    if here is None:
        return []
    return [
        kind for kind, other in (("start", tuplet(place - 1)), ("stop", tuplet(place + 1))) if other != here
    ]


def _beams(events: tuple[Event, ...], groups: list[int | None], place: int) -> Iterator[tuple[int, str]]:
    """Yield number and kind of each beam that a note hangs on, the eighths' beam first."""
    if groups[place] is None:
        return
    back, flags, on = (
        _flags(events[at]) if 0 <= at < len(events) and groups[at] == groups[place] else 0
        for at in (place - 1, place, place + 1)
    )
    hook = "backward hook" if back else "forward hook"
    kinds = {(True, True): "continue", (True, False): "end", (False, True): "begin"}
    for number in range(1, flags + 1 if back or on else 1):
        yield number, kinds.get((back >= number, on >= number), hook)


def _flags(event: Event) -> int:
    return (QUARTER // event.value.plain).bit_length() - 1 if event.value else 0
