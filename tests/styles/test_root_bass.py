"""Held chords over a bass line."""

from random import Random

import pytest

from styles.root_bass import STYLE
from tracks.model import ChordAt, Hand, Part, Texture, VoicedChord
from tracks.style import Brief
from tracks.style.testing import trial
from tracks.theory.chord import parse_symbol
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.pitch import Pitch

FOUR = Meter(4, 4)


def bass_of(meter: Meter, level: int, *chords: tuple[str, str, int]) -> Part:
    """The left hand for chords written as symbol, bass note and felt beats, under a right hand on C4."""
    voiced, now = [], 0
    right = Hand(tuple(map(Pitch.parse, ("C4", "E4", "G4"))), (1, 3, 5))
    for place, (symbol, bass, beats) in enumerate(chords):
        at = ChordAt(now, beats * meter.beat, parse_symbol(symbol), Key.parse("C"), 1, place)
        voiced.append(VoicedChord(at, right, Hand((Pitch.parse(bass),), (5,))))
        now = at.end
    return STYLE.play(Brief(tuple(voiced), meter, now, Texture.OVER_BASS, level), Random(1))[1]


def names(part: Part) -> list[str]:
    return [note.pitch.name for note in part.notes]


def test_level_one_plays_the_bass_as_voiced_with_its_finger() -> None:
    part = bass_of(FOUR, 1, ("C", "C3", 4), ("F", "F2", 4))

    assert names(part) == ["C3", "F2"]
    assert [note.finger for note in part.notes] == [5, 5]


@pytest.mark.parametrize(
    ("meter", "second"),
    [
        (Meter(4, 4), 2),
        (Meter(3, 4), 2),
        (Meter(2, 4), 1),
        (Meter(6, 8), 1),
        (Meter(12, 8), 2),
        (Meter(5, 4), 3),
    ],
)
def test_level_two_turns_to_the_fifth_in_the_second_half_of_the_bar(meter: Meter, second: int) -> None:
    # Root and fifth by turns, convention.
    part = bass_of(meter, 2, ("C", "C3", meter.beats))

    assert names(part) == ["C3", "G2"]
    assert [note.start for note in part.notes] == [0, second * meter.beat]


def test_two_chords_in_a_bar_have_their_own_bass_each() -> None:
    assert names(bass_of(FOUR, 2, ("C", "C3", 2), ("F", "F2", 2))) == ["C3", "F2"]


def test_a_bass_that_is_not_the_root_turns_to_the_root() -> None:
    assert names(bass_of(FOUR, 2, ("C/E", "E3", 4))) == ["E3", "C3"]


def test_a_bar_of_one_beat_keeps_the_bass() -> None:
    assert names(bass_of(Meter(3, 8), 2, ("C", "C3", 3))) == ["C3", "G2"]
    assert names(bass_of(Meter(1, 4), 2, ("C", "C3", 1))) == ["C3"]


@pytest.mark.parametrize("level", [1, 2])
def test_left_hand_stays_in_its_range_and_below_the_right(level: int) -> None:
    chords, length = trial(FOUR, Texture.OVER_BASS)
    right, left = STYLE.play(Brief(chords, FOUR, length, Texture.OVER_BASS, level), Random(1))

    for note in left.notes:
        above = [other.pitch.midi for other in right.notes if other.start <= note.start < other.end]
        assert 40 <= note.pitch.midi <= 64
        assert note.pitch.midi < min(above)
    assert all(note.length <= 4 * QUARTER for note in left.notes)
