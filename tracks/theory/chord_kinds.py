"""The kinds of chord: their intervals above the root and the ways the trade spells them.

Format: MusicXML name, intervals with the root first, spellings after the root's name; the first spelling
is the one we write. Kinds that MusicXML has only as another kind with degrees added name that kind.

Source: names and intervals, the `kind-value` annotation of the MusicXML schema (W3C); note that its
`major-minor` is the *minor* triad with a major seventh. Italian, French and German are written from the
root that their figures count from (#4, 2 and #4 of the key), not from the tonic. The spellings are
common practice.
"""

from dataclasses import dataclass

from tracks.theory.pitch import Interval


@dataclass(frozen=True, slots=True)
class ChordKind:
    """One row of the table; `musicxml` is the standard's nearest name."""

    name: str
    intervals: tuple[Interval, ...]
    spellings: tuple[str, ...]
    musicxml: str


def _kind(name: str, intervals: str, *spellings: str, musicxml: str = "") -> ChordKind:
    return ChordKind(name, tuple(map(Interval.parse, intervals.split())), spellings, musicxml or name)


KINDS: tuple[ChordKind, ...] = (
    _kind("major", "P1 M3 P5", "", "maj", "M", "ma"),
    _kind("minor", "P1 m3 P5", "m", "min", "-", "mi"),
    _kind("augmented", "P1 M3 A5", "+", "aug", "(#5)"),
    _kind("diminished", "P1 m3 d5", "dim", "o", "°"),
    _kind("dominant", "P1 M3 P5 m7", "7", "dom7"),
    _kind("major-seventh", "P1 M3 P5 M7", "maj7", "M7", "ma7", "Δ7", "Δ", "j7"),
    _kind("minor-seventh", "P1 m3 P5 m7", "m7", "min7", "-7", "mi7"),
    _kind("diminished-seventh", "P1 m3 d5 d7", "dim7", "o7", "°7"),
    _kind("augmented-seventh", "P1 M3 A5 m7", "7#5", "+7", "7+", "aug7", "7(#5)"),
    _kind("half-diminished", "P1 m3 d5 m7", "m7b5", "ø7", "ø", "/o7", "min7b5", "-7b5", "m7(b5)", "mi7b5"),
    _kind("major-minor", "P1 m3 P5 M7", "m(maj7)", "mM7", "mmaj7", "minmaj7", "m#7", "-maj7", "min(maj7)"),
    _kind("major-sixth", "P1 M3 P5 M6", "6", "maj6", "M6", "add6"),
    _kind("minor-sixth", "P1 m3 P5 M6", "m6", "min6", "-6", "mi6"),
    _kind("dominant-ninth", "P1 M3 P5 m7 M9", "9", "dom9"),
    _kind("major-ninth", "P1 M3 P5 M7 M9", "maj9", "M9", "ma9", "Δ9"),
    _kind("minor-ninth", "P1 m3 P5 m7 M9", "m9", "min9", "-9", "mi9"),
    _kind("dominant-11th", "P1 M3 P5 m7 M9 P11", "11", "dom11"),
    _kind("major-11th", "P1 M3 P5 M7 M9 P11", "maj11", "M11", "ma11"),
    _kind("minor-11th", "P1 m3 P5 m7 M9 P11", "m11", "min11", "-11", "mi11"),
    _kind("dominant-13th", "P1 M3 P5 m7 M9 P11 M13", "13", "dom13"),
    _kind("major-13th", "P1 M3 P5 M7 M9 P11 M13", "maj13", "M13", "ma13"),
    _kind("minor-13th", "P1 m3 P5 m7 M9 P11 M13", "m13", "min13", "-13", "mi13"),
    _kind("suspended-second", "P1 M2 P5", "sus2"),
    _kind("suspended-fourth", "P1 P4 P5", "sus4", "sus"),
    _kind("Italian", "P1 d3 d5"),
    _kind("German", "P1 d3 d5 d7"),
    _kind("French", "P1 M3 d5 m7", "7b5", "7(b5)"),
    _kind("power", "P1 P5", "5"),
    _kind("Tristan", "P1 A4 A6 A9"),
    _kind("augmented-major-seventh", "P1 M3 A5 M7", "maj7#5", "maj7(#5)", "+maj7", musicxml="major-seventh"),
    _kind("dominant-suspended-fourth", "P1 P4 P5 m7", "7sus4", "7sus", musicxml="suspended-fourth"),
    _kind("ninth-suspended-fourth", "P1 P4 P5 m7 M9", "9sus4", "9sus", musicxml="suspended-fourth"),
    _kind("six-nine", "P1 M3 P5 M6 M9", "6/9", "69", "6(9)", musicxml="major-sixth"),
    _kind("minor-six-nine", "P1 m3 P5 M6 M9", "m6/9", "m69", musicxml="minor-sixth"),
    _kind("added-ninth", "P1 M3 P5 M9", "add9", "add2", musicxml="major"),
    _kind("minor-added-ninth", "P1 m3 P5 M9", "madd9", "m(add9)", "madd2", musicxml="minor"),
)

BY_INTERVALS = {kind.intervals: kind for kind in KINDS}
BY_SPELLING = {spelling: kind for kind in KINDS for spelling in kind.spellings}
BY_NAME = {kind.name: kind for kind in KINDS}
