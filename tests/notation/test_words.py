"""What is said of a chord: its name and its inversion, in words that a student speaks aloud."""

import pytest

from tracks.chart import charts
from tracks.drill import Drill
from tracks.model import Texture
from tracks.notation.words import for_paper, numeral_sign, said_name, say
from tracks.theory.chord import parse_symbol
from tracks.theory.chord_kinds import KINDS
from tracks.theory.key import Key
from tracks.theory.meter import Meter


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


def said(progression: str, key: str = "Eb", texture: Texture = Texture.HANDS_TOGETHER) -> list[str]:
    (chart,) = charts(Drill("d", progression, (Key.parse(key),), Meter(4, 4), (60,), texture=texture))
    return [say(voiced) for voiced in chart.chords]


def test_line_tells_the_right_hands_inversion() -> None:
    assert said("I vi IV") == [
        "E♭ major, root position",
        "C minor, first inversion",
        "A♭ major, second inversion",
    ]


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


@pytest.mark.parametrize(
    ("numeral", "sign"),
    [
        ("viio7", "vii°7"),
        ("ii/o65", "iiø65"),
        ("bVI", "♭VI"),
        ("V65/V", "V65/V"),
        ("viio7/V", "vii°7/V"),
        ("Ger65", "Ger65"),
    ],
)
def test_numeral_is_written_as_people_read_it(numeral: str, sign: str) -> None:
    assert numeral_sign(numeral) == sign


def test_double_accidentals_use_signs_that_every_font_has() -> None:
    assert for_paper("F##dim7") == "F×dim7"
    assert for_paper("Bbb") == "B♭♭"
