"""Which drill, which key and which hands a take is of.

Conventions
- Of many keys those are tried whose pitch classes come as often as the take's do (by the cosine between the
  two counts); the alignment decides between them, on the take's first part.
- A hand alone is taken to be meant where a take is less unlike it than it is unlike both.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import accumulate
from math import sqrt

from tracks.takes.expected import FREE, HANDS, Asked
from tracks.takes.hear import unlikeness
from tracks.takes.take import Take
from tracks.theory.errors import RequestError

_MOST_TRIED = 4
_ENOUGH_NOTES = 600


def recognized(take: Take, candidates: Sequence[Asked]) -> Asked:
    """Return what a take most likely is of, with the hands that were played; of the like, the first.

    Raises RequestError where nothing is asked of the student, or the take cannot be aligned with any.
    """
    candidates = markable(candidates)
    heard = _classes(note.midi for note in take.notes)
    by_sound = sorted(candidates, key=lambda asked: -_alike(heard, _classes_of(asked)))
    tried = [asked.of_hands(hands) for asked in by_sound[:_MOST_TRIED] for hands in HANDS]
    tried = [asked for asked in tried if asked.groups]
    opening = replace(take, notes=take.notes[:_ENOUGH_NOTES])
    costs = [_unlike(opening, asked) for asked in tried]
    return tried[costs.index(min(costs))]


def markable(candidates: Sequence[Asked]) -> Sequence[Asked]:
    """Return those that ask notes of the student; raise RequestError where none does."""
    asking = [asked for asked in candidates if asked.groups]
    if not asking:
        free = next((asked.drill.form.value for asked in candidates if asked.drill.form in FREE), None)
        if free:
            raise RequestError(
                f"in the form {free} the student improvises, so no note is right or wrong",
                "listen to it together, or check a take of the drill itself with --form plain",
                "form",
            )
        raise RequestError("the drill asks nothing of the hands", "choose another style or mix")
    return asking


def _unlike(take: Take, asked: Asked) -> int:
    """Return how unlike a take and what was asked are, as far as the take goes."""
    upto = len(asked.groups)
    if len(take.notes) >= _ENOUGH_NOTES:
        sizes = accumulate(len(group.notes) for group in asked.groups)
        upto = next((place for place, size in enumerate(sizes, 1) if size >= _ENOUGH_NOTES), upto)
    return unlikeness(take, replace(asked, groups=asked.groups[:upto]))


def _classes_of(asked: Asked) -> list[int]:
    return _classes(note.pitch.midi for group in asked.groups for note in group.notes)


def _classes(midi: Iterable[int]) -> list[int]:
    counts = [0] * 12
    for key in midi:
        counts[key % 12] += 1
    return counts


def _alike(one: Sequence[int], other: Sequence[int]) -> float:
    size = sqrt(sum(a * a for a in one) * sum(b * b for b in other))
    return sum(a * b for a, b in zip(one, other, strict=True)) / size if size else 0.0
