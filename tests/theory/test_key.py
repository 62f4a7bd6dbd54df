import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key, Mode, parse_keys
from tracks.theory.pitch import Interval

keys = st.sampled_from(KEY_SETS["all-30"])


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Eb", "Eb major"),
        ("E♭", "Eb major"),
        ("F# minor", "F# minor"),
        ("c", "C minor"),
        ("bb", "Bb minor"),
        ("b", "B minor"),
        ("Bb", "Bb major"),
        ("f#m", "F# minor"),
        ("Am", "A minor"),
        ("c major", "C major"),
        ("G-minor", "G minor"),
        ("E flat", "Eb major"),
        ("E-flat major", "Eb major"),
        ("F sharp minor", "F# minor"),
        ("B Flat Minor", "Bb minor"),
        ("a flat major", "Ab major"),
    ],
)
def test_the_ways_a_key_is_written(text: str, name: str) -> None:
    assert Key.parse(text).name == name


@given(keys)
def test_key_reads_back_from_its_name_its_folder_and_its_signs(key: Key) -> None:
    assert Key.parse(key.name) == Key.parse(key.folder) == Key.parse(key.sign) == key


@pytest.mark.parametrize(
    ("text", "fix"), [("G#", "write Ab major"), ("Fb", "write E major"), ("e## minor", "write F# minor")]
)
def test_impossible_key_is_refused_with_the_easier_one(text: str, fix: str) -> None:
    with pytest.raises(RequestError, match=fix):
        Key.parse(text)


@pytest.mark.parametrize("text", ["", "H", "C dorian", "12", "C major minor"])
def test_what_is_no_key_is_refused(text: str) -> None:
    with pytest.raises(RequestError, match="is no key"):
        Key.parse(text)


def test_sets_hold_each_key_once_round_the_circle_of_fifths() -> None:
    major, minor = KEY_SETS["all-major"], KEY_SETS["all-minor"]

    assert [key.tonic.name for key in major] == [
        "C",
        "G",
        "D",
        "A",
        "E",
        "B",
        "F#",
        "Db",
        "Ab",
        "Eb",
        "Bb",
        "F",
    ]
    assert [key.tonic.name for key in minor] == [
        "A",
        "E",
        "B",
        "F#",
        "C#",
        "G#",
        "Eb",
        "Bb",
        "F",
        "C",
        "G",
        "D",
    ]
    assert KEY_SETS["all"] == major + minor
    assert len(set(KEY_SETS["all-30"])) == 30


def test_keys_are_taken_in_order_and_once() -> None:
    assert [key.name for key in parse_keys(("Eb", "c", "Eb"))] == ["Eb major", "C minor"]
    assert len(parse_keys(("all-major", "C"))) == 12


@given(keys, st.sampled_from(["P1", "m2", "M2", "m3", "M3", "P4", "A4", "P5", "m6", "M6", "m7", "M7"]))
def test_transposed_key_sounds_the_interval_higher(key: Key, name: str) -> None:
    moved = key.transposed(Interval.parse(name))

    assert moved.mode is key.mode
    assert (moved.tonic.chroma - key.tonic.chroma - Interval.parse(name).semitones) % 12 == 0


@pytest.mark.parametrize(
    ("key", "tone"), [("C", "B"), ("a", "G#"), ("f#", "E#"), ("Cb", "Bb"), ("G#m", "F##")]
)
def test_leading_tone_lies_a_half_step_below_the_tonic(key: str, tone: str) -> None:
    assert Key.parse(key).leading_tone.name == tone


def test_degrees_are_the_natural_scale() -> None:
    assert [Key.parse("eb").degree(n).name for n in range(1, 8)] == ["Eb", "F", "Gb", "Ab", "Bb", "Cb", "Db"]
    assert Key.parse("eb").mode is Mode.MINOR
    with pytest.raises(RequestError, match="outside 1 to 7"):
        Key.parse("C").degree(8)
