"""The notes of a staff become chords in one voice or two."""

from tracks.model import Note
from tracks.notation.voices import Struck, voices
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.pitch import Pitch

FOUR = Meter.parse("4/4")


def note(start: float, length: float, name: str, finger: int | None = None) -> Note:
    return Note(round(start * QUARTER), round(length * QUARTER), Pitch.parse(name), finger=finger)


def sorted_out(*notes: Note) -> list[list[str]]:
    """Both voices, a word a chord: where it begins and ends, in quarter notes, and its names."""
    found = voices(notes, FOUR, 0, 8 * QUARTER)
    return [[_word(chord) for chord in voice] for voice in found]


def _word(chord: Struck) -> str:
    names = "+".join(pitch.name for pitch in chord.pitches)
    return f"{chord.start / QUARTER:g}-{chord.end / QUARTER:g} {names}"


def test_notes_that_begin_and_end_together_are_one_chord_low_to_high() -> None:
    assert sorted_out(note(0, 2, "G4"), note(0, 2, "C4"), note(2, 2, "E4")) == [["0-2 C4+G4", "2-4 E4"], []]


def test_held_bass_under_moving_chords_is_the_lower_voice() -> None:
    found = sorted_out(note(0, 4, "C3"), note(1, 1, "E3"), note(1, 1, "G3"), note(2, 1, "E3"))
    assert found == [["1-2 E3+G3", "2-3 E3"], ["0-4 C3"]]


def test_held_tune_over_a_moving_part_is_the_upper_voice() -> None:
    assert sorted_out(note(0, 4, "C5"), note(0, 2, "E4"), note(2, 2, "F4")) == [
        ["0-4 C5"],
        ["0-2 E4", "2-4 F4"],
    ]


def test_players_lift_is_not_written() -> None:
    assert sorted_out(note(0, 0.9, "C4"), note(1, 0.9, "D4")) == [["0-1 C4", "1-1.875 D4"], []]


def test_rest_that_is_meant_stays() -> None:
    assert sorted_out(note(0, 0.5, "C4"), note(1, 1, "D4")) == [["0-0.5 C4", "1-2 D4"], []]


def test_third_chord_at_once_ends_the_first() -> None:
    found = sorted_out(note(0, 4, "C3"), note(1, 3, "G3"), note(2, 2, "E4"))
    assert sum(len(voice) for voice in found) == 3
    assert "0-2 C3" in [*found[0], *found[1]]


def test_key_struck_twice_at_one_moment_is_written_once() -> None:
    assert sorted_out(note(0, 1, "C4"), note(0, 1, "C4")) == [["0-1 C4"], []]


def test_fingers_go_with_their_pitches() -> None:
    upper, _ = voices((note(0, 1, "G4", 5), note(0, 1, "C4", 1)), FOUR, 0, 4 * QUARTER)
    assert upper[0].fingers == (1, 5)
