"""Inversions: which note of a chord is in the bass."""

from random import Random

from tracks.quiz.question import Asked, Level, Skill
from tracks.theory.key import Key, Mode

_TRIADS = {"root position": "", "first inversion": "6", "second inversion": "64"}
_SEVENTHS = {"root position": "7", "first inversion": "65", "second inversion": "43", "third inversion": "42"}
_TO_INVERT = {Mode.MAJOR: ("I", "ii", "IV", "V", "vi"), Mode.MINOR: ("i", "iv", "V", "VI")}


def _triad(answer: str, key: Key, rng: Random) -> Asked:
    """Return a cadence that sets the key, and a triad of it over the bass asked for."""
    home = _home(key)
    return Asked((home, "V7", home, rng.choice(_TO_INVERT[key.mode]) + _TRIADS[answer]))


def _dominant(answer: str, key: Key, rng: Random) -> Asked:
    home = _home(key)
    way = rng.choice((("iv", home) if key.is_minor else ("IV", home), ("V", home), ("V7", home)))
    return Asked((home, *way, "V" + _SEVENTHS[answer]))


def _home(key: Key) -> str:
    return "i" if key.is_minor else "I"


INVERSIONS = Skill(
    "inversions",
    "inversions",
    (
        Level("triads", "In which position is the last chord?", tuple(_TRIADS), _triad),
        Level(
            "the dominant seventh",
            "The last chord is the dominant seventh: in which position is it?",
            tuple(_SEVENTHS),
            _dominant,
        ),
    ),
    "Open Music Theory, thoroughbass figures",
)
