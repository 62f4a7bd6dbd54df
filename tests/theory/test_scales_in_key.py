"""Chord scales where a chord stands in a key, and the notes to pass over. Convention but where said."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.theory.chord import parse_symbol
from tracks.theory.chord_kinds import KINDS
from tracks.theory.chord_scales import SCALES, avoid_notes, chord_scales, scale
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.numeral import parse_numeral
from tracks.theory.pitch import Tone


@pytest.mark.parametrize(
    ("numeral", "key", "name", "tones"),
    [
        ("I7", "C", "C Ionian", "C D E F G A B"),
        ("iii7", "C", "E Phrygian", "E F G A B C D"),
        ("V7/ii", "C", "A Mixolydian b6", "A B C# D E F G"),
        ("V7/iii", "C", "B Phrygian dominant", "B C D# E F# G A"),
        ("V7/vi", "C", "E Phrygian dominant", "E F G# A B C D"),
        ("V7/V", "C", "D Mixolydian", "D E F# G A B C"),
        ("V7/IV", "C", "C Mixolydian", "C D E F G A Bb"),
        ("IVd7", "C", "F Lydian-dominant", "F G A B C D Eb"),
        ("bVII", "C", "Bb Lydian", "Bb C D E F G A"),
        ("iv", "C", "F Dorian", "F G Ab Bb C D Eb"),  # borrowed from C minor
        ("ii/o7", "C", "D Locrian", "D Eb F G Ab Bb C"),
        ("bVI7", "C", "Ab Lydian", "Ab Bb C D Eb F G"),
        ("N6", "C", "Db Lydian", "Db Eb F G Ab Bb C"),
        ("viio7", "C", "C harmonic major from B", "B C D E F G Ab"),
        ("V7", "c", "G Phrygian dominant", "G Ab B C D Eb F"),
        ("viio7", "c", "C harmonic minor from B", "B C D Eb F G Ab"),
        ("IV7", "c", "F Mixolydian", "F G A Bb C D Eb"),
        ("III+", "c", "Eb Lydian-augmented", "Eb F G A B C D"),
        ("VId7", "c", "Ab Lydian-dominant", "Ab Bb C D Eb F Gb"),
        ("Ger65", "c", "C Hungarian minor from F#", "F# G Ab B C D Eb"),  # the name from memory
        ("Fr43", "C", "C Hungarian minor from D", "D Eb F# G Ab B C"),
        ("Ger65/V", "C", "G Hungarian minor from C#", "C# D Eb F# G A Bb"),
    ],
)
def test_scale_is_the_keys_own_as_the_chord_bends_it(numeral: str, key: str, name: str, tones: str) -> None:
    home = Key.parse(key)

    found = chord_scales(parse_numeral(numeral, home), home)[0]

    assert (found.name, " ".join(tone.name for tone in found.tones)) == (name, tones)


@pytest.mark.parametrize(
    ("symbol", "names"),
    [
        ("G7", ["G Mixolydian"]),
        ("G7b9", ["G Phrygian dominant", "G octatonic half-whole"]),
        ("G7#9", ["G octatonic half-whole"]),
        ("G7#5", ["G whole tone"]),
        ("G7(#5,#9)", ["G altered"]),
        ("Cm(maj7)", ["C melodic minor"]),
    ],
)
def test_scales_for_the_kind_of_chord_follow_the_keys_own(symbol: str, names: list[str]) -> None:
    assert [each.name for each in chord_scales(parse_symbol(symbol), Key.parse("C"))] == names


@pytest.mark.parametrize(
    ("symbol", "key", "names"),
    [
        ("G7", "c", ["G Phrygian dominant", "G altered", "G octatonic half-whole"]),
        ("E7b9", "a", ["E Phrygian dominant", "E altered", "E octatonic half-whole"]),
        ("F7", "c", ["F Mixolydian"]),
        ("G7", "C", ["G Mixolydian"]),
    ],
)
def test_the_dominant_of_a_minor_key_has_its_altered_scales(symbol: str, key: str, names: list[str]) -> None:
    """Hutchinson, Table 31.10.3 (7alt, 7(b9)), and 31.8, where the minor key's dominant is a 7alt."""
    assert [each.name for each in chord_scales(parse_symbol(symbol), Key.parse(key))] == names


@pytest.mark.parametrize(
    ("symbol", "key", "names"),
    [
        ("Cm6", "c", ["C melodic minor", "C Dorian"]),
        ("Cm6/9", "c", ["C melodic minor", "C Dorian"]),
        ("Fm6", "C", ["F melodic minor", "F Dorian"]),
        ("Dm6", "C", ["D Dorian", "D melodic minor"]),
        ("Fm6", "c", ["F Dorian", "F melodic minor"]),
    ],
)
def test_minor_sixth_foreign_to_its_key_takes_the_melodic_minor(
    symbol: str, key: str, names: list[str]
) -> None:
    """Hutchinson, Table 31.10.3, has both for m6/9; that the key decides which comes first is convention."""
    assert [each.name for each in chord_scales(parse_symbol(symbol), Key.parse(key))] == names


@pytest.mark.parametrize(
    ("symbol", "key", "name", "tones"),
    [
        ("C/Bb", "C", "C Mixolydian", "C D E F G A Bb"),
        ("Am/F#", "C", "A Dorian", "A B C D E F# G"),
        ("Am/F#", "a", "A Dorian", "A B C D E F# G"),
        ("Dm7/G", "C", "D Dorian", "D E F G A B C"),
        ("C/Db", "C", "C Phrygian dominant", "C Db E F G Ab Bb"),
        ("C/E", "C", "C Ionian", "C D E F G A B"),
    ],
)
def test_foreign_bass_sounds_in_the_scale(symbol: str, key: str, name: str, tones: str) -> None:
    """Convention: the scale holds every note that sounds."""
    found = chord_scales(parse_symbol(symbol), Key.parse(key))

    assert (found[0].name, " ".join(tone.name for tone in found[0].tones)) == (name, tones)
    assert all(parse_symbol(symbol).bass in each.tones for each in found)


def test_chord_spells_its_own_tones_in_the_scale() -> None:
    found = chord_scales(parse_symbol("G7#9"), Key.parse("C"))[0]

    assert " ".join(tone.name for tone in found.tones) == "G Ab A# B C# D E F"


@given(
    root=st.integers(-7, 7).map(Tone),
    kind=st.sampled_from([kind for kind in KINDS if kind.spellings]),
    key=st.sampled_from(KEY_SETS["all-30"]),
)
def test_every_chord_has_a_scale_from_its_root_that_holds_its_tones(
    root: Tone, kind: object, key: Key
) -> None:
    chord = parse_symbol(root.name + kind.spellings[0])  # type: ignore[attr-defined]

    found = chord_scales(chord, key)

    assert 1 <= len(found) <= 3
    for each in found:
        assert each.tones[0] == chord.root
        # The altered scale over a plain dominant asks the chord to leave its fifth out.
        left_out = {chord.factor(5)} if each.name.endswith("altered") else set()
        assert set(chord.tones) - left_out <= set(each.tones)
        chromas = [(tone.chroma - root.chroma) % 12 for tone in each.tones]
        assert chromas == sorted(set(chromas))


@pytest.mark.parametrize(
    ("symbol", "key", "avoided"),
    [
        ("Cmaj7", "C", "F"),
        ("Dm7", "C", ""),
        ("Em7", "C", "F C"),
        ("Fmaj7", "C", ""),
        ("G7", "C", "C"),
        ("Am7", "C", "F"),
        ("G7", "c", "C"),  # A flat and E flat are colors of the dominant
        ("Bm7b5", "C", "C"),
    ],
)
def test_a_half_step_above_a_chord_tone_is_passed_over(symbol: str, key: str, avoided: str) -> None:
    chord = parse_symbol(symbol)

    assert [t.name for t in avoid_notes(chord, chord_scales(chord, Key.parse(key))[0])] == avoided.split()


@pytest.mark.parametrize("name", SCALES)
def test_scale_of_the_table_climbs_within_an_octave(name: str) -> None:
    semitones = [tone.chroma for tone in scale(name, Tone(0)).tones]

    assert semitones == sorted(set(semitones))
    assert semitones[0] == 0
