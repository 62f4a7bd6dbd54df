"""A tune explained on paper: one mark a note, what begins over the staff, and every mark told."""

from random import Random

import pytest

from tracks.drill.drill import Drill
from tracks.drill.in_key import in_each_key
from tracks.model import Note, Part, Role, Why
from tracks.notation.explained import Whys, explained, legend
from tracks.notation.score import Score, score
from tracks.pack.sheets import played_sheet
from tracks.practice.played import Played
from tracks.progression.library import LIBRARY
from tracks.style.registry import load
from tracks.theory.key import Key, Mode
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.pitch import Pitch


def written(notes: list[Note]) -> Score:
    drill = Drill("lantern", "I V7", (Key.parse("C"),), Meter(4, 4), (60,))
    (in_key,) = in_each_key(drill)
    return score("lantern", in_key.changes, in_key.chords, [Part(Role.MELODY, tuple(notes))])


def told(notes: list[Note]) -> Whys:
    return {note.start: note.why for note in notes if note.why}


def test_a_tied_note_has_its_mark_once() -> None:
    held = Note(3 * QUARTER, 2 * QUARTER, Pitch.parse("G4"), why=Why("chord tone, fifth", "5th"))
    made = explained(written([held]), told([held]))

    marks = [[event.mark for event in bar.staves[0][0] if event.pitches] for bar in made.bars]
    assert marks == [["5th"], [""]]


def test_a_figure_is_said_where_it_begins_and_again_in_the_next_bar() -> None:
    notes = [
        Note(n * QUARTER, QUARTER, Pitch.parse("G4"), why=Why("", "5th", figure))
        for n, figure in enumerate(("", "motif", "motif", "", "motif", "motif"))
    ]
    made = explained(written(notes), told(notes))

    assert [bar.figures for bar in made.bars] == [((QUARTER, "motif"),), ((4 * QUARTER, "motif"),)]


def test_a_score_without_marks_has_no_legend() -> None:
    assert legend(written([])) == ""


@pytest.mark.parametrize("level", range(1, 7))
def test_the_legend_tells_every_mark(level: int) -> None:
    for entry in LIBRARY[level::12]:
        key = Key.parse("c" if entry.mode is Mode.MINOR else "C")
        drill = Drill(
            "lantern", entry.text, (key,), Meter(4, 4), (60,), style="improvise", level=level,
            seed=Random(level).randrange(99), sheet=True, explain=True,
        )  # fmt: skip
        (in_key,) = in_each_key(drill)
        made = played_sheet(Played(drill, load("improvise"), in_key))
        marks = {e.mark for bar in made.score.bars for voice in bar.staves[0] for e in voice if e.pitches}
        known = {"root", "tonic", "2nd", "3rd", "4th", "5th", "6th", "7th", "9th", "11th", "13th", ""}
        for word in {mark.split()[0] for mark in marks - {""}} - known:
            assert f"{word}: " in made.legend
