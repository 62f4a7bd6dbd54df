"""German and British names, printed and read back; the German ones against music21 and LilyPond's table."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21.pitch import Pitch as TheirPitch

from tracks.notation.words import for_paper
from tracks.theory.chord import parse_symbol
from tracks.theory.chord_kinds import BY_SPELLING
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.note_names import NoteNames, chord_meant, key_meant
from tracks.theory.pitch import signs

GERMAN, BRITISH, ENGLISH = NoteNames.GERMAN, NoteNames.BRITISH, NoteNames.ENGLISH
SPELLINGS = [f"{letter}{signs}" for letter in "CDEFGAB" for signs in ("bb", "b", "", "#", "##")]
SYMBOLS = sorted(BY_SPELLING)


@pytest.mark.parametrize("name", SPELLINGS)
def test_a_german_note_is_music21s(name: str) -> None:
    theirs = TheirPitch(name.replace("b", "-")).german

    for shown in (signs(name), for_paper(name)):
        assert GERMAN.printed(shown) == theirs
        assert GERMAN.printed(f"{shown}4, and {shown}m7") == f"{theirs}4, and {theirs}m7"


def test_a_german_note_is_lilyponds() -> None:
    # LilyPond Notation Reference, "Note names in other languages", the row of deutsch and the lines under it.
    assert [GERMAN.printed(sign) for sign in ("B♭", "B", "A♭", "E♭", "A𝄫", "E𝄫")] == [
        "B", "H", "As", "Es", "Ases", "Eses",
    ]  # fmt: skip
    assert GERMAN.english("Asas") == "Abb"


@given(st.lists(st.tuples(st.sampled_from(SPELLINGS), st.sampled_from(SYMBOLS)), min_size=1, max_size=8))
def test_chords_printed_in_german_read_as_the_same_chords(chords: list[tuple[str, str]]) -> None:
    text = " ".join(root + kind for root, kind in chords)

    assert GERMAN.english(GERMAN.printed(text)) == text or [
        parse_symbol(word) for word in GERMAN.english(GERMAN.printed(signs(text))).split()
    ] == [parse_symbol(word) for word in text.split()]


@given(st.sampled_from(SPELLINGS), st.integers(0, 9))
def test_pitches_printed_in_german_read_as_the_same_pitches(name: str, octave: int) -> None:
    assert GERMAN.english(GERMAN.printed(f"{signs(name)}{octave}")) == f"{name}{octave}"


@pytest.mark.parametrize("key", KEY_SETS["all-30"], ids=str)
def test_a_key_printed_in_german_reads_as_the_same_key(key: Key) -> None:
    shown = GERMAN.printed(key.sign)

    assert shown[0].islower() is key.is_minor
    assert Key.parse(GERMAN.english_key(shown)) == key
    tonic = shown.partition("-")[0]
    assert Key.parse(GERMAN.english_key(tonic)) == key
    assert Key.parse(GERMAN.english_key(f"fourths from {tonic}").removeprefix("fourths from ")) == key


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("C F B7 E", "C F H7 E"),
        ("B♭m7♭5/A♭ | B7sus4 | E♭sus4", "Bm7♭5/As | H7sus4 | Essus4"),
        ("I V7/V ii/o65 ♭VI It6 Ger65 Fr43 N6 Cad64 N.C.", "I V7/V ii/o65 ♭VI It6 Ger65 Fr43 N6 Cad64 N.C."),
        ("b: i | B♭: V7 | f♯: i", "h: i | B: V7 | fis: i"),
        ("right hand meet on B and D♯, left hand to B♭2", "right hand meet on H and Dis, left hand to B2"),
        ("By Bar 2 Both Begin", "By Bar 2 Both Begin"),
        ("F♯, the leading tone", "Fis, the leading tone"),
        ("B minor, first inversion", "h-Moll, first inversion"),
        ("B minor seventh; B♭ major seventh; C minor, major seventh",
         "H minor seventh; B major seventh; C minor, major seventh"),
        ("in E♭ major and G♯ minor", "in Es-Dur and gis-Moll"),
    ],
)  # fmt: skip
def test_only_names_of_notes_and_keys_change(english: str, german: str) -> None:
    assert GERMAN.printed(english) == german
    assert ENGLISH.printed(english) == english


@pytest.mark.parametrize(
    ("german", "english"),
    [
        ("H", "B major"), ("h", "B minor"), ("B", "Bb major"), ("b-Moll", "Bb minor"), ("Es-Dur", "Eb major"),
        ("es moll", "Eb minor"), ("Cis-dur", "C# major"), ("as", "Ab minor"), ("Bb", "Bb major"),
        ("F#", "F# major"), ("B major", "B major"), ("H minor", "B minor"), ("all-major", "all-major"),
        ("fourths from H", "fourths from B major"), ("up to 3 sharps", "up to 3 sharps"),
    ],
)  # fmt: skip
def test_keys_are_read_in_german(german: str, english: str) -> None:
    assert GERMAN.english_key(german) == english
    assert ENGLISH.english_key(german) == german


@pytest.mark.parametrize(
    ("german", "english"),
    [
        ("Asus4 Assus4 Esus4 Essus4 Adim Asdim", "Asus4 Absus4 Esus4 Ebsus4 Adim Abdim"),
        ("|: Fism7 H7 :| B/D", "|: F#m7 B7 :| Bb/D"),
        ("h: i iv V7 | B: I", "b: i iv V7 | Bb: I"),
        ("E♭7 Bb F#", "Eb7 Bb F#"),
        ("H2-Es5", "B2-Eb5"),
        ("I vi ii65 V7 Ger65 1 4 57", "I vi ii65 V7 Ger65 1 4 57"),
    ],
)
def test_chords_are_read_in_german(german: str, english: str) -> None:
    assert GERMAN.english(german) == english


def test_british_terms() -> None:
    # Convention: common British usage.
    assert [BRITISH.note_value(each) for each in ("whole", "half", "quarter", "eighth", "32nd")] == [
        "semibreve", "minim", "crotchet", "quaver", "demisemiquaver",
    ]  # fmt: skip
    assert BRITISH.printed("up a half step, down a whole step; 12 half steps") == (
        "up a semitone, down a tone; 12 semitones"
    )
    assert BRITISH.printed("B♭ half-diminished") == "B♭ half-diminished"


# What is written elsewhere, in a text that is English


@pytest.mark.parametrize(
    ("german", "ours"),
    [
        ("H", "B major"), ("B-Dur", "Bb major"), ("h-Moll", "B minor"), ("fis", "F# minor"),
        ("As", "Ab major"),
        ("Cis dur", "C# major"), ("Ces-Dur", "Cb major"), ("sol", "G"), ("Q", ""), ("Hund", ""),
    ],
)  # fmt: skip
def test_keys_of_other_countries(german: str, ours: str) -> None:
    assert key_meant(german) == ours


@pytest.mark.parametrize(
    ("word", "ours"),
    [("H7", "B7"), ("Cis7", "C#7"), ("Esm", "Ebm"), ("Sol7", "G7"), ("lam", "Am"), ("C", ""), ("Dove", "")],
)
def test_chords_of_other_countries(word: str, ours: str) -> None:
    assert chord_meant(word) == ours
