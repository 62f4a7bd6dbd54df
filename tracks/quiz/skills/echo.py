"""Melody echo: the tonic chord, a short melody to play back in the silence after it, then the melody again.

In minor the sixth degree is natural and falls to the fifth, the seventh is raised and rises to the tonic.
"""

from fractions import Fraction
from itertools import pairwise
from random import Random

from tracks.quiz.notes import line, twice
from tracks.quiz.question import Asked, Level, Skill
from tracks.theory.key import Key
from tracks.theory.pitch import Pitch

_MIDDLE_C = 60
_HALF = Fraction(1, 2)
_RHYTHMS: dict[int, tuple[tuple[int | Fraction, ...], ...]] = {
    3: ((1, 1, 2),),
    5: ((1, 1, 1, 1, 2), (2, 1, 1, 1, 1), (1, 1, 2, 1, 1)),
    7: ((1, _HALF, _HALF, 1, 1, 2, 2), (1, 1, _HALF, _HALF, 1, 2, 2), (2, 1, _HALF, _HALF, 1, 1, 2)),
}
_STEPS, _SKIPS, _LEAPS = (-1, 1), (-2, -1, 1, 2), (-4, -2, -1, -1, 1, 1, 2, 3, 4)
_TONIC_TRIAD = {1, 3, 5, 8}


def _three(_answer: str, key: Key, rng: Random) -> Asked:
    return _echo(3, _STEPS, 5, key, rng)


def _five(_answer: str, key: Key, rng: Random) -> Asked:
    return _echo(5, _SKIPS, 5, key, rng)


def _seven(_answer: str, key: Key, rng: Random) -> Asked:
    return _echo(7, _LEAPS, 8, key, rng)


def _echo(count: int, moves: tuple[int, ...], highest: int, key: Key, rng: Random) -> Asked:
    degrees = _walk(count, moves, highest, rng)
    while not _sings(degrees):
        degrees = _walk(count, moves, highest, rng)
    pitches = [_pitch(degree, key) for degree in degrees]
    rhythm = rng.choice(_RHYTHMS[count])
    once = line(pitches, rhythm)
    return Asked(
        ("i" if key.is_minor else "I",),
        notes=twice(once, 2 * sum(rhythm)),
        told=" ".join(pitch.tone.name for pitch in pitches),
    )


def _walk(count: int, moves: tuple[int, ...], highest: int, rng: Random) -> list[int]:
    degrees = [rng.choice((1, 3, 5))]
    while len(degrees) < count:
        degrees.append(rng.choice([d for d in (degrees[-1] + move for move in moves) if 1 <= d <= highest]))
    return degrees


def _sings(degrees: list[int]) -> bool:
    """Return whether leaps stay in the tonic's triad, 6 and 7 resolve, and a longer melody ends at home."""
    for here, there in pairwise(degrees):
        if abs(there - here) > 2 and not {here, there} <= _TONIC_TRIAD:
            return False
        if (here == 6 and there != 5) or (here == 7 and there != 8) or (there == 7 and here not in (5, 8)):
            return False
    return len(degrees) == 3 or degrees[-1] in (1, 8)


def _pitch(degree: int, key: Key) -> Pitch:
    tonic = Pitch.at_or_above(key.tonic, _MIDDLE_C)
    if degree == 8:
        return tonic.octaves_up(1)
    tone = key.leading_tone if degree == 7 else key.degree(degree)
    return tonic.up(key.tonic.interval_to(tone))


def _given(key: Key, asked: Asked) -> str:
    return f"{key.name}, begins on {asked.told.split()[0]}"


_TASK = "Play the melody back in the silence after it. How did it go?"

ECHO = Skill(
    "echo",
    "melody echo",
    (
        Level("three notes by step", _TASK, (), _three, given=_given),
        Level("five notes within a fifth", _TASK, (), _five, given=_given),
        Level("seven notes within an octave", _TASK, (), _seven, given=_given),
    ),
)
