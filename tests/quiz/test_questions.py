"""Ear drills: that what sounds is what the answer says, found again from the notes alone."""

import io
from collections import Counter
from random import Random

import mido
import music21
import pytest

from tracks.export.midi import to_bytes
from tracks.quiz.questions import LEVELS, Question, ask, sounding
from tracks.style.registry import load
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.numeral import parse_numeral

BLOCK = load("block")
EVERY_KEY = KEY_SETS["all"]
MANY = 48


def asked(level: int, count: int = MANY, seed: int = 5) -> tuple[Question, ...]:
    return ask(level, count, EVERY_KEY, Random(seed))


def struck(question: Question) -> list[list[int]]:
    """The chords that a question's file sounds, low to high, read back by mido."""
    content = to_bytes(sounding(question, BLOCK, 66))
    now, chords = 0, dict[int, list[int]]()
    for message in mido.merge_tracks(mido.MidiFile(file=io.BytesIO(content)).tracks):
        now += message.time
        if message.type == "note_on" and message.velocity:
            chords.setdefault(now, []).append(message.note)
    return [sorted(notes) for notes in chords.values()]


def chord21(notes: list[int]) -> music21.chord.Chord:
    return music21.chord.Chord([*notes])


def degree(notes: list[int], tonic: int) -> tuple[int, bool]:
    """A chord's root above the tonic, in semitones, and whether its third is major, by music21."""
    found = chord21(notes)
    third = (found.third or found.root()).pitchClass
    return (found.root().pitchClass - tonic) % 12, (third - found.root().pitchClass) % 12 == 4


def name_of_cadence(chords: list[list[int]]) -> str:
    """What the last two chords are, with the first as the tonic (convention)."""
    tonic = chord21(chords[0]).root().pitchClass
    (before, _), (last, _) = (degree(notes, tonic) for notes in chords[-2:])
    if last == 7:
        return "half (imperfect)"
    if last in (8, 9) and before == 7:
        return "deceptive (interrupted)"
    assert last == 0
    return {7: "perfect (authentic)", 5: "plagal"}[before]


@pytest.mark.parametrize("question", asked(1), ids=lambda q: str(q.number))
def test_the_cadence_that_sounds_is_the_answer(question: Question) -> None:
    assert name_of_cadence(struck(question)) == question.answer


@pytest.mark.parametrize("question", asked(2, 16), ids=lambda q: str(q.number))
def test_the_mode_that_sounds_is_the_answer(question: Question) -> None:
    first = chord21(struck(question)[0])

    assert first.quality == question.answer
    assert first.root().pitchClass == question.key.tonic.chroma


@pytest.mark.parametrize("question", asked(3, 24), ids=lambda q: str(q.number))
def test_the_inversion_that_sounds_is_the_answer(question: Question) -> None:
    chords = struck(question)
    names = ["root position", "first inversion", "second inversion"]

    assert names[chord21(chords[-1]).inversion()] == question.answer
    assert degree(chords[0], question.key.tonic.chroma)[0] == 0


@pytest.mark.parametrize("question", asked(4, 24), ids=lambda q: str(q.number))
def test_the_chord_that_changes_is_the_answer_and_nothing_else_does(question: Question) -> None:
    chords = struck(question)
    first, second = chords[:4], chords[4:]

    changed = [place for place in range(4) if first[place] != second[place]]

    assert len(chords) == 8
    assert [f"chord {place + 1}" for place in changed] == [question.answer]
    (place,) = changed
    assert chord21(first[place]).pitchClasses != chord21(second[place]).pitchClasses
    around = [second[near] for near in (place - 1, place + 1) if near < 4]
    roots = [chord21(notes).root().pitchClass for notes in (first[place], second[place], *around)]
    assert roots[1] not in (roots[0], *roots[2:])


@pytest.mark.parametrize("level", range(1, len(LEVELS) + 1))
def test_answers_come_as_evenly_as_they_can(level: int) -> None:
    counted = Counter(question.answer for question in asked(level, 10))

    assert set(counted) == set(LEVELS[level - 1].answers)
    assert max(counted.values()) - min(counted.values()) <= 1


def test_the_order_of_answers_is_one_of_chance() -> None:
    orders = {tuple(question.answer for question in asked(1, 8, seed)) for seed in range(20)}

    assert len(orders) > 15


@pytest.mark.parametrize("level", range(1, len(LEVELS) + 1))
def test_the_same_seed_asks_the_same(level: int) -> None:
    assert asked(level, 12, 3) == asked(level, 12, 3)
    assert asked(level, 12, 3) != asked(level, 12, 4)


@pytest.mark.parametrize("level", range(1, len(LEVELS) + 1))
def test_no_question_comes_twice_while_there_are_others(level: int) -> None:
    questions = asked(level, 30)

    assert len({(question.key, question.asked) for question in questions}) == 30


def test_more_questions_than_one_key_has_still_come() -> None:
    questions = ask(3, 99, (Key.parse("Eb"),), Random(1))

    assert len(questions) == 99
    assert {question.key.name for question in questions} == {"Eb major"}


@pytest.mark.parametrize("level", range(1, len(LEVELS) + 1))
def test_a_file_tells_neither_key_nor_chords(level: int) -> None:
    for question in asked(level, 6):
        file = mido.MidiFile(file=io.BytesIO(to_bytes(sounding(question, BLOCK, 66))))
        said = [message for track in file.tracks for message in track if message.is_meta]
        assert not [message for message in said if message.type in ("key_signature", "marker", "text")]
        assert file.tracks[0].name == f"Question-{question.number:02d}"


def test_dominant_sevenths_keep_their_leading_tone() -> None:
    for question in asked(1):
        for numeral, notes in zip(question.asked.chords, struck(question), strict=True):
            if numeral == "V7":
                leading = parse_numeral("V7", question.key).tones[1]
                assert leading.chroma in {note % 12 for note in notes}


@pytest.mark.parametrize(
    ("level", "count", "keys", "said"),
    [
        (0, 5, EVERY_KEY, "level 0 is none .* 1 cadences; 2 major or minor; 3 inversions; 4 the changed"),
        (5, 5, EVERY_KEY, "level 5 is none"),
        (1, 0, EVERY_KEY, "questions 0 is outside 1 to 99"),
        (1, 100, EVERY_KEY, "questions 100 is outside 1 to 99"),
        (2, 5, (Key.parse("c"),), "level 2 asks major or minor, and no key is major; add one"),
    ],
)
def test_a_quiz_there_is_not_is_refused(level: int, count: int, keys: tuple[Key, ...], said: str) -> None:
    with pytest.raises(RequestError, match=said):
        ask(level, count, keys, Random(1))
