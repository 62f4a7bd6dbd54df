"""What the beat decides where the notes alone leave it open."""

from itertools import pairwise

import pytest
from recovered import asked_of

from tracks.takes.expected import Asked
from tracks.takes.judge import evaluate
from tracks.takes.report import Report
from tracks.takes.take import PlayedNote, Take

BEAT_S = 0.5


@pytest.fixture(scope="module")
def rock() -> Asked:
    """Four like chords to a bar, in quarter notes."""
    return asked_of("rock", "I vi IV V7 I", "Eb")


def played(
    asked: Asked, without: tuple[int, ...] = (), twice: tuple[int, ...] = (), halts: tuple[int, ...] = ()
) -> Report:
    notes, late = [], 0.0
    for place, group in enumerate(asked.groups):
        late += 2 * BEAT_S * (place in halts)
        for again in (0.0, BEAT_S / 2) if place in twice else (0.0,):
            if place not in without:
                at = 1 + group.beat * BEAT_S + late + again
                notes += [PlayedNote(at, at + 0.2, note.pitch.midi, 70) for note in group.notes]
    return evaluate(Take("take", tuple(sorted(notes, key=lambda note: (note.onset_s, note.midi)))), asked)


def missing(report: Report) -> list[int]:
    return [place for place, each in enumerate(report.best.heard) if each.missing]


def test_the_groups_are_like_chords_a_beat_apart(rock: Asked) -> None:
    first = rock.groups[:4]

    assert len({group.notes for group in first}) == 1
    assert [group.beat for group in first] == [0, 1, 2, 3]


@pytest.mark.parametrize("place", [1, 2, 3, 5, 6])
def test_of_like_chords_the_one_left_out_is_found_by_its_time(rock: Asked, place: int) -> None:
    assert missing(played(rock, without=(place,))) == [place]


def test_two_chords_left_out_are_missing_where_they_were(rock: Asked) -> None:
    report = played(rock, without=(2, 6))

    assert missing(report) == [2, 6]
    assert report.best.restarts == ()


def test_a_chord_struck_twice_does_not_move_those_after_it(rock: Asked) -> None:
    report = played(rock, without=(6,), twice=(2,))

    assert missing(report) == [6]
    assert [place for place, each in enumerate(report.best.heard) if each.extra] == [2]


def test_a_halt_is_a_halt_and_no_chord_left_out(rock: Asked) -> None:
    report = played(rock, halts=(5,))

    assert missing(report) == []
    assert report.longest_hesitation_s == pytest.approx(2 * BEAT_S, abs=0.05)


def test_a_first_note_and_a_long_halt_is_still_the_first_note() -> None:
    asked = asked_of("country-train", "I vi IV V7 I", "B")
    assert len(asked.groups[0].notes) == 1

    assert missing(played(asked, halts=(1,))) == []


def test_a_bass_note_as_early_as_the_chord_before_is_its_own() -> None:
    """It is struck with a chord that does not ask for it: early, and neither missing nor extra."""
    asked = asked_of("jazz-waltz", "I vi IV V7 I", "Eb")
    early = next(
        place
        for place, (before, group) in enumerate(pairwise(asked.groups), 1)
        if place > 3 and len(group.notes) == 1 and group.beat - before.beat <= 0.5
    )
    notes = [
        PlayedNote(1 + asked.groups[place - (place == early)].beat * BEAT_S, 9, note.pitch.midi, 70)
        for place, group in enumerate(asked.groups)
        for note in group.notes
    ]
    notes.sort(key=lambda note: (note.onset_s, note.midi))

    assert evaluate(Take("take", tuple(notes)), asked).notes == 0
