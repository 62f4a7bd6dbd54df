"""Chord symbols and Roman numerals as MusicXML.

Conventions
- A chord symbol is a `harmony` of the upper staff with root, kind, bass and degrees.
- A Roman numeral is `words` under the lower staff. The standard's `numeral` (and `function` before it) make a
  `harmony` without a root: the notation programs tried draw nothing for it, and music21 cannot even print it,
  so a teacher would lose the numerals and a program the chord symbols.
- Degrees are counted from the kind's own tones: added where the kind has none, altered or subtracted where
  it has one; an added degree's alteration counts from a dominant chord's tones.
- Augmented sixths stand as the dominant chords that their symbols say; the numeral tells what they are.

Source: MusicXML 4.0, W3C Music Notation Community Group, final report of June 2021.
"""

from collections.abc import Iterator
from xml.etree.ElementTree import Element, SubElement

from tracks.theory.chord import Chord, degree_interval, name
from tracks.theory.chord_kinds import BY_NAME
from tracks.theory.pitch import Interval, Tone

_AS_DOMINANT = ("Italian", "German", "French")
"""Augmented sixths: their symbols name a dominant seventh on the flat sixth."""


def harmonies(chord: Chord | None, numeral: str, staff: int, offset: int) -> Iterator[Element]:
    """Yield what stands at a staff (0 is the upper) for a chord that begins `offset` divisions later."""
    if staff == 0:
        yield _finished(_symbol(chord) if chord else _silence(), staff, offset)
    elif numeral:
        direction = Element("direction", placement="below")
        SubElement(SubElement(direction, "direction-type"), "words").text = numeral
        yield _finished(direction, staff, offset)


def degrees(intervals: tuple[Interval, ...], kind: str) -> Iterator[tuple[int, int, str]]:
    """Yield number, alteration and type of each degree by which intervals differ from a MusicXML kind."""
    wanted = {interval.steps: interval for interval in intervals}
    given = {interval.steps: interval for interval in BY_NAME[kind].intervals}
    for steps, interval in sorted(wanted.items()):
        if steps not in given:
            usual = degree_interval(steps + 1, -1 if steps == 6 else 0)
            yield steps + 1, interval.semitones - usual.semitones, "add"
        elif given[steps] != interval:
            yield steps + 1, interval.semitones - given[steps].semitones, "alter"
    for steps in sorted(given.keys() - wanted.keys()):
        yield steps + 1, 0, "subtract"


def _finished(element: Element, staff: int, offset: int) -> Element:
    if offset:
        SubElement(element, "offset").text = str(offset)
    SubElement(element, "staff").text = str(staff + 1)
    return element


def _silence() -> Element:
    harmony = Element("harmony", placement="above")
    # The standard wants a root even where there is no chord; programs write a C that is not printed.
    SubElement(SubElement(harmony, "root"), "root-step", text="").text = "C"
    SubElement(harmony, "kind", text="N.C.").text = "none"
    return harmony


def _kind(chord: Chord) -> tuple[str, Tone, tuple[Interval, ...]]:
    """Return the MusicXML kind of a chord, the root that it counts from and the intervals above that."""
    kind, _ = name(chord.intervals)
    if kind.name not in _AS_DOMINANT:
        return kind.musicxml, chord.root, chord.intervals
    root = chord.named_root
    sounding = sorted((root.interval_to(tone) for tone in chord.tones), key=lambda i: i.semitones)
    # The augmented sixth is the dominant's seventh by ear, and only so has the symbol a name.
    spelled = tuple(Interval(-2, 6) if i == Interval(10, 5) else i for i in sounding)
    return "dominant", root, spelled


def _symbol(chord: Chord) -> Element:
    kind, root, intervals = _kind(chord)
    harmony = Element("harmony", placement="above")
    _tone(SubElement(harmony, "root"), "root", root)
    suffix = chord.symbol.split("/" + chord.bass.name)[0].removeprefix(root.name)
    SubElement(harmony, "kind", text=suffix).text = kind
    if chord.bass != root:
        _tone(SubElement(harmony, "bass"), "bass", chord.bass)
    for number, alter, sort in degrees(intervals, kind):
        degree = SubElement(harmony, "degree", {"print-object": "no"})
        SubElement(degree, "degree-value").text = str(number)
        SubElement(degree, "degree-alter").text = str(alter)
        SubElement(degree, "degree-type").text = sort
    return harmony


def _tone(parent: Element, name: str, tone: Tone) -> None:
    SubElement(parent, f"{name}-step").text = tone.letter
    if tone.alter:
        SubElement(parent, f"{name}-alter").text = str(tone.alter)
