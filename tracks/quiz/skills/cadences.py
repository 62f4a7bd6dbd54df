"""Cadences: which one ends a phrase. Each has the name that it has on both sides of the Atlantic."""

from random import Random

from tracks.progression.library import text_of
from tracks.quiz.question import Asked, Level, Skill, only_in
from tracks.theory.key import Key, Mode

_IN_BOTH_MODES = {
    "perfect (authentic)": "authentic-cadence",
    "plagal": "plagal-cadence",
    "half (imperfect)": "half-cadence",
    "deceptive (interrupted)": "deceptive-cadence",
}
_IN_MINOR = {"Phrygian half": "phrygian-half-cadence", "Picardy third": "picardy-cadence"}
_LEADING_TO: dict[Mode, dict[str, tuple[str, ...]]] = {
    Mode.MAJOR: {"V7": ("IV", "ii6", "vi"), "IV": ("vi", "I6", "iii")},
    Mode.MINOR: {"V7": ("iv", "iio6", "VI"), "iv": ("VI", "i6", "III"), "iv6": ("v6", "VI")},
}


def _cadence(answer: str, key: Key, rng: Random) -> Asked:
    """Return the tonic, a chord that leads on, and the last two chords of the library's cadence."""
    name = {**_IN_BOTH_MODES, **_IN_MINOR}[answer]
    if key.is_minor and answer in _IN_BOTH_MODES:
        name += "-minor"
    first, *_, before, last = text_of(name).split()
    return Asked((first, rng.choice(_LEADING_TO[key.mode][before]), before, last))


_TASK = "Which cadence ends the phrase?"

CADENCES = Skill(
    "cadences",
    "cadences",
    (
        Level("the four cadences", _TASK, tuple(_IN_BOTH_MODES), _cadence),
        Level(
            "six cadences, in minor",
            _TASK,
            (*_IN_BOTH_MODES, *_IN_MINOR),
            _cadence,
            only_in(Mode.MINOR, (*_IN_BOTH_MODES, *_IN_MINOR)),
        ),
    ),
    "Open Music Theory, cadences; their British names: convention",
)
