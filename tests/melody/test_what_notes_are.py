"""What the notes of a tune say they are is what they are."""

import re
from itertools import pairwise

import pytest
from tunes import FOUR, brief, chord_under, does, figure, tune

from tracks.model import Note
from tracks.style import Brief

TURNS = "ii7 V7 I7 vi7 ii7 V7/V V7 I7"
FACTORS = {"root": 1, "third": 3, "fifth": 5, "seventh": 7}


def around(notes: tuple[Note, ...]) -> list[tuple[Note, Note, Note]]:
    return [(a, b, c) for (a, b), (_, c) in pairwise(pairwise(notes))]


def tunes(level: int, text: str = TURNS, key: str = "C") -> list[tuple[Brief, tuple[Note, ...]]]:
    given = brief(text, key)
    return [(given, tune(given, seed, level)) for seed in range(40)]


@pytest.mark.parametrize("level", [1, 2, 3, 4, 6])
def test_chord_tone_names_its_place_in_the_chord(level: int) -> None:
    for given, notes in tunes(level):
        for note in notes:
            if does(note).startswith(("chord tone", "guide tone")):
                chord = chord_under(given, note).chord
                name = does(note).split(", ")[1]
                assert chord
                assert note.pitch.tone == (chord.root if name == "root" else chord.factor(FACTORS[name])), (
                    note
                )


@pytest.mark.parametrize("level", [2, 3, 4, 6])
def test_passing_and_neighbor_tones_move_by_step(level: int) -> None:
    seen = 0
    for _, notes in tunes(level):
        for before, note, after in around(notes):
            came, goes = note.pitch.midi - before.pitch.midi, after.pitch.midi - note.pitch.midi
            passing = re.fullmatch(r"passing, (\S+) to (\S+)", does(note))
            neighbor = re.fullmatch(r"(upper|lower) neighbor of (\S+)", does(note))
            if passing or neighbor:
                seen += 1
                assert max(abs(came), abs(goes)) <= 2
            if passing:
                assert came * goes > 0
                assert (before.pitch.tone.sign, after.pitch.tone.sign) == passing.groups()
            if neighbor:
                assert came == -goes
                assert (came > 0) == (neighbor[1] == "upper")
                assert before.pitch.tone.sign == neighbor[2]
    assert seen > 50


def test_approach_and_enclosure_lead_by_step_or_half_step_into_a_chord_tone() -> None:
    seen = {"approach": 0, "enclosure": 0}
    for given, notes in tunes(4):
        for place, note in enumerate(notes):
            match = re.fullmatch(r"(approach|enclosure)(?: to| of) (\S+?),? from (below|above)", does(note))
            if not match:
                continue
            seen[match[1]] += 1
            target = next(n for n in notes[place + 1 :] if not does(n).startswith(match[1]))
            chord = chord_under(given, target).chord
            assert chord
            assert target.pitch.tone in chord.tones
            assert target.pitch.tone.sign == match[2]
            away = note.pitch.midi - target.pitch.midi
            assert away == -1 if match[3] == "below" else away in (1, 2)
    assert min(seen.values()) > 20


def test_enclosure_has_a_note_on_either_side() -> None:
    for _, notes in tunes(4):
        sides = [does(note).rsplit(" ", 1)[1] for note in notes if does(note).startswith("enclosure")]
        assert all(
            {first, second} == {"below", "above"}
            for first, second in zip(sides[::2], sides[1::2], strict=True)
        )


def test_every_chord_of_sevenths_is_entered_on_a_guide_tone() -> None:
    for given, notes in tunes(3):
        entered: dict[int, Note] = {}
        for note in notes:
            entered.setdefault(chord_under(given, note).start, note)
        *changes, last = entered.values()
        assert all(does(note).startswith("guide tone") for note in changes)
        assert does(last) == "chord tone, root"


def test_guide_tone_tells_where_the_line_goes() -> None:
    given = brief("| ii7 | V7 | I7 | I7 |")
    told = {
        does(note) for seed in range(200) for note in tune(given, seed, 3) if does(note).startswith("guide")
    }

    # R. Hutchinson, Music Theory for the 21st-Century Classroom, 31.8: F holds, C falls to B; F falls to E.
    assert "guide tone, third, held into the next chord" in told
    assert "guide tone, seventh, falls to B" in told
    assert "guide tone, seventh, falls to E" in told


def test_blue_notes_are_named_in_the_key() -> None:
    given = brief("Id7 IVd7 Id7 Id7 IVd7 IVd7 Id7 Id7 V7 IVd7 Id7 Id7", "C")
    blues = {
        (does(note), note.pitch.tone.name)
        for seed in range(60)
        for note in tune(given, seed, 5)
        if not does(note).startswith("chord")
    }

    named = {(words.removesuffix(" of the key"), name) for words, name in blues}
    assert {("blues third", "Eb"), ("blues seventh", "Bb"), ("pentatonic sixth", "A")} <= named
    assert {("blues fifth", "Gb"), ("blues raised fourth", "F#")} <= named
    assert {name for _, name in blues} <= {"C", "D", "E", "G", "A", "Eb", "F", "F#", "Gb", "Bb"}


def test_the_blues_fifth_is_spelled_as_it_moves() -> None:
    for seed in range(60):
        for here, after in pairwise(tune(brief("Id7 IVd7 Id7 V7 IVd7 Id7", "Bb"), seed, 5)):
            if here.pitch.tone.name in ("E", "Fb"):
                rises = after.pitch.midi > here.pitch.midi
                assert here.pitch.tone.name == ("E" if rises else "Fb")


def test_a_color_that_grates_is_come_to_and_left_by_step() -> None:
    seen = 0
    given = brief("Id7 IVd7 Id7 Id7 IVd7 IVd7 Id7 Id7 V7 IVd7 Id7 Id7", "Bb")
    for seed in range(60):
        for before, note, after in around(tune(given, seed, 5)):
            chord = chord_under(given, note).chord
            # A half step over the root: D over E flat's seventh, whose seventh is D flat.
            if chord and chord.symbol == "Eb7" and note.pitch.tone.name == "D":
                seen += 1
                assert max(abs(note.pitch.midi - other.pitch.midi) for other in (before, after)) <= 2
    assert seen


def test_a_motif_keeps_its_letters_when_it_returns_and_moves() -> None:
    given = brief("I vi ii V7 iii vi V7/V V7 I vi ii V7 I IV V7 I", "C")
    found = set()
    for seed in range(40):
        bars: dict[int, list[Note]] = {}
        for note in tune(given, seed, 6):
            # What leads in, or anticipates, belongs to the bar after the line.
            held_over = note.start // FOUR.bar < (note.end - 1) // FOUR.bar
            bars.setdefault(note.start // FOUR.bar + held_over, []).append(note)
        stated: list[Note] = []
        for notes in bars.values():
            label = figure(notes[0])
            staff = [note.pitch.staff_step for note in notes]
            if label == "motif":
                stated = notes
            elif label.startswith("motif") and "bent" not in label:
                origin = [note.pitch.staff_step for note in stated]
                way = -1 if "upside down" in label else 1
                assert [step - staff[0] for step in staff] == [way * (step - origin[0]) for step in origin]
                assert [n.start % FOUR.bar for n in notes] == [n.start % FOUR.bar for n in stated]
                found.add(label)
    assert {"motif again", "motif answered, upside down", "motif, a step higher"} <= found
