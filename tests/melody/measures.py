"""What can be counted in a melody: statistics, and its habits as a vector for a classifier.

Conventions
- Intervals are in semitones, shares in percent. A bar's content is its notes' places, lengths and pitches.
- A four-note figure is three intervals and three times between onsets, exactly; it recurs where it stands
  anywhere else in the melody.
"""

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Sequence
from itertools import pairwise
from math import log2

from airs import Air

from tracks.theory.meter import QUARTER


def _moves(air: Air) -> list[int]:
    return [after[2] - before[2] for before, after in pairwise(air.notes)]


def _waits(air: Air) -> list[int]:
    """Return the times between onsets."""
    return [after[0] - before[0] for before, after in pairwise(air.notes)]


def _share(found: Iterable[bool]) -> float:
    every = list(found)
    return 100 * sum(every) / max(1, len(every))


def _bars(air: Air) -> list[tuple[tuple[int, int, int], ...]]:
    """Return the content of every whole bar, from bar 1."""
    bars: dict[int, list[tuple[int, int, int]]] = {}
    for start, length, midi in air.notes:
        number, place = divmod(start - air.pickup, air.bar)
        bars.setdefault(number, []).append((place, length, midi))
    return [tuple(bars.get(number, ())) for number in range(max(bars) + 1)]


def _returning(every: Sequence[Hashable]) -> float:
    """Return the share of things that have been there before."""
    return 100 * (len(every) - len(set(every))) / max(1, len(every))


def _bits(every: Iterable[Hashable]) -> float:
    counts = Counter(every)
    whole = counts.total()
    return -sum(n / whole * log2(n / whole) for n in counts.values()) if whole else 0.0


def _figures(air: Air) -> float:
    moves, waits = _moves(air), _waits(air)
    figures = [(*moves[n : n + 3], *waits[n : n + 3]) for n in range(len(moves) - 2)]
    counts = Counter(figures)
    return _share(counts[figure] > 1 for figure in figures)


def _attacked(air: Air) -> float:
    return _share(any(place == 0 for place, _, _ in bar) for bar in _bars(air))


def _held_over(air: Air) -> float:
    """Return the share of bar lines that a note is held across."""
    lines = range(air.pickup or air.bar, air.notes[-1][0] + 1, air.bar)
    over = {line for start, length, _ in air.notes for line in lines if start < line < start + length}
    return 100 * len(over) / max(1, len(lines))


def _phrase_starts(air: Air) -> list[int]:
    """Return where phrases begin: at first, and after a rest or a note twice the usual and a beat or more.

    A note so long must also be longer than the one after it. Convention.
    """
    waits = _waits(air)
    usual = sorted(waits)[len(waits) // 2]
    long = max(2 * usual, QUARTER)
    starts = [air.notes[0][0]]
    for number, (before, after) in enumerate(pairwise(air.notes)):
        rests = before[0] + before[1] < after[0]
        shorter_next = waits[number] > min(waits[number + 1 : number + 2], default=0)
        if rests or (waits[number] >= long and shorter_next):
            starts.append(after[0])
    return starts


def _before_the_bar(air: Air) -> float:
    return _share((start - air.pickup) % air.bar != 0 for start in _phrase_starts(air))


def _climax(air: Air) -> float:
    heights = [midi for _, _, midi in air.notes]
    return 100 * heights.index(max(heights)) / (len(heights) - 1)


def _turns(air: Air) -> float:
    moves = [move for move in _moves(air) if move]
    return _share(one * two < 0 for one, two in pairwise(moves))


def _beat(air: Air) -> int:
    return 3 * QUARTER // 2 if air.meter.endswith("/8") and air.meter != "3/8" else QUARTER


MEASURES: dict[str, Callable[[Air], float]] = {
    "repeated notes, %": lambda air: _share(move == 0 for move in _moves(air)),
    "steps, %": lambda air: _share(1 <= abs(move) <= 2 for move in _moves(air)),
    "leaps of more than a fourth, %": lambda air: _share(abs(move) > 5 for move in _moves(air)),
    "turns of direction, %": _turns,
    "interval entropy, bits": lambda air: _bits(_moves(air)),
    "range, semitones": lambda air: max(n[2] for n in air.notes) - min(n[2] for n in air.notes),
    "climax at, % of the tune": _climax,
    "four-note figures that recur, %": _figures,
    "bars that return, %": lambda air: _returning(_bars(air)),
    "bars whose rhythm returns, %": lambda air: _returning(
        [tuple(note[:2] for note in bar) for bar in _bars(air)]
    ),
    "bars attacked on 1, %": _attacked,
    "bar lines held across, %": _held_over,
    "phrases that begin off beat 1, %": _before_the_bar,
    "notes off the beat, %": lambda air: _share((n[0] - air.pickup) % _beat(air) != 0 for n in air.notes),
    "notes a beat": lambda air: len(air.notes) * _beat(air) / (air.notes[-1][0] + air.notes[-1][1]),
    "rhythm entropy, bits": lambda air: _bits(_waits(air)),
    "commonest length, %": lambda air: 100 * max(Counter(_waits(air)).values()) / len(_waits(air)),
}
"""The stated statistics, each of one melody."""

_WIDEST = 7
_LENGTHS = [QUARTER * each // 24 for each in (5, 7, 10, 16, 21, 30, 42, 60)]
"""Edges between a thirty-second and less, a triplet's, ..., more than two quarters."""


def habits(air: Air) -> dict[str, float]:
    """Return the shares of its interval bigrams and rhythm bigrams: what a classifier sees of a melody.

    Intervals wider than a fifth count as one; a rhythm is the time between onsets, in classes of length.
    """
    moves = [str(max(-_WIDEST - 1, min(_WIDEST + 1, move))) for move in _moves(air)]
    waits = [str(sum(wait > edge for edge in _LENGTHS)) for wait in _waits(air)]
    shares: dict[str, float] = {}
    for letter, row in (("i", moves), ("r", waits)):
        pairs = Counter(pairwise(row))
        shares |= {f"{letter}{a},{b}": n / pairs.total() for (a, b), n in pairs.items()}
    return shares
