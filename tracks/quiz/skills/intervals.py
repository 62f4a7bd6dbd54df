"""Intervals: upward, downward, and both notes together."""

from random import Random

from tracks.quiz.notes import line, low, together, twice
from tracks.quiz.question import Asked, Level, Maker, Skill
from tracks.theory.key import Key
from tracks.theory.pitch import Interval, Pitch

INTERVALS = {
    "minor second": "m2",
    "major second": "M2",
    "minor third": "m3",
    "major third": "M3",
    "perfect fourth": "P4",
    "tritone": "A4",
    "perfect fifth": "P5",
    "minor sixth": "m6",
    "major sixth": "M6",
    "minor seventh": "m7",
    "major seventh": "M7",
    "octave": "P8",
}
_FIRST = ("major second", "major third", "perfect fifth", "octave")
_OF_THE_MAJOR_SCALE = (
    "major second",
    "major third",
    "perfect fourth",
    "perfect fifth",
    "major sixth",
    "major seventh",
    "octave",
)
_CONSONANCES = (
    "minor third",
    "major third",
    "perfect fourth",
    "perfect fifth",
    "minor sixth",
    "major sixth",
    "octave",
)


def _between(answer: str, key: Key) -> list[Pitch]:
    lower = low(key.tonic)
    return [lower, lower.up(Interval.parse(INTERVALS[answer]))]


def _up(answer: str, key: Key, _rng: Random) -> Asked:
    return _one_by_one(_between(answer, key), "up to")


def _down(answer: str, key: Key, _rng: Random) -> Asked:
    return _one_by_one(_between(answer, key)[::-1], "down to")


def _up_or_down(answer: str, key: Key, rng: Random) -> Asked:
    return rng.choice((_up, _down))(answer, key, rng)


def _together(answer: str, key: Key, _rng: Random) -> Asked:
    both = _between(answer, key)
    return Asked(notes=twice(together(both, 3), 4), told=f"{both[0].name} and {both[1].name}")


def _one_by_one(both: list[Pitch], way: str) -> Asked:
    return Asked(notes=twice(line(both, (2, 2)), 6), told=f"{both[0].name} {way} {both[1].name}")


def _level(about: str, answers: tuple[str, ...], make: Maker) -> Level:
    return Level(about, "Which interval is it?", answers, make, in_key=False)


INTERVAL = Skill(
    "intervals",
    "intervals",
    (
        _level("upward, four of them", _FIRST, _up),
        _level("upward, those of the major scale", _OF_THE_MAJOR_SCALE, _up),
        _level("downward, the same", _OF_THE_MAJOR_SCALE, _down),
        _level("together, the consonances", _CONSONANCES, _together),
        _level("upward or downward, all within the octave", tuple(INTERVALS), _up_or_down),
        _level("together, all within the octave", tuple(INTERVALS), _together),
    ),
    "Open Music Theory, intervals",
)
