"""That what sounds is what the answer says: every skill at every level, found again from the file alone.

mido reads the files (heard.py), music21 names what sounds, or a published table does, named beside it.
"""

from functools import cache
from itertools import pairwise
from typing import Any

import music21
import pytest
from heard import Struck, asked, chords_of, file_of, level, many, notes_of

from tracks.theory.numeral import parse_numeral

# music21 leaves some of its functions untyped.
SCALE: Any = music21.scale


def root_and_third(chord: list[int]) -> tuple[int, int]:
    """A chord's root as a pitch class, and how far its third lies above it, by music21."""
    root, third = _root_and_third(frozenset(note - chord[0] for note in chord))
    return (chord[0] + root) % 12, third


@cache
def _root_and_third(above: frozenset[int]) -> tuple[int, int]:
    """The same above the lowest note; music21 takes its time, and the shapes of chords are few."""
    found = music21.chord.Chord([60 + step for step in sorted(above)])
    root = found.root().pitchClass
    third = found.third.pitchClass if found.third else root
    return root, (third - root) % 12


@cache
def degree_in_scale(above: int, third: int) -> str:
    """The degree of a note above a tonic, in the major or the harmonic minor scale by the tonic's third."""
    scale: Any = (music21.scale.MajorScale if third == 4 else music21.scale.HarmonicMinorScale)("C")
    return str(scale.getScaleDegreeFromPitch(music21.pitch.Pitch(above), comparisonAttribute="pitchClass"))


def degrees(chords: list[list[int]]) -> list[tuple[int, int]]:
    """Each chord's root above the first one's, in semitones, and its third."""
    tonic, _ = root_and_third(chords[0])
    return [((root - tonic) % 12, third) for root, third in map(root_and_third, chords)]


def name_of_cadence(chords: list[list[int]]) -> str:
    """The cadence, with the first chord as the tonic (Open Music Theory, cadences; Picardy: convention)."""
    found = degrees(chords)
    (before, _), (last, third) = found[-2:]
    if last == 7:
        falls_by_half_step = chords[-2][0] - chords[-1][0] == 1 or chords[-1][0] - chords[-2][0] == 11
        return "Phrygian half" if falls_by_half_step else "half (imperfect)"
    if last in (8, 9) and before == 7:
        return "deceptive (interrupted)"
    assert last == 0
    if third != found[0][1]:
        return "Picardy third"
    return {7: "perfect (authentic)", 5: "plagal"}[before]


@pytest.mark.parametrize("number", [1, 2])
def test_the_cadence_that_sounds_is_the_answer(number: int) -> None:
    for question in many("cadences", number):
        assert name_of_cadence(chords_of(question)) == question.answer


def test_dominant_sevenths_keep_their_leading_tone() -> None:
    for question in asked(level("cadences", 1)):
        for numeral, notes in zip(question.asked.chords, chords_of(question), strict=True):
            if numeral == "V7":
                leading = parse_numeral("V7", question.key).tones[1]
                assert leading.chroma in {note % 12 for note in notes}


def test_the_mode_that_sounds_is_the_answer() -> None:
    for question in many("mode", 1):
        first = chords_of(question)[0]
        assert {4: "major", 3: "minor"}[root_and_third(first)[1]] == question.answer
        assert root_and_third(first)[0] == question.key.tonic.chroma


def test_the_scale_that_sounds_is_the_answer() -> None:
    scales = {
        "major": SCALE.MajorScale("C"),
        "natural minor": SCALE.MinorScale("C"),
        "harmonic minor": SCALE.HarmonicMinorScale("C"),
        "melodic minor, ascending": SCALE.MelodicMinorScale("C"),
    }
    steps = {
        tuple(
            pitch.midi - 60
            for pitch in scale.getPitches("C4", "C5", direction=music21.scale.Direction.ASCENDING)
        ): name
        for name, scale in scales.items()
    }
    assert len(steps) == 4
    for question in many("mode", 2):
        notes = [note.note for note in notes_of(question)]
        assert steps[tuple(note - notes[0] for note in notes)] == question.answer


def test_the_inversion_of_a_triad_that_sounds_is_the_answer() -> None:
    names = ["root position", "first inversion", "second inversion"]
    for question in many("inversions", 1):
        chords = chords_of(question)
        assert names[music21.chord.Chord(chords[-1]).inversion()] == question.answer
        assert root_and_third(chords[0])[0] == question.key.tonic.chroma


def test_the_inversion_of_a_seventh_that_sounds_is_the_answer() -> None:
    """The bass of each position: Open Music Theory, thoroughbass figures (7, 65, 43, 42)."""
    basses = {7: "root position", 11: "first inversion", 2: "second inversion", 5: "third inversion"}
    for question in many("inversions", 2):
        chords = chords_of(question)
        tonic = root_and_third(chords[0])[0]
        last = [(note - tonic) % 12 for note in chords[-1]]
        assert basses[last[0]] == question.answer
        assert {7, 11, 5} <= set(last) <= {7, 11, 2, 5}


def test_the_chord_of_three_that_is_different_is_the_answer() -> None:
    for question in many("different", 1):
        shapes = [tuple(note - chord[0] for note in chord) for chord in chords_of(question)]
        odd = [place for place, shape in enumerate(shapes) if shapes.count(shape) == 1]
        assert [("first", "second", "third")[place] for place in odd] == [question.answer]


def test_the_chord_that_changes_is_the_answer_and_nothing_else_does() -> None:
    for question in many("different", 2):
        chords = chords_of(question)
        first, second = chords[:4], chords[4:]
        assert len(chords) == 8
        (place,) = (place for place in range(4) if first[place] != second[place])
        assert f"chord {place + 1}" == question.answer
        around = [second[near] for near in (place - 1, place + 1) if near < 4]
        roots = [root_and_third(notes)[0] for notes in (first[place], second[place], *around)]
        assert roots[1] not in (roots[0], *roots[2:])


def interval_of(lower: int, upper: int) -> str:
    """The interval's name by music21."""
    name = music21.interval.Interval(upper - lower).niceName.lower()
    return {"augmented fourth": "tritone", "diminished fifth": "tritone", "perfect octave": "octave"}.get(
        name, name
    )


@pytest.mark.parametrize("number", range(1, 7))
def test_the_interval_that_sounds_is_the_answer(number: int) -> None:
    ways = set()
    for question in many("intervals", number):
        one, other, *again = notes_of(question)
        assert interval_of(*sorted((one.note, other.note))) == question.answer
        assert [note.note for note in again] == [one.note, other.note]
        ways.add("together" if one.start == other.start else "up" if one.note < other.note else "down")
    expected = [{"up"}, {"up"}, {"down"}, {"together"}, {"up", "down"}, {"together"}]
    assert ways == expected[number - 1]


@pytest.mark.parametrize("number", [1, 2, 3])
def test_the_degree_that_sounds_is_the_answer(number: int) -> None:
    for question in many("degrees", number):
        *cadence, note, again = chords_of(question)
        root, third = root_and_third(cadence[0])
        assert note == again
        assert degree_in_scale((note[0] - root) % 12, third) == question.answer
        assert [d for d, _ in degrees(cadence)] == [0, 5, 7, 0]


def test_the_chromatic_degree_that_sounds_is_the_answer() -> None:
    """The twelve names with flats but for the raised fourth: convention."""
    names = ["1", "b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7"]
    for question in many("degrees", 4):
        *cadence, note, _ = chords_of(question)
        assert names[(note[0] - root_and_third(cadence[0])[0]) % 12] == question.answer


KINDS = {
    (0, 4, 7): "major",
    (0, 3, 7): "minor",
    (0, 3, 6): "diminished",
    (0, 4, 8): "augmented",
    (0, 4, 7, 10): "dominant seventh",
    (0, 4, 7, 11): "major seventh",
    (0, 3, 7, 10): "minor seventh",
    (0, 3, 6, 10): "half-diminished seventh",
    (0, 3, 6, 9): "diminished seventh",
}
"""Semitones of the kinds of chord in MusicXML 4.0's `kind-value` (W3C)."""


@pytest.mark.parametrize("number", range(1, 6))
def test_the_chord_quality_that_sounds_is_the_answer(number: int) -> None:
    positions: set[int] = set()
    for question in many("quality", number):
        whole, *broken, again = chords_of(question)
        found = {
            KINDS.get(tuple(sorted((note - root) % 12 for note in whole))): place
            for place, root in enumerate(whole)
        }
        found.pop(None, None)
        assert set(found) == {question.answer}
        assert whole == again == [note for (note,) in broken]
        positions.update(found.values() if question.answer in ("major", "minor") else [])
    assert positions <= ({0, 1, 2} if number == 5 else {0})
    assert number != 5 or positions == {0, 1, 2}


def meter_of(notes: list[Struck]) -> tuple[int, int]:
    """The beats in a bar, from one bass to the next, and the notes that a beat is divided into."""
    bass = [note.start for note in notes if note.note < 53]
    (bar,) = {later - earlier for earlier, later in pairwise(bass)}
    chords = {note.start for note in notes if 53 <= note.note < 67}
    (beat,) = {later - earlier for earlier, later in pairwise(sorted({*bass, *chords}))}
    places = {note.start % beat for note in notes if note.note >= 67}
    division = {frozenset({0, beat // 2}): 2, frozenset({0, beat // 3, beat * 2 // 3}): 3}
    return bar // beat, division[frozenset(places)]


@pytest.mark.parametrize("number", [1, 2, 3])
def test_the_meter_that_sounds_is_the_answer(number: int) -> None:
    """Simple beats divide in two, compound ones in three (Open Music Theory, simple and compound meter)."""
    names = {
        "two": (2, 2),
        "three": (3, 2),
        "in two": (2, 2),
        "in three": (2, 3),
        "simple duple (2/4)": (2, 2),
        "simple triple (3/4)": (3, 2),
        "compound duple (6/8)": (2, 3),
        "compound triple (9/8)": (3, 3),
    }
    for question in many("meter", number):
        notes = notes_of(question)
        assert meter_of(notes) == names[question.answer]
        # A bass on every first beat, in the order of a cadence.
        bass = [note.note for note in notes if note.note < 53]
        assert [(note - bass[0]) % 12 for note in bass] == [*[0, 5, 7, 0] * 2, 0]


@pytest.mark.parametrize(("number", "count", "width"), [(1, 3, 7), (2, 5, 7), (3, 7, 12)])
def test_the_melody_that_sounds_is_the_answer(number: int, count: int, width: int) -> None:
    for question in many("echo", number):
        home, *melody = chords_of(question)
        once, again = melody[:count], melody[count:]
        assert once == again
        notes = [note for (note,) in once]
        names = [music21.pitch.Pitch(name.replace("b", "-")) for name in question.answer.split()]
        assert [name.pitchClass for name in names] == [note % 12 for note in notes]
        assert max(notes) - min(notes) <= width
        assert question.given == f"{question.key.name}, begins on {question.answer.split()[0]}"
        assert root_and_third(home)[0] == question.key.tonic.chroma
        assert number == 1 or notes[-1] % 12 == question.key.tonic.chroma
        times = [note.start for note in notes_of(question)][-2 * count :]
        ends = [note.end for note in notes_of(question)][-2 * count :]
        # The silence in which it is played back is as long as the melody.
        assert times[count] - ends[count - 1] == ends[count - 1] - times[0]


@pytest.mark.parametrize("number", [1, 2, 3])
def test_the_key_that_the_music_ends_in_is_the_answer(number: int) -> None:
    """The goal's root and third above the first tonic's; the relative minor lies a minor third below (Open
    Music Theory, key signatures)."""
    goals = {
        (4, (0, 4)): "the home key",
        (4, (7, 4)): "the dominant key",
        (4, (9, 3)): "the relative key",
        (3, (0, 3)): "the home key",
        (3, (7, 3)): "the dominant key",
        (3, (3, 4)): "the relative key",
    }
    for question in many("modulation", number):
        chords = chords_of(question)
        found = degrees(chords)
        assert len(found) == 8
        assert goals[found[0][1], found[-1]] == question.answer
        # It is reached by its own dominant, and the first half ends at home.
        assert found[-2] == ((found[-1][0] + 7) % 12, 4)
        assert found[2:4] == [(7, 4), found[0]]
        # The cadential six-four has the goal's fifth in the bass, as the dominant after it.
        assert chords[-3][0] % 12 == chords[-2][0] % 12


@pytest.mark.parametrize("number", [1, 2, 3])
def test_the_four_chords_that_sound_are_the_answer(number: int) -> None:
    for question in many("progressions", number):
        home = music21.key.Key(
            question.key.tonic.name.replace("b", "-"), "minor" if question.key.is_minor else "major"
        )
        expected = [
            set(music21.roman.RomanNumeral(numeral, home).pitchClasses) for numeral in question.answer.split()
        ]
        assert [{note % 12 for note in chord} for chord in chords_of(question)] == expected


def test_every_file_has_one_time_signature_and_one_tempo() -> None:
    said = {
        str(message.copy(time=0))
        for name, number in (("meter", 3), ("intervals", 1), ("cadences", 1))
        for question in asked(level(name, number), 8)
        for message in file_of(question).tracks[0]
        if message.type in ("time_signature", "set_tempo")
    }
    assert len(said) == 2


def test_the_supertonic_triad_of_a_minor_key_is_diminished() -> None:
    triads = [question for question in many("cadences", 1) if "iio6" in question.asked.chords]
    assert triads
    for question in triads:
        second = chords_of(question)[question.asked.chords.index("iio6")]
        assert {(note - question.key.tonic.chroma) % 12 for note in second} == {2, 5, 8}
