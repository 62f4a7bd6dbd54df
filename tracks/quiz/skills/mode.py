"""Major or minor: the mode of a phrase, and the scale that is played upward."""

from random import Random

from tracks.progression.library import text_of
from tracks.quiz.notes import line, low
from tracks.quiz.question import MODES, Asked, Level, Skill
from tracks.theory.key import Key
from tracks.theory.pitch import Interval

_PHRASES = (
    "authentic-cadence",
    "plagal-cadence",
    "half-cadence",
    "deceptive-cadence",
    "primary-chords",
    "cadential-six-four",
)
_SCALES = {
    "major": "P1 M2 M3 P4 P5 M6 M7 P8",
    "natural minor": "P1 M2 m3 P4 P5 m6 m7 P8",
    "harmonic minor": "P1 M2 m3 P4 P5 m6 M7 P8",
    "melodic minor, ascending": "P1 M2 m3 P4 P5 M6 M7 P8",
}


def _phrase(_answer: str, key: Key, rng: Random) -> Asked:
    name = rng.choice(_PHRASES)
    return Asked(tuple(text_of(f"{name}-minor" if key.is_minor else name).split()))


def _scale(answer: str, key: Key, _rng: Random) -> Asked:
    tonic = low(key.tonic)
    pitches = [tonic.up(Interval.parse(name)) for name in _SCALES[answer].split()]
    return Asked(notes=line(pitches, (1, 1, 1, 1, 1, 1, 1, 2)), told=" ".join(p.tone.name for p in pitches))


MODE = Skill(
    "mode",
    "major or minor",
    (
        Level("the key of a phrase", "Is the key major or minor?", ("major", "minor"), _phrase, MODES),
        Level("four scales", "Which scale is it?", tuple(_SCALES), _scale, in_key=False),
    ),
    "Hutchinson, Music Theory for the 21st-Century Classroom, section 7.3 (the three minor scales)",
)
