"""The kinds of chord: their intervals above the root and the ways the trade spells them.

Format: name, intervals with the root first, spellings after the root's name; the first spelling is the one
we write. `{min}`, `{maj}`, `{dim}`, `{aug}` stand for every word of that family. Brackets and commas do not
matter in reading: `7(b5)` is `7b5`. Kinds that MusicXML has only as another kind with degrees added name
that kind.

Decisions where charts differ
- An eleventh or thirteenth chord has its third, as MusicXML defines it; `sus` is the chord without one.
- `2` is the triad with an added ninth, `sus2` the one without its third.
- `7alt` leaves the choice of altered tones to the player; we sound #5 and #9, and write what we sound.
- `maj` alone, `Δ` and `M7` are a major seventh's words; `Δ` alone has the seventh, `maj` alone has not.

Source: names and intervals, the `kind-value` annotation of the MusicXML schema (W3C); note that its
`major-minor` is the *minor* triad with a major seventh. Italian, French and German are written from the
root that their figures count from (#4, 2 and #4 of the key), not from the tonic. The spellings are
convention.
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


# The word of each family that we write stands first.
_FAMILIES = {
    "{min}": ("m", "min", "Min", "MIN", "mi", "Mi", "MI", "-"),
    "{maj}": ("maj", "Maj", "MAJ", "ma", "Ma", "MA", "M", "Δ", "j"),
    "{dim}": ("dim", "o", "°"),
    "{aug}": ("+", "aug"),
}


def _kind(name: str, intervals: str, *patterns: str, like: str = "") -> ChordKind:
    spellings = dict.fromkeys(spelling for pattern in patterns for spelling in _spelled_out(pattern))
    return ChordKind(name, tuple(map(Interval.parse, intervals.split())), tuple(spellings), like or name)


def _spelled_out(pattern: str) -> list[str]:
    """Return a pattern with each family's words put in for its name."""
    spelled = [pattern]
    for family, words in _FAMILIES.items():
        if family in pattern:
            spelled = [text.replace(family, word) for text in spelled for word in words]
    return spelled


KINDS: tuple[ChordKind, ...] = (
    _kind("major", "P1 M3 P5", "", "maj", "Maj", "MAJ", "M", "ma", "Ma", "MA"),
    _kind("minor", "P1 m3 P5", "{min}"),
    _kind("augmented", "P1 M3 A5", "{aug}", "(#5)"),
    _kind("diminished", "P1 m3 d5", "{dim}"),
    _kind("dominant", "P1 M3 P5 m7", "7", "dom7"),
    _kind("major-seventh", "P1 M3 P5 M7", "{maj}7", "Δ"),
    _kind("minor-seventh", "P1 m3 P5 m7", "{min}7"),
    _kind("diminished-seventh", "P1 m3 d5 d7", "{dim}7"),
    _kind("augmented-seventh", "P1 M3 A5 m7", "7#5", "{aug}7", "7{aug}"),
    _kind("half-diminished", "P1 m3 d5 m7", "{min}7b5", "ø7", "ø", "/o7"),
    _kind("major-minor", "P1 m3 P5 M7", "{min}({maj}7)", "{min}/{maj}7", "{min}#7", "{min}Δ"),
    _kind("major-sixth", "P1 M3 P5 M6", "6", "maj6", "M6", "add6"),
    _kind("minor-sixth", "P1 m3 P5 M6", "{min}6"),
    _kind("dominant-ninth", "P1 M3 P5 m7 M9", "9", "dom9"),
    _kind("major-ninth", "P1 M3 P5 M7 M9", "{maj}9"),
    _kind("minor-ninth", "P1 m3 P5 m7 M9", "{min}9"),
    _kind("dominant-11th", "P1 M3 P5 m7 M9 P11", "11", "dom11"),
    _kind("major-11th", "P1 M3 P5 M7 M9 P11", "{maj}11"),
    _kind("minor-11th", "P1 m3 P5 m7 M9 P11", "{min}11"),
    _kind("dominant-13th", "P1 M3 P5 m7 M9 P11 M13", "13", "dom13"),
    _kind("major-13th", "P1 M3 P5 M7 M9 P11 M13", "{maj}13"),
    _kind("minor-13th", "P1 m3 P5 m7 M9 P11 M13", "{min}13"),
    _kind("suspended-second", "P1 M2 P5", "sus2"),
    _kind("suspended-fourth", "P1 P4 P5", "sus4", "sus"),
    _kind("Italian", "P1 d3 d5"),
    _kind("German", "P1 d3 d5 d7"),
    _kind("French", "P1 M3 d5 m7", "7b5"),
    _kind("power", "P1 P5", "5"),
    _kind("Tristan", "P1 A4 A6 A9"),
    _kind("augmented-major-seventh", "P1 M3 A5 M7", "{maj}7#5", "{aug}{maj}7", "Δ#5", like="major-seventh"),
    _kind("dominant-suspended-fourth", "P1 P4 P5 m7", "7sus4", "7sus", like="suspended-fourth"),
    _kind("dominant-suspended-second", "P1 M2 P5 m7", "7sus2", like="suspended-second"),
    _kind("major-seventh-suspended-fourth", "P1 P4 P5 M7", "{maj}7sus4", like="suspended-fourth"),
    _kind("ninth-suspended-fourth", "P1 P4 P5 m7 M9", "9sus4", "9sus", like="suspended-fourth"),
    _kind("thirteenth-suspended-fourth", "P1 P4 P5 m7 M9 M13", "13sus4", "13sus", like="suspended-fourth"),
    _kind("six-nine", "P1 M3 P5 M6 M9", "6/9", "69", "maj6/9", "maj69", "M69", like="major-sixth"),
    _kind("minor-six-nine", "P1 m3 P5 M6 M9", "{min}6/9", "{min}69", like="minor-sixth"),
    _kind("added-ninth", "P1 M3 P5 M9", "add9", "add2", "2", like="major"),
    _kind("minor-added-ninth", "P1 m3 P5 M9", "{min}add9", "{min}add2", like="minor"),
    _kind("minor-major-ninth", "P1 m3 P5 M7 M9", "{min}({maj}9)", "{min}9{maj}7", like="major-minor"),
    _kind("diminished-major-seventh", "P1 m3 d5 M7", "{dim}({maj}7)", like="diminished"),
    _kind("half-diminished-ninth", "P1 m3 d5 m7 M9", "{min}9b5", "ø9", like="half-diminished"),
    _kind("half-diminished-11th", "P1 m3 d5 m7 M9 P11", "{min}11b5", "ø11", like="half-diminished"),
    _kind("augmented-ninth", "P1 M3 A5 m7 M9", "9#5", "{aug}9", like="augmented-seventh"),
    _kind("altered-dominant", "P1 M3 A5 m7 A9", "7#5(#9)", "7alt", "alt", "7#9#5", like="augmented-seventh"),
)  # fmt: skip


def without_brackets(suffix: str) -> str:
    """Return what follows a root's name without its brackets, commas and spaces: `7(b9,#11)` as 7b9#11."""
    return suffix.translate(_NO_BRACKETS)


_NO_BRACKETS = str.maketrans("", "", "(), ")

BY_INTERVALS = {kind.intervals: kind for kind in KINDS}
BY_SPELLING = {without_brackets(spelling): kind for kind in KINDS for spelling in kind.spellings}
BY_NAME = {kind.name: kind for kind in KINDS}

FUNCTIONAL = {"Neapolitan": "N6", "Italian": "It6", "French": "Fr43", "German": "Ger65"}
"""MusicXML's kinds that speak of a function, not of a root: the numeral that each one is in its key."""

NO_CHORD = ("pedal", "other", "none")
"""MusicXML's kinds that name no chord: a bass held below, whatever its degrees say, and silence."""
