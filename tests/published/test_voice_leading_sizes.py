"""The least movement between two chords against published voice-leading sizes.

Sources
- The measure, total semitones with one voice to one: D. Tymoczko, "The Geometry of Musical Chords",
  Science 313 (2006), supporting material, Fig. S12, with its worked case Cmaj7 to Emaj7 (size 3 when notes
  may be doubled, 4 one to one).
- P = 1, L = 1, R = 2 semitones: neo-Riemannian theory; the attribution to R. Cohn is from memory. The
  operations themselves are music21's.
- The tables are arithmetic on that measure, worked out apart from this program; the test also works them
  out again on the circle of twelve pitch classes.
"""

from itertools import permutations
from typing import Any

import pytest

from tracks.hands.choices import candidates
from tracks.hands.close_position import Reduction, shapes
from tracks.hands.motion import size
from tracks.theory.chord import parse_symbol

ROOTS = "C Db D Eb E F F# G Ab A Bb B".split()
FROM_C_MAJOR = {"": (0, 3, 6, 3, 2, 3, 6, 3, 2, 3, 6, 3), "m": (1, 2, 5, 4, 1, 2, 5, 4, 3, 2, 5, 4)}
C_MAJOR_TRIADS = "C Dm Em F G Am Bdim".split()
TRIADS = (
    "I-ii 5, I-iii 1, I-IV 3, I-V 3, I-vi 2, I-viio 5, ii-iii 6, ii-IV 2, ii-V 4, ii-vi 3, ii-viio 2, "
    "iii-IV 4, iii-V 2, iii-vi 3, iii-viio 4, IV-V 6, IV-vi 1, IV-viio 4, V-vi 5, V-viio 2, vi-viio 5"
)
C_MAJOR_SEVENTHS = "Cmaj7 Dm7 Em7 Fmaj7 G7 Am7 Bm7b5".split()
SEVENTHS = (
    "ii-V 3, V-I 3, I-vi 2, I-IV 4, vi-ii 4, iii-vi 4, IV-viio 3, viio-iii 3, V-vi 5, V-IV 5, ii-viio 1, "
    "iii-V 1"
)
OTHERS = (
    ("G7", "C7", 4), ("G7", "Db7", 2), ("G7", "E7", 2), ("G7", "Bb7", 2), ("G7", "Gmaj7", 1),
    ("G7", "Gm7", 1), ("G7", "Bdim7", 1), ("Cmaj7", "Emaj7", 4), ("Am", "Dm", 3), ("Am", "E", 2),
    ("Am", "F", 1), ("Am", "Bdim", 5), ("Dm", "E", 5), ("E", "F", 3), ("Am", "G#dim", 4),
    ("Bdim", "E", 5), ("C+", "F", 2), ("Am", "C+", 1),
)  # fmt: skip
DEGREES = ("I", "ii", "iii", "IV", "V", "vi", "viio")


def least(before: str, after: str) -> int:
    """The least movement between any voicings of two chords, with every tone, over the whole keyboard."""
    a, b = parse_symbol(before), parse_symbol(after)
    olds = candidates(shapes(a, Reduction(len(a.tones))), a.root, 48, 84)
    news = candidates(shapes(b, Reduction(len(b.tones))), b.root, 36, 96)
    return min(
        size([low + x for x in old.offsets], [bottom + x for x in new.offsets])[0]
        for old, low in olds
        for new, bottom in news
    )


def on_the_circle(before: str, after: str) -> int:
    a = [tone.chroma for tone in parse_symbol(before).tones]
    b = [tone.chroma for tone in parse_symbol(after).tones]
    ways = (zip(a, order, strict=True) for order in permutations(b))
    return min(sum(min((x - y) % 12, (y - x) % 12) for x, y in way) for way in ways)


def rows(text: str, chords: list[str]) -> list[tuple[str, str, int]]:
    found = []
    for row in text.split(", "):
        pair, number = row.split()
        first, second = pair.split("-")
        found.append((chords[DEGREES.index(first)], chords[DEGREES.index(second)], int(number)))
    return found


@pytest.mark.parametrize("quality", FROM_C_MAJOR)
def test_from_c_major_to_every_triad(quality: str) -> None:
    assert tuple(least("C", root + quality) for root in ROOTS) == FROM_C_MAJOR[quality]
    assert tuple(on_the_circle("C", root + quality) for root in ROOTS) == FROM_C_MAJOR[quality]


@pytest.mark.parametrize(
    ("before", "after", "semitones"),
    [*rows(TRIADS, C_MAJOR_TRIADS), *rows(SEVENTHS, C_MAJOR_SEVENTHS), *OTHERS],
)
def test_pair_of_chords(before: str, after: str, semitones: int) -> None:
    assert least(before, after) == least(after, before) == semitones
    assert on_the_circle(before, after) == semitones


def test_neo_riemannian_operations_move_one_one_and_two_semitones() -> None:
    from music21 import chord as m21_chord
    from music21.analysis import neoRiemannian

    c_major = m21_chord.Chord("C4 E4 G4")
    # music21 does not type its operations.
    operations: dict[Any, int] = {neoRiemannian.P: 1, neoRiemannian.L: 1, neoRiemannian.R: 2}
    for operation, semitones in operations.items():
        after = operation(c_major)
        symbol = after.root().name.replace("-", "b") + ("m" if after.quality == "minor" else "")
        assert least("C", symbol) == semitones
