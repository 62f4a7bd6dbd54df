"""What holds for the questions of every skill at every level."""

from collections import Counter
from random import Random

import pytest
from heard import EVERY_KEY, LEVELS, asked, file_of, level, notes_of

from tracks.quiz.asking import ask
from tracks.quiz.question import Skill
from tracks.quiz.skills import SKILLS, level_of, skill_of
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.numeral_name import printed_text

EVERY_LEVEL = pytest.mark.parametrize(("skill", "number"), LEVELS)


@EVERY_LEVEL
def test_answers_come_as_evenly_as_they_can(skill: Skill, number: int) -> None:
    grade = level_of(skill, number)
    counted = Counter(question.answer for question in asked(grade, 13))

    if grade.answers:
        assert set(counted) == set(grade.answers)
        assert max(counted.values()) - min(counted.values()) <= 1


@EVERY_LEVEL
def test_the_same_seed_asks_the_same(skill: Skill, number: int) -> None:
    grade = level_of(skill, number)

    assert asked(grade, 12, 3) == asked(grade, 12, 3)
    assert asked(grade, 12, 3) != asked(grade, 12, 4)


@EVERY_LEVEL
def test_no_question_comes_twice_while_there_are_others(skill: Skill, number: int) -> None:
    grade = level_of(skill, number)
    heard = [(question.key if grade.in_key else None, question.asked) for question in asked(grade, 20)]

    assert len(set(heard)) == 20


@EVERY_LEVEL
def test_a_file_tells_nothing_but_its_number(skill: Skill, number: int) -> None:
    names = set()
    for question in asked(level_of(skill, number), 6):
        file = file_of(question)
        said = [message for track in file.tracks for message in track if message.is_meta]
        allowed = {"track_name", "set_tempo", "time_signature", "end_of_track"}
        assert {message.type for message in said} <= allowed
        assert file.tracks[0].name == f"Question-{question.number:02d}"
        names.add(tuple(track.name for track in file.tracks[1:]))
    assert len(names) == 1


@EVERY_LEVEL
def test_everything_lies_where_it_can_be_heard_and_sung(skill: Skill, number: int) -> None:
    """E2 to C6: the left hand's and the right hand's range over a bass (convention)."""
    for question in asked(level_of(skill, number), 24):
        notes = notes_of(question)
        assert min(note.note for note in notes) >= 40
        assert max(note.note for note in notes) <= 84


@EVERY_LEVEL
def test_a_level_asks_what_it_can_be_answered(skill: Skill, number: int) -> None:
    grade = level_of(skill, number)

    assert grade.task.endswith("?")
    assert len(set(grade.answers)) == len(grade.answers)
    assert grade.answers or grade.given
    for answer in grade.answers:
        # No numeral is printed otherwise than it is played.
        assert printed_text(answer, EVERY_KEY[0]) == answer


def test_skills_have_names_of_their_own_and_levels() -> None:
    assert len({skill.name for skill in SKILLS}) == len(SKILLS)
    assert all(len(skill.levels) >= 2 and skill.source for skill in SKILLS)


def test_the_order_of_answers_is_one_of_chance() -> None:
    orders = {
        tuple(question.answer for question in asked(level("cadences", 1), 8, seed)) for seed in range(20)
    }

    assert len(orders) > 15


def test_more_questions_than_one_key_has_still_come() -> None:
    questions = ask(level("inversions", 1), 99, (Key.parse("Eb"),), Random(1))

    assert len(questions) == 99
    assert {question.key.name for question in questions} == {"Eb major"}


@EVERY_LEVEL
def test_every_signature_can_be_asked_in(skill: Skill, number: int) -> None:
    extremes = tuple(map(Key.parse, ("C#", "Cb", "a#", "ab")))

    for question in ask(level_of(skill, number), 12, extremes, Random(2)):
        assert notes_of(question)


@pytest.mark.parametrize(
    ("name", "number", "said"),
    [
        ("cadences", 0, "cadences has no level 0; choose from 1 the four cadences; 2 six cadences, in minor"),
        ("degrees", 5, "degrees has no level 5"),
        ("interval", 1, "'interval' is no skill; did you mean intervals"),
        ("singing", 1, "'singing' is no skill; choose from cadences, mode"),
    ],
)
def test_a_skill_or_level_there_is_not_is_refused(name: str, number: int, said: str) -> None:
    with pytest.raises(RequestError, match=said):
        level_of(skill_of(name), number)


@pytest.mark.parametrize(
    ("skill", "number", "count", "keys", "said"),
    [
        ("cadences", 1, 0, EVERY_KEY, "questions: 0 is outside 1 to 99"),
        ("cadences", 1, 100, EVERY_KEY, "questions: 100 is outside 1 to 99"),
        ("mode", 1, 5, (Key.parse("c"),), "this is asked in major; add such a key"),
        ("cadences", 2, 5, (Key.parse("C"),), "this is asked in minor; add such a key"),
    ],
)
def test_questions_there_are_not_are_refused(
    skill: str, number: int, count: int, keys: tuple[Key, ...], said: str
) -> None:
    with pytest.raises(RequestError, match=said):
        ask(level(skill, number), count, keys, Random(1))
