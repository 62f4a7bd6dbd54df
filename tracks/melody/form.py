"""Form: the phrases of a tune, and which of them bring an earlier one back.

Conventions
- The progression tells the form. Bars are alike that have the same chords in the same places; a stretch that
  comes again brings its phrases again, so a bridge is a bridge and the last A is the first.
- Over chords that only go round, the form is drawn: AABA, AAB, AABB, ABAC.
- Twelve bars in three phrases of four are a blues: the second line sings the first again, the third answers.
- Where track and student take turns, every second phrase is the student's, and brings back nothing of the
  track's, nor the track's of it.
- A phrase that returns may end anew, and so may answer; one phrase has the climax.
- Phrases are of four bars mostly; from `UNEVEN` on, now and then of two, three or five.

Source: R. Hutchinson, *Music Theory for the 21st-Century Classroom*, 12.4 (the twelve-bar blues); the forms,
convention.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tracks.style import Brief

if TYPE_CHECKING:
    from random import Random

UNEVEN = 4
"""The first level whose phrases may be uneven."""

_EVEN: dict[int, tuple[tuple[int, ...], ...]] = {
    6: ((4, 2), (2, 4)),
    7: ((4, 3),),
    8: ((4, 4), (4, 4), (2, 2, 4)),
}
_ODD: dict[int, tuple[tuple[int, ...], ...]] = {
    5: ((5,), (3, 2)),
    6: ((3, 3), (4, 2), (2, 4)),
    7: ((4, 3), (3, 4)),
    8: ((4, 4), (4, 4), (4, 4), (4, 4), (2, 2, 4), (3, 5), (5, 3)),
}
LONGEST = 5
"""The most bars of a phrase."""

_FORMS = {2: ("AA", "AA", "AB"), 3: ("AAB", "ABA"), 4: ("AABA", "AABA", "AABB", "ABAC", "ABAB")}
_RETURNS_ENTIRE = 0.55


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase of a tune: its first bar from 0, and how many.

    `again` is the phrase that it brings back, by its place; `whole` says that it ends like that one too.
    `climax`: the tune is highest in it.
    """

    first: int
    bars: int
    again: int | None = None
    whole: bool = False
    climax: bool = False


def phrases(brief: Brief, level: int, rng: "Random") -> tuple[Phrase, ...]:
    """Return the phrases of a tune over a brief's chords, in order, its pickup left out."""
    bars = harmonies(brief)
    around = _around(bars)
    lengths = _lengths(bars, around, brief.turn, level, rng)
    firsts = [sum(lengths[:place]) for place in range(len(lengths))]
    found = list(zip(firsts, lengths, strict=True))
    origins = _in_turns(bars, found, rng) if brief.turn else _origins(bars, found, rng)
    new = [place for place, origin in enumerate(origins) if origin is None]
    new = [place for place in new if not (brief.turn and place % 2)] or new
    high = rng.choice(new[len(new) // 2 :])
    return tuple(
        Phrase(
            first,
            length,
            origins[place],
            place + 1 < len(found) and rng.random() < _RETURNS_ENTIRE,
            high in (place, origins[place]),
        )
        for place, (first, length) in enumerate(found)
    )


def harmonies(brief: Brief) -> tuple[Hashable, ...]:
    """Return what sounds in each bar: every chord with its place, the same in every key."""
    starts = range(brief.pickup, brief.length, brief.meter.bar)
    sounding: list[list[Hashable]] = [[] for _ in starts]
    number = 0
    for voiced in brief.chords:
        at = voiced.at
        while number + 1 < len(starts) and starts[number + 1] <= at.start:
            number += 1
        within = number
        while within < len(starts) and starts[within] < at.end:
            sounding[within].append((max(at.start - starts[within], 0), at.chord))
            within += 1
    return tuple(map(tuple, sounding))


def _around(bars: Sequence[Hashable]) -> int:
    """Return after how many bars the chords come round, all or nearly; all the bars where they do not."""
    for length in range(2, len(bars) // 2 + 1):
        alike = sum(one == other for one, other in zip(bars, bars[length:], strict=False))
        if 6 * alike >= 5 * (len(bars) - length):
            return length
    return len(bars)


def _lengths(bars: Sequence[Hashable], around: int, turn: int | None, level: int, rng: "Random") -> list[int]:
    """Return the lengths of phrases: a turn's, or drawn for one time round and the same every time."""
    if turn:
        once = [turn]
    else:
        while around <= 2 and around < len(bars):
            around *= 2
        table = _ODD if level >= UNEVEN else _EVEN
        eight = (4, 4) if _has_three_lines(bars) else rng.choice(table[8])
        rest = around % 8
        once = [*eight * (around // 8), *(rng.choice(table.get(rest, ((rest,),))) if rest else ())]
    lengths: list[int] = []
    left = len(bars)
    while left:
        lengths.append(min(once[len(lengths) % len(once)], left))
        left -= lengths[-1]
    if len(lengths) > 1 and lengths[-1] == 1 and lengths[-2] < LONGEST:
        lengths[-2:] = [lengths[-2] + 1]
    return lengths


def _has_three_lines(bars: Sequence[Hashable]) -> bool:
    """Return whether bars are a blues: its second line is home again in a bar that the first began with."""
    return len(bars) % 12 == 0 and bars[0] not in bars[4:6] and bars[0] in bars[6:8]


def _origins(
    bars: Sequence[Hashable], found: Sequence[tuple[int, int]], rng: "Random", three_lines: bool = True
) -> list[int | None]:
    """Return for every phrase the earlier one that it brings back, or None."""
    like = [_alike(bars, found, place) for place in range(len(found))]
    if any(like) or len(found) == 1:
        lines = three_lines and _has_three_lines(bars)
        return [_second_line(lines, found, place, origin) for place, origin in enumerate(like)]
    form = rng.choice(_FORMS[min(len(found), 4)])
    letters = (form * len(found))[: len(found)]
    return [
        letters.index(letter) if letters.index(letter) < place else None
        for place, letter in enumerate(letters)
    ]


def _in_turns(bars: Sequence[Hashable], found: Sequence[tuple[int, int]], rng: "Random") -> list[int | None]:
    """Return the same where every second phrase is the student's: neither brings back the other's."""
    origins: list[int | None] = [None] * len(found)
    for whose in (range(0, len(found), 2), range(1, len(found), 2)):
        like = _origins(bars, [found[place] for place in whose], rng, three_lines=False) if whose else []
        for place, origin in zip(whose, like, strict=True):
            origins[place] = None if origin is None else whose[origin]
    return origins


def _alike(bars: Sequence[Hashable], found: Sequence[tuple[int, int]], place: int) -> int:
    """Return the first phrase as long as this one over the same chords, but perhaps at its end."""
    first, length = found[place]
    for earlier, (start, bars_there) in enumerate(found[:place]):
        alike = [bars[start + n] == bars[first + n] for n in range(min(length, bars_there))]
        if length == bars_there and alike[0] and 2 * sum(alike) >= length:
            return earlier
    return place


def _second_line(three_lines: bool, found: Sequence[tuple[int, int]], place: int, origin: int) -> int | None:
    """Return a phrase's origin: its own, and for the second line of three the first; None for none."""
    if origin < place:
        return origin
    second = three_lines and found[place][0] % 12 == 4 and found[place][1] == 4
    return place - 1 if second else None
