"""Scale degrees: a cadence sets the key, then one note of it sounds.

In minor the sixth degree is the natural one and the seventh the raised one, as in the harmonic scale.
"""

from random import Random

from tracks.quiz.notes import line, twice
from tracks.quiz.question import Asked, Level, Skill, only_in
from tracks.theory.chord import degree_interval
from tracks.theory.key import Key, Mode
from tracks.theory.pitch import Pitch, Tone

_MIDDLE_C = 60
_CADENCE = {Mode.MAJOR: ("I", "IV", "V7", "I"), Mode.MINOR: ("i", "iv", "V7", "i")}
_CHROMATIC = ("1", "b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7")


def _degree(answer: str, key: Key, _rng: Random) -> Asked:
    tone = key.leading_tone if answer == "7" else key.degree(int(answer))
    return _after_cadence(tone, key)


def _chromatic(answer: str, key: Key, _rng: Random) -> Asked:
    alter = {"b": -1, "#": 1}.get(answer[0], 0)
    return _after_cadence(key.tonic.up(degree_interval(int(answer.strip("b#")), alter)), key)


def _after_cadence(tone: Tone, key: Key) -> Asked:
    pitch = Pitch.at_or_above(tone, _MIDDLE_C)
    return Asked(_CADENCE[key.mode], notes=twice(line([pitch], (2,)), 3), told=pitch.name)


_TASK = "After the cadence, which degree of the scale is the note?"

DEGREES = Skill(
    "degrees",
    "scale degrees",
    (
        Level("degrees 1, 3 and 5", _TASK, ("1", "3", "5"), _degree),
        Level("degrees 1 to 5", _TASK, tuple("12345"), _degree),
        Level("all seven degrees", _TASK, tuple("1234567"), _degree),
        Level("all twelve notes, in major", _TASK, _CHROMATIC, _chromatic, only_in(Mode.MAJOR, _CHROMATIC)),
    ),
    "Open Music Theory, scales and scale degrees",
)
