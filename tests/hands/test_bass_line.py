"""The left hand's bass line: five-finger position, fingers, shifts, and the words for them."""

import random
from itertools import pairwise, product

import pytest

from tracks.hands.bass_line import BassNote, bass_line
from tracks.model import ChordAt
from tracks.theory.chord import parse_symbol
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.pitch import Pitch

BAR = 40320
HIGH = Pitch.parse("C5")


def chords(text: str, key: str = "C", per_bar: int = 1) -> tuple[ChordAt, ...]:
    """Chords of a text, so many a bar; a word like `G:` changes the key."""
    found: list[ChordAt] = []
    for word in text.split():
        if word.endswith(":"):
            key = word[:-1]
            continue
        chord = None if word == "N.C." else parse_symbol(word)
        place = len(found)
        found.append(ChordAt(place * BAR, BAR, chord, Key.parse(key), place // per_bar + 1, place))
    return tuple(found)


def line(text: str, key: str = "C", above: tuple[str, ...] = ()) -> tuple[BassNote | None, ...]:
    changes = chords(text, key)
    return bass_line(changes, [Pitch.parse(name) for name in above] or [HIGH] * len(changes))


def told(notes: tuple[BassNote | None, ...]) -> list[str]:
    return [f"{note.pitch} {note.finger}" if note else "-" for note in notes]


def pitches(notes: tuple[BassNote | None, ...]) -> list[str]:
    return [note.pitch.name for note in notes if note]


def marks(notes: tuple[BassNote | None, ...]) -> list[tuple[str, ...]]:
    return [note.marks if note else () for note in notes]


def test_degrees_one_to_five_lie_under_fingers_five_to_one() -> None:
    assert told(line("C Dm Em F G")) == ["C3 5", "D3 4", "E3 3", "F3 2", "G3 1"]
    assert told(line("Eb Fm Gm Ab Bb", "Eb")) == ["Eb3 5", "F3 4", "G3 3", "Ab3 2", "Bb3 1"]
    assert told(line("Fm Gdim Ab Bbm C", "f")) == ["F3 5", "G3 4", "Ab3 3", "Bb3 2", "C4 1"]


def test_thumb_steps_up_to_degree_six_and_five_below_to_degree_seven() -> None:
    notes = line("C Am F G/B C")
    assert told(notes) == ["C3 5", "A3 1", "F3 2", "B2 5", "C3 5"]
    assert marks(notes) == [(), ("thumb steps up to A",), (), ("move finger 5 down to B",), ()]


def test_note_held_out_of_position_is_marked_once() -> None:
    assert marks(line("C Am Am7")) == [(), ("thumb steps up to A",), ()]


def test_altered_note_takes_its_letters_finger() -> None:
    assert told(line("C Eb F#dim Ab F Bb")) == ["C3 5", "Eb3 3", "F#3 2", "Ab3 1", "F3 2", "Bb2 5"]


def test_slash_bass_is_the_bass() -> None:
    assert told(line("C/E F/G")) == ["E3 3", "G3 1"]


def test_letter_carries_the_octave_number() -> None:
    notes = line("Gb Cb", "Gb", ("Gb4", "Cb4"))
    assert told(notes) == ["Gb2 5", "Cb3 2"]
    assert [note.pitch.midi for note in notes if note] == [42, 47]


def test_position_nearest_to_c3_is_taken() -> None:
    assert told(line("A D", "A")) == ["A2 5", "D3 2"]
    assert told(line("G C", "G")) == ["G2 5", "C3 2"]


def test_right_hand_that_comes_down_shifts_the_position_and_says_so() -> None:
    notes = line("C F C", above=("C4", "F3", "C4"))
    assert told(notes) == ["C3 5", "F2 2", "C3 5"]
    assert marks(notes) == [(), ("left hand shifts down an octave",), ("left hand shifts up an octave",)]


STEPWISE = {
    "andalusian": ("Am G F E", "a"),
    "lament": ("Cm Bb Ab G", "c"),
    "chromatic": ("C C/B C/Bb F/A Fm/Ab C/G", "C"),
    "aeolian rise": ("Ab Bb Cm", "c"),
    "sixth to seventh degree": ("C F/A G7/B C", "C"),
}


@pytest.mark.parametrize("name", STEPWISE)
def test_a_second_is_played_as_a_second_in_the_written_direction(name: str) -> None:
    """Convention: a bass that is written to walk walks; no seventh stands for its second."""
    notes = [note for note in line(*STEPWISE[name]) if note]
    for before, after in list(pairwise(notes))[name.startswith("sixth") :]:
        steps = {"B2 Bb2": 0, "A2 Ab2": 0}.get(f"{before.pitch} {after.pitch}", 1)
        assert abs(after.pitch.staff_step - before.pitch.staff_step) == steps, told(tuple(notes))


UNDER_C4 = ("C4",) * 9


def test_a_line_longer_than_the_hand_leaps_as_late_as_it_can_on_the_first_chord_of_a_bar() -> None:
    """Convention: the scale down from C3 under a right hand on C4 has no room below E2."""
    words = "C G/B Am Em/G F C/E Dm7 G7"
    assert pitches(line(words, "C", UNDER_C4[1:])) == ["C3", "B2", "A2", "G2", "F2", "E2", "D3", "G3"]
    # Two chords a bar; the D, which has no room, is the second of its bar, so the leap comes before, on E.
    shifted = bass_line(chords(f"C {words}", per_bar=2), [Pitch.parse("C4")] * 9)
    assert pitches(shifted) == ["C3", "C3", "B2", "A2", "G2", "F2", "E3", "D3", "G3"]


def test_steps_out_of_position_are_fingered_as_a_line_and_marked_once() -> None:
    """Convention: finger 5 does not take three keys running; the walk's fingers are the published model's."""
    notes = line("C C/B C/Bb F/A Fm/Ab C/G C", "C", UNDER_C4[2:])
    assert told(notes) == ["C3 1", "B2 2", "Bb2 3", "A2 1", "Ab2 2", "G2 3", "C3 5"]
    assert marks(notes)[0] == ("left hand leaves its position: fingers 1 2 3 1 2 3",)
    neighbor = line("C G/B C F")
    assert told(neighbor) == ["C3 4", "B2 5", "C3 4", "F3 2"]
    assert marks(neighbor)[1:] == [(), (), ("left hand back in position",)]


@pytest.mark.parametrize("words", ["C G/B C", "C C/B C/Bb", "D D/C# D/C D/B", "C F/A G7/B C G/B F/A"])
@pytest.mark.parametrize("key", ["C", "D", "F"])
def test_finger_five_never_takes_three_keys_running(words: str, key: str) -> None:
    fingers = [note.finger for note in line(words, key) if note]
    assert (5, 5, 5) not in zip(fingers, fingers[1:], fingers[2:], strict=False)


def test_a_tone_that_stays_stays() -> None:
    """Convention: a bass that is held moves to no other octave, whatever the position nearest to C3."""
    assert pitches(line("C F/C C", "C", ("C4", "C4", "C4"))) == ["C3", "C3", "C3"]


def test_position_that_needs_no_shift_is_better_than_the_one_nearest_to_c3() -> None:
    # F3 is nearer to C3 than F2 is, but C4 would meet the right hand.
    assert told(line("F C F", "F", ("C4", "C4", "C4"))) == ["F2 5", "C3 1", "F2 5"]
    assert told(line("F C F", "F", ("C5", "C5", "C5"))) == ["F3 5", "C4 1", "F3 5"]


def test_repeat_is_played_alike() -> None:
    once = chords("C F G C")
    twice = bass_line(once + once, [HIGH, Pitch.parse("F3"), HIGH, HIGH] * 2)
    assert told(twice)[:4] == told(twice)[4:]


def test_key_change_takes_a_new_position_and_says_so() -> None:
    notes = line("C G G: D G")
    assert told(notes) == ["C3 5", "G3 1", "D3 1", "G2 5"]
    assert marks(notes)[2] == ("left hand takes the position on G",)


def test_silence_is_passed_over() -> None:
    assert told(line("N.C. C N.C. F")) == ["-", "C3 5", "-", "F3 2"]


def test_no_room_under_the_right_hand_is_a_fault_with_the_mend() -> None:
    with pytest.raises(RequestError, match=r"bar 2: the bass Eb has no room .* note Eb2; raise"):
        line("C Eb", "C", ("C5", "Eb2"))


def brute_force(changes: tuple[ChordAt, ...], above: list[Pitch]) -> tuple[int, ...]:
    """The least of each place of the cost in turn, over all octaves of all notes."""
    options = []
    for at, ceiling in zip(changes, above, strict=True):
        assert at.chord
        letters = [Pitch(at.key.tonic, octave) for octave in range(1, 5)]
        found = []
        for tonic in letters:
            # The bass stands on the staff from one letter below the tonic to five above.
            places = [Pitch(at.chord.bass, octave) for octave in range(7)]
            (pitch,) = (p for p in places if -1 <= p.staff_step - tonic.staff_step <= 5)
            if 40 <= pitch.midi <= 64 and pitch.midi < ceiling.midi:
                found.append((tonic, pitch))
        options.append(found)
    return min(cost(changes, list(path)) for path in product(*options))


STEPS = {0: 0, 1: 1, 6: -1}
"""How many letters a name lies above another, by their distance in the alphabet, where that is a step."""


def cost(changes: tuple[ChordAt, ...], path: list[tuple[Pitch, Pitch]]) -> tuple[int, ...]:
    """Steps that are leapt, those within a bar, how early; shifts; distance of the tonics; movement."""
    leaps = []
    for place, ((_, old), (_, new)) in enumerate(pairwise(path), start=1):
        letters = (ord(new.name[0]) - ord(old.name[0])) % 7
        if letters in STEPS and new.staff_step - old.staff_step != STEPS[letters]:
            leaps.append(place)
    return (
        len(leaps),
        sum(changes[place].bar == changes[place - 1].bar for place in leaps),
        sum(len(path) - place for place in leaps),
        sum(a[0].tone == b[0].tone and a[0] != b[0] for a, b in pairwise(path)),
        sum(abs(tonic.midi - 48) for tonic, _ in path),
        sum(abs(a[1].midi - b[1].midi) for a, b in pairwise(path)),
    )


@pytest.mark.parametrize("seed", range(4))
def test_line_is_what_brute_force_finds_in_every_place_of_the_cost(seed: int) -> None:
    dice = random.Random(seed)
    words = "C Dm Em F G Am Bdim Eb Ab Bb C/E F/A G: D: Eb: a:".split()
    for _ in range(100):
        text = " ".join(dice.choices(words, k=6))
        changes = chords(text, dice.choice(["C", "F", "A", "B", "f#"]), per_bar=dice.choice([1, 2]))
        above = [Pitch.parse(dice.choice(["F3", "A3", "C4", "G4"])) for _ in changes]
        if not changes:
            continue
        found = [note.pitch for note in bass_line(changes, above) if note]
        tonics = [tonic_below(at, pitch) for at, pitch in zip(changes, found, strict=True)]
        assert cost(changes, list(zip(tonics, found, strict=True))) == brute_force(changes, above), text


def tonic_below(at: ChordAt, pitch: Pitch) -> Pitch:
    """The tonic in whose position a note lies: from one letter below it to five above."""
    tonics = [Pitch(at.key.tonic, octave) for octave in range(7)]
    return next(tonic for tonic in tonics if -1 <= pitch.staff_step - tonic.staff_step <= 5)
