"""Progressions of four chords, each named by its numerals."""

from random import Random

from tracks.quiz.question import Asked, Level, Skill, only_in
from tracks.theory.key import Key, Mode

_THREE = ("I IV V I", "I vi IV V", "I V vi IV")
_SIX = (*_THREE, "vi IV I V", "I ii V I", "IV V iii vi")
_MINOR = ("i iv V i", "i VII VI V", "i VI III VII", "i VI iv V")


def _progression(answer: str, _key: Key, _rng: Random) -> Asked:
    return Asked(tuple(answer.split()))


_TASK = "Which four chords are played?"

PROGRESSIONS = Skill(
    "progressions",
    "progressions of four chords",
    (
        Level("three in major", _TASK, _THREE, _progression, only_in(Mode.MAJOR, _THREE)),
        Level("six in major", _TASK, _SIX, _progression, only_in(Mode.MAJOR, _SIX)),
        Level("four in minor", _TASK, _MINOR, _progression, only_in(Mode.MINOR, _MINOR)),
    ),
    "Hutchinson, Music Theory for the 21st-Century Classroom, section 9.3 (common progressions); convention",
)
