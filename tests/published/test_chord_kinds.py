"""Chord kinds, against the `kind-value` list of the MusicXML schema (W3C), as the schema annotates it.

The semitones are derived from the annotation's words (`dominant`: major triad, minor seventh; and so on).
Ninth and larger chords are checked by music21, a general-purpose reference library, as well.
"""

import music21
import pytest

from tracks.theory.chord import parse_symbol
from tracks.theory.chord_kinds import BY_NAME, FUNCTIONAL, NO_CHORD
from tracks.theory.key import Key
from tracks.theory.numeral import parse_numeral

SCHEMA = {
    "major": (0, 4, 7),
    "minor": (0, 3, 7),
    "augmented": (0, 4, 8),
    "diminished": (0, 3, 6),
    "dominant": (0, 4, 7, 10),
    "major-seventh": (0, 4, 7, 11),
    "minor-seventh": (0, 3, 7, 10),
    "diminished-seventh": (0, 3, 6, 9),
    "augmented-seventh": (0, 4, 8, 10),
    "half-diminished": (0, 3, 6, 10),
    "major-minor": (0, 3, 7, 11),
    "major-sixth": (0, 4, 7, 9),
    "minor-sixth": (0, 3, 7, 9),
    "dominant-ninth": (0, 4, 7, 10, 14),
    "major-ninth": (0, 4, 7, 11, 14),
    "minor-ninth": (0, 3, 7, 10, 14),
    "dominant-11th": (0, 4, 7, 10, 14, 17),
    "major-11th": (0, 4, 7, 11, 14, 17),
    "minor-11th": (0, 3, 7, 10, 14, 17),
    "dominant-13th": (0, 4, 7, 10, 14, 17, 21),
    "major-13th": (0, 4, 7, 11, 14, 17, 21),
    "minor-13th": (0, 3, 7, 10, 14, 17, 21),
    "suspended-second": (0, 2, 7),
    "suspended-fourth": (0, 5, 7),
    "power": (0, 7),
    "Tristan": (0, 6, 10, 15),
}


@pytest.mark.parametrize(("kind", "semitones"), SCHEMA.items())
def test_kind_has_the_schemas_semitones(kind: str, semitones: tuple[int, ...]) -> None:
    assert tuple(interval.semitones for interval in BY_NAME[kind].intervals) == semitones


def test_the_standards_thirty_three_kinds_are_all_known() -> None:
    assert len({*SCHEMA, *FUNCTIONAL, *NO_CHORD}) == 33
    assert SCHEMA.keys() <= BY_NAME.keys()
    assert {kind.musicxml for kind in BY_NAME.values()} <= SCHEMA.keys() | FUNCTIONAL.keys()


@pytest.mark.parametrize(
    ("kind", "semitones_above_the_bass"),
    # Open Music Theory, "Altered subdominants"; the Neapolitan stands in first inversion.
    [
        ("Neapolitan", (0, 3, 8)),
        ("Italian", (0, 4, 10)),
        ("French", (0, 4, 6, 10)),
        ("German", (0, 4, 7, 10)),
    ],
)
@pytest.mark.parametrize("key", ["C", "c", "F#", "eb"])
def test_functional_kind_has_the_textbooks_semitones(
    kind: str, semitones_above_the_bass: tuple[int, ...], key: str
) -> None:
    chord = parse_numeral(FUNCTIONAL[kind], Key.parse(key))

    above = sorted((tone.chroma - chord.bass.chroma) % 12 for tone in chord.tones)
    assert tuple(above) == semitones_above_the_bass


@pytest.mark.parametrize("kind", [kind for kind in SCHEMA if kind not in ("power", "Tristan")])
@pytest.mark.parametrize("root", ["C", "Eb", "F#", "Ab", "B"])
def test_kind_is_spelled_as_music21_spells_it(kind: str, root: str) -> None:
    theirs = music21.harmony.ChordSymbol(root=root.replace("b", "-"), kind=kind)
    ours = parse_symbol(root + BY_NAME[kind].spellings[0])

    assert {p.name.replace("-", "b") for p in theirs.pitches} == {tone.name for tone in ours.tones}


@pytest.mark.parametrize("kind", [kind for kind in SCHEMA if kind != "Tristan"])
def test_every_spelling_of_a_kind_is_the_same_chord(kind: str) -> None:
    chords = {parse_symbol("G" + spelling).intervals for spelling in BY_NAME[kind].spellings}

    assert chords == {BY_NAME[kind].intervals}
