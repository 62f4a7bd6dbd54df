"""What is said of a chord: its name and its inversion, in words that a student speaks aloud."""

import pytest

from tracks.drill.drill import Drill
from tracks.drill.in_key import in_each_key
from tracks.model import Texture, VoicedChord
from tracks.notation.words import for_paper, position, said_name, say, say_right_hand
from tracks.theory.chord import parse_symbol
from tracks.theory.chord_kinds import KINDS
from tracks.theory.key import Key
from tracks.theory.meter import Meter
from tracks.theory.pitch import Tone


@pytest.mark.parametrize(
    ("symbol", "words"),
    [
        ("C", "C major"),
        ("Bbm", "B♭ minor"),
        ("F#7", "F♯ seventh"),
        ("Ebmaj7", "E♭ major seventh"),
        ("Dm7b5", "D half-diminished seventh"),
        ("Bdim7", "B diminished seventh"),
        ("C6/9", "C six nine"),
        ("G7(b9)", "G seventh with ♭9"),
        ("Gsus4", "G suspended fourth"),
        ("Am(maj7)", "A minor, major seventh"),
        ("D7b5", "D seventh with ♭5"),
    ],
)
def test_chord_is_said_by_its_name(symbol: str, words: str) -> None:
    assert said_name(parse_symbol(symbol)) == words


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_every_kind_has_words(kind: object) -> None:
    from tracks.theory.chord import Chord
    from tracks.theory.chord_kinds import ChordKind
    from tracks.theory.pitch import Tone

    assert isinstance(kind, ChordKind)
    said = said_name(Chord(Tone.parse("D"), kind.intervals, Tone.parse("D")))
    assert said[2:].strip()
    assert kind.name == "French" or not any(letter.isdigit() for letter in said)


def voiced_chords(
    progression: str, key: str = "Eb", texture: Texture = Texture.DOUBLED
) -> tuple[VoicedChord, ...]:
    (chart,) = in_each_key(Drill("d", progression, (Key.parse(key),), Meter(4, 4), (60,), texture=texture))
    return chart.chords


def said(progression: str, key: str = "Eb", texture: Texture = Texture.DOUBLED) -> list[str]:
    return [say(voiced) for voiced in voiced_chords(progression, key, texture)]


def test_hands_together_the_line_tells_the_hands_inversion() -> None:
    assert said("I vi IV") == [
        "E♭ major, root position",
        "C minor, first inversion",
        "A♭ major, second inversion",
    ]


def test_hands_together_have_one_shape() -> None:
    assert {say_right_hand(voiced) for voiced in voiced_chords("I vi IV V7 I")} == {""}


@pytest.mark.parametrize("texture", [Texture.OVER_BASS, Texture.FOUR_PART], ids=lambda t: t.value)
def test_with_a_bass_the_line_tells_the_inversion_that_the_bass_makes(texture: Texture) -> None:
    # That the bass names the inversion is convention; the figures say which: 6, 64, 65, 43, 42.
    assert said("i iv6 V65 i64 V43 i V42 i6 V", "c", texture) == [
        "C minor, root position",
        "F minor, first inversion",
        "G seventh, first inversion",
        "C minor, second inversion",
        "G seventh, second inversion",
        "C minor, root position",
        "G seventh, third inversion",
        "C minor, first inversion",
        "G major, root position",
    ]


def test_right_hands_own_shape_is_told_where_the_bass_makes_another() -> None:
    # The right hand: C Eb G, then C F Ab over Ab.
    first, second = voiced_chords("i iv6", "c", Texture.OVER_BASS)

    assert say_right_hand(first) == ""
    assert say_right_hand(second) == "right hand in second inversion"


def test_left_hand_that_plays_otherwise_makes_the_inversion() -> None:
    _, second = voiced_chords("I vi", "C")

    assert say(second) == "A minor, first inversion"
    assert say(second, Tone.parse("A")) == "A minor, root position"
    assert say_right_hand(second, Tone.parse("A")) == "right hand in first inversion"


@pytest.mark.parametrize(
    ("symbol", "lowest", "words"),
    [
        ("C", "C", "root position"),
        ("C7", "Bb", "third inversion"),
        ("C7sus4", "F", "first inversion"),
        ("C6", "A", "third inversion"),
        ("C9", "D", "ninth lowest"),
        ("Cadd9", "D", "ninth lowest"),
        ("C13", "A", "thirteenth lowest"),
        ("C6/9", "D", "ninth lowest"),
    ],
)
def test_only_tones_up_to_the_seventh_make_inversions(symbol: str, lowest: str, words: str) -> None:
    assert position(parse_symbol(symbol), Tone.parse(lowest)) == words


def test_augmented_sixths_are_said_by_their_own_names() -> None:
    assert [line.split(",")[0] for line in said("It6 Ger65 Fr43", "C")] == [
        "A♭ Italian sixth",
        "A♭ German sixth",
        "A♭ French sixth",
    ]


def test_silence_is_said_too() -> None:
    assert said("I | N.C. | I")[1] == "silence"


def test_foreign_bass_is_said_last() -> None:
    assert said("C F/G", "C", Texture.OVER_BASS)[1].endswith("over G")


def test_double_accidentals_use_signs_that_every_font_has() -> None:
    assert for_paper("F##dim7") == "F×dim7"
    assert for_paper("Bbb") == "B♭♭"
