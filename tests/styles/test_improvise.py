"""A seeded melody over the left hand's chords."""

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from styles.improvise import STYLE, scale_over, step_between
from tracks.changes import realise
from tracks.drill import HIGHEST_RIGHT, LOWEST_RIGHT, Sevenths, Start
from tracks.hands import voice_hands
from tracks.model import ChordAt, Note, Role, Texture
from tracks.progression import parse
from tracks.style import Brief
from tracks.testing import trial
from tracks.theory.chord import parse_symbol
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter
from tracks.theory.pitch import Pitch

FOUR = Meter(4, 4)


def brief(
    text: str, key: Key, level: int = 2, meter: Meter = FOUR, texture: Texture = Texture.OVER_BASS
) -> Brief:
    changes = realise(parse(text, meter), key)
    voiced = voice_hands(changes, texture, Start.ROOT, Sevenths.SMOOTHEST, LOWEST_RIGHT, HIGHEST_RIGHT)
    return Brief(voiced.chords, meter, changes.length, texture, level)


def tune(given: Brief, seed: int) -> tuple[Note, ...]:
    return STYLE.play(given, Random(seed))[0].notes


def test_the_melody_is_the_right_hand_and_the_left_has_the_chords() -> None:
    melody, left = STYLE.play(brief("I IV V7 I", Key.parse("C")), Random(1))

    assert (melody.role, left.role) == (Role.MELODY, Role.LEFT)
    assert STYLE.info.roles == (Role.MELODY, Role.LEFT)


def test_same_seed_plays_the_same_tune_and_another_seed_another() -> None:
    given = brief("I vi IV V7", Key.parse("D"))

    assert tune(given, 7) == tune(given, 7)
    assert len({tune(given, seed) for seed in range(20)}) == 20


@pytest.mark.parametrize("texture", Texture)
def test_one_seed_plays_one_tune_in_every_key(texture: Texture) -> None:
    contours = set()
    for key in KEY_SETS["all-major"]:
        notes = tune(brief("I vi ii V7 | V7/V V7 I I", key, texture=texture), 3)
        contours.add(tuple((n.start, n.length, n.pitch.midi - notes[0].pitch.midi, n.why) for n in notes))

    assert len(contours) == 1


@pytest.mark.parametrize("meter", [Meter(4, 4), Meter(3, 4), Meter(6, 8), Meter(2, 4), Meter(12, 8)])
def test_level_one_is_a_chord_tone_on_every_felt_beat(meter: Meter) -> None:
    given = brief("I IV V7 I", Key.parse("G"), level=1, meter=meter)

    notes = tune(given, 1)

    assert [note.start for note in notes] == list(range(0, given.length, meter.beat))
    assert {note.why for note in notes} == {"chord tone"}


@settings(deadline=None, max_examples=40)
@given(
    seed=st.integers(0, 10_000),
    meter=st.sampled_from([Meter(4, 4), Meter(3, 4), Meter(6, 8), Meter(12, 8)]),
    texture=st.sampled_from(Texture),
    level=st.sampled_from([1, 2]),
)
def test_notes_say_truly_what_they_are(seed: int, meter: Meter, texture: Texture, level: int) -> None:
    chords, length = trial(meter, texture)

    notes = tune(Brief(chords, meter, length, texture, level), seed)

    for place, note in enumerate(notes):
        chord = next(v.at.chord for v in chords if v.at.start <= note.start < v.at.end)
        assert chord
        before, after = notes[place - 1 : place] or [None], notes[place + 1 : place + 2] or [None]
        if note.why == "chord tone":
            assert note.pitch.tone in chord.tones
        else:
            assert before[0]
            assert after[0]
            came, goes = note.pitch.midi - before[0].pitch.midi, after[0].pitch.midi - note.pitch.midi
            assert 1 <= abs(came) <= 2
            assert 1 <= abs(goes) <= 2
            assert note.why == ("passing" if came * goes > 0 else "neighbour")
            assert note.start % meter.beat


@settings(deadline=None, max_examples=20)
@given(seed=st.integers(0, 10_000), key=st.sampled_from(KEY_SETS["all"]), texture=st.sampled_from(Texture))
def test_tune_stays_in_reach_and_above_the_left_hand(seed: int, key: Key, texture: Texture) -> None:
    given = brief("i iv V7 i" if key.is_minor else "I IV V7 I", key, texture=texture)

    melody, left = STYLE.play(given, Random(seed))

    for note in melody.notes:
        below = [
            other.pitch.midi for other in left.notes if other.start < note.end and note.start < other.end
        ]
        assert 58 <= note.pitch.midi <= 85  # C4 to C#6, and a neighbour below
        assert note.pitch.midi > max(below)


def test_level_two_has_passing_and_neighbour_notes() -> None:
    given = brief("I vi IV V7 I vi IV V7", Key.parse("C"))

    assert {note.why for seed in range(5) for note in tune(given, seed)} == {
        "chord tone",
        "passing",
        "neighbour",
    }


def test_tune_ends_on_the_root() -> None:
    given = brief("I IV V7 I", Key.parse("A"))

    assert {tune(given, seed)[-1].pitch.tone.name for seed in range(10)} == {"A"}


def at(symbol: str, key: str) -> ChordAt:
    return ChordAt(0, FOUR.bar, parse_symbol(symbol), Key.parse(key), 1, 0)


@pytest.mark.parametrize(
    ("symbol", "key", "expected"),
    [
        ("C", "C", "C D E F G A B"),
        ("E7", "a", "C D E F G# A B"),  # the dominant in minor raises the seventh
        ("Am", "a", "C D E F G A B"),
        ("D7", "C", "C D E F# G A B"),  # the dominant of the dominant
        ("Fm", "C", "C D E F G Ab B"),
    ],
)
def test_scale_is_the_keys_own_as_the_chord_bends_it(symbol: str, key: str, expected: str) -> None:
    # Common practice; the raised seventh is the harmonic minor's.
    scale = scale_over(at(symbol, key))

    assert " ".join(scale[step].name for step in range(7)) == expected


@pytest.mark.parametrize(
    ("symbol", "key", "first", "second", "way", "expected"),
    [
        ("C", "C", "C5", "E5", 1, ("D5", "passing")),
        ("C", "C", "G4", "E4", 1, ("F4", "passing")),
        ("C", "C", "G4", "G4", 1, ("A4", "neighbour")),
        ("C", "C", "C5", "C5", -1, ("B4", "neighbour")),
        ("E7", "a", "E4", "G#4", 1, ("F#4", "passing")),  # the melodic minor's sixth, no augmented second
        ("E7", "a", "E4", "E4", 1, ("F4", "neighbour")),
        ("C", "C", "C5", "G4", 1, None),
        ("G7", "C", "F4", "G4", 1, None),
    ],
)
def test_step_joins_two_chord_tones(
    symbol: str, key: str, first: str, second: str, way: int, expected: tuple[str, str] | None
) -> None:
    step = step_between(Pitch.parse(first), Pitch.parse(second), at(symbol, key), way)

    assert (step and (step[0].name, step[1])) == expected
