import pytest

from tracks.progression.changes import home_key, realize
from tracks.progression.music import parse
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import Meter


def symbols(text: str, key: str | None = None, written_in: str | None = None) -> str:
    progression = parse(text, Meter(4, 4))
    changes = realize(
        progression,
        Key.parse(key) if key else home_key(progression),
        Key.parse(written_in) if written_in else None,
    )
    return " ".join(at.chord.symbol if at.chord else "N.C." for at in changes.chords)


@pytest.mark.parametrize(
    ("text", "key", "written_in", "expected"),
    [
        ("I vi IV V7", "Eb", None, "Eb Cm Ab Bb7"),
        ("1 6 4 57", "c", None, "Cm Ab Fm G7"),
        ("C Am F G7", "D", None, "C Am F G7"),
        ("C Am F G7", "D", "C", "D Bm G A7"),
        ("C/E F#dim7 N.C. G", "Eb", "C", "Eb/G Adim7 N.C. Bb"),
        ("Eb: I V7 G: V7 I", None, None, "Eb Bb7 D7 G"),
        ("Eb: I V7 G: V7 I", "C", None, "C G7 B7 E"),
        ("Bb: Bb F7 Bb", "D", None, "D A7 D"),
        ("C: I F#: I", "F#", None, "F# C"),
        ("IV bVI I", "Gb", None, "Cb Ebb Gb"),
    ],
)
def test_chords_in_a_key(text: str, key: str | None, written_in: str | None, expected: str) -> None:
    assert symbols(text, key, written_in) == expected


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("I IV V", "C major"),
        ("i iv V", "C minor"),
        ("g: i V", "G minor"),
        ("Am Dm E7 Am", "A minor"),
        ("1 4 5", "C major"),
    ],
)
def test_home_key_where_none_is_asked_for(text: str, key: str) -> None:
    assert home_key(parse(text, Meter(4, 4))).name == key


def test_symbols_and_degrees_have_their_numerals() -> None:
    changes = realize(parse("G D7/F# Em A7", Meter(4, 4)), Key.parse("G"))

    assert [at.chord.numeral for at in changes.chords if at.chord] == ["I", "V65", "vi", "V7/V"]


def test_transposing_between_modes_is_refused() -> None:
    with pytest.raises(RequestError, match="choose a major key"):
        symbols("Eb: I V", "a")


def test_keys_of_the_chords_follow_the_text() -> None:
    changes = realize(parse("| C: I | a: V7 i |", Meter(4, 4)), Key.parse("Bb"))

    assert [at.key.name for at in changes.chords] == ["Bb major", "G minor", "G minor"]
