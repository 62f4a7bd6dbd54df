"""Asking: the questions of a quiz, drawn from a level's answers and the keys given.

Conventions
- The source of chance is handed in, seeded: the same one asks the same questions.
- The answers of a level come as evenly as they can, in an order of chance.
- No question comes twice while there are others.
"""

from random import Random

from tracks.drill.drill import Start
from tracks.quiz.question import Asked, Level, Question
from tracks.theory.errors import RequestError
from tracks.theory.key import Key

MOST_QUESTIONS = 99

_TRIES = 20


def ask(level: Level, count: int, keys: tuple[Key, ...], rng: Random) -> tuple[Question, ...]:
    """Return `count` questions of a level, drawn from `keys`.

    Raises RequestError for a count there is not, and where a mode is asked about that none of the keys has.
    """
    if not 1 <= count <= MOST_QUESTIONS:
        raise RequestError(f"{count} is outside 1 to {MOST_QUESTIONS}", place="questions")
    for mode in dict(level.modes).values():
        if not any(key.mode is mode for key in keys):
            raise RequestError(f"{level.about}: this is asked in {mode.value}", "add such a key", "keys")
    questions: list[Question] = []
    asked_before: set[tuple[Key | None, Asked]] = set()
    for number, answer in enumerate(_evenly(level.answers or ("",), count, rng), start=1):
        question, tries = _drawn(number, answer, level, keys, rng), 1
        while _heard(question, level) in asked_before and tries < _TRIES:
            question, tries = _drawn(number, answer, level, keys, rng), tries + 1
        asked_before.add(_heard(question, level))
        questions.append(question)
    return tuple(questions)


def _heard(question: Question, level: Level) -> tuple[Key | None, Asked]:
    """Return what makes a question another one: what is played and, where one is heard, the key."""
    return question.key if level.in_key else None, question.asked


def _drawn(number: int, answer: str, level: Level, keys: tuple[Key, ...], rng: Random) -> Question:
    modes = tuple(dict.fromkeys(key.mode for key in keys))
    mode = dict(level.modes).get(answer) or rng.choice(modes)
    key = rng.choice([key for key in keys if key.mode is mode])
    asked = level.make(answer, key, rng)
    given = level.given(key, asked) if level.given else ""
    return Question(number, answer or asked.told, key, asked, rng.choice(tuple(Start)), given)


def _evenly(answers: tuple[str, ...], count: int, rng: Random) -> list[str]:
    """Return so many answers, each as often as the others or once more, shuffled."""
    whole, rest = divmod(count, len(answers))
    deck = [*answers] * whole + rng.sample(answers, rest)
    rng.shuffle(deck)
    return deck
