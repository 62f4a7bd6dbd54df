"""Chord quality: triads and sevenths, struck whole, broken upward and struck again."""

from collections.abc import Sequence
from random import Random

from tracks.quiz.notes import line, low, together
from tracks.quiz.question import Asked, Level, Skill
from tracks.theory.key import Key
from tracks.theory.pitch import Interval, Pitch

QUALITIES = {
    "major": "P1 M3 P5",
    "minor": "P1 m3 P5",
    "diminished": "P1 m3 d5",
    "augmented": "P1 M3 A5",
    "dominant seventh": "P1 M3 P5 m7",
    "major seventh": "P1 M3 P5 M7",
    "minor seventh": "P1 m3 P5 m7",
    "half-diminished seventh": "P1 m3 d5 m7",
    "diminished seventh": "P1 m3 d5 d7",
}
_TRIADS, _SEVENTHS = tuple(QUALITIES)[:4], tuple(QUALITIES)[4:]


def built(root: Pitch, intervals: str, inversion: int = 0) -> list[Pitch]:
    """Return a chord above its root, low to high; in an inversion, so many notes are an octave higher."""
    pitches = [root.up(Interval.parse(name)) for name in intervals.split()]
    return pitches[inversion:] + [pitch.octaves_up(1) for pitch in pitches[:inversion]]


def _in_root_position(answer: str, key: Key, _rng: Random) -> Asked:
    return _struck(built(low(key.tonic), QUALITIES[answer]))


def _inverted(answer: str, key: Key, rng: Random) -> Asked:
    # An augmented triad sounds in root position whichever of its notes is lowest.
    return _struck(built(low(key.tonic), QUALITIES[answer], rng.randrange(3)))


def _struck(chord: Sequence[Pitch]) -> Asked:
    broken = line(chord, [1] * len(chord), 2)
    # The last one begins on a bar line.
    again = together(chord, 2, 2 + len(chord) + len(chord) % 2)
    return Asked(
        notes=(*together(chord, 2), *broken, *again), told=" ".join(pitch.tone.name for pitch in chord)
    )


_TASK = "Which kind of chord is it?"

QUALITY = Skill(
    "quality",
    "chord quality",
    (
        Level("major and minor triads", _TASK, _TRIADS[:2], _in_root_position, in_key=False),
        Level("the four triads", _TASK, _TRIADS, _in_root_position, in_key=False),
        Level("three sevenths", _TASK, _SEVENTHS[:3], _in_root_position, in_key=False),
        Level("five sevenths", _TASK, _SEVENTHS, _in_root_position, in_key=False),
        Level("three triads in any position", _TASK, _TRIADS[:3], _inverted, in_key=False),
    ),
    "Hutchinson, Music Theory for the 21st-Century Classroom, sections 7.2 and 8.3 (triads and sevenths)",
)
