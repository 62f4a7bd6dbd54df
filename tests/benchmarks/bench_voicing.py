"""How fast hands are voiced, as ratios to a figured-bass realizer and to brute force on the same chords.

Run by hand: `python tests/benchmarks/bench_voicing.py`. The ratios hold from machine to machine, the
milliseconds do not. First times are a program's first, with nothing measured before; again is another key.

- Three voices: a tune of 64 bars in 12 keys, against trying every way on its first bars.
- Four parts: a chorale, and 100 chords, against the time that music21's realizer needs to count its
  realizations of the same bass; and the chorale's opening against trying every way.
"""

import random
import time
from collections.abc import Callable, Iterator
from itertools import chain, pairwise, product
from typing import Any, NamedTuple

from tracks.hands.both import voice_hands
from tracks.hands.choices import candidates
from tracks.hands.close_position import Reduction, shapes
from tracks.hands.four_part import write_parts
from tracks.hands.four_part_cost import own_cost, step_cost
from tracks.hands.four_part_positions import choices
from tracks.hands.line_fingering import LineHand, line_fingers
from tracks.hands.motion import size
from tracks.hands.options import VoicingOptions
from tracks.hands.part_writing import link
from tracks.model import Changes, ChordAt, Texture
from tracks.progression.changes import realize
from tracks.progression.music import parse
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter
from tracks.theory.pitch import Pitch

FOUR = Meter(4, 4)
TUNE = " ".join(["I vi ii7 V7 iii vi IV V7 I I7 IV iv I V7 vi V7/V"] * 3 + ["V7 IV ii V7 vi ii7 V7 I"] * 2)
CHORALE = "I V6 I IV6 V65 I ii65 V7 I I6 IV V V42 I6 viio6 I V7/V V I64 V7 vi ii6 V7 I"
FIGURES = "I I6 IV V V65 vi ii6 ii65 V7 I64 V43 viio6 IV6 iii V42".split()
HUNDRED = " ".join(random.Random(4).choices(FIGURES, k=99)) + " I"
FOUR_PART = VoicingOptions(Texture.FOUR_PART)


class Row(NamedTuple):
    """What was measured: our seconds and, beside them, the other way's."""

    name: str
    ours: float
    theirs: float = 0


def seconds(work: Callable[[], object]) -> float:
    """Return the processor time that one run takes."""
    began = time.process_time()
    work()
    return time.process_time() - began


def changes(text: str, key: str) -> Changes:
    """Return the changes of numerals in a key, a bar each."""
    return realize(parse(text, FOUR), Key.parse(key))


# The same chords by other ways


def count_realizations(text: str, bass: list[Pitch]) -> int:
    """Return how many realizations music21's figured-bass realizer counts over a bass."""
    from music21 import note
    from music21.figuredBass import rules, segment

    options: Any = rules.Rules()  # type: ignore[no-untyped-call]
    options.forbidIncompletePossibilities = False
    chords = [at.chord for at in changes(text, "C").chords]
    segments: list[Any] = []
    for chord, pitch in zip(chords, bass, strict=True):
        names = [tone.name.replace("b", "-") for tone in (chord.tones if chord else ())]
        low = note.Note(pitch.name.replace("b", "-"))
        segments.append(segment.Segment(low, fbRules=options, maxPitch="C6", listOfPitches=names))
    ways: dict[Any, int] = {}
    for place, (here, after) in enumerate(pairwise(segments)):
        found: dict[Any, int] = {}
        for old, new in here.allCorrectConsecutivePossibilities(after):
            if not place or old in ways:
                found[new] = found.get(new, 0) + (ways[old] if place else 1)
        ways = found
    return sum(ways.values())


def brute_three_voices(text: str) -> int:
    """Return the least movement of three voices by trying every way."""
    options = []
    for place, at in enumerate(changes(text, "C").chords):
        if at.chord:
            found = candidates(shapes(at.chord, Reduction(3)), at.chord.root, 53, 84)
            rows = [tuple(low + offset for offset in shape.offsets) for shape, low in found]
            rooted = [row for row in rows if 60 <= row[0] < 72 and row[0] % 12 == at.chord.root.chroma]
            options.append(rooted if place == 0 else rows)
    return min(sum(size(a, b)[0] for a, b in pairwise(way)) for way in product(*options))


def brute_four_parts(chords: tuple[ChordAt, ...]) -> int:
    """Return the least packed cost of four parts by trying every way."""
    _, made = choices(chords, FOUR_PART)
    own = [[own_cost(choice, position) for position in choice.positions] for choice in made]
    rows = []
    for old, new in pairwise(made):
        asked = link(old.chord, new.chord, old.at.key)
        rows.append([[step_cost(asked, a, b) for b in new.positions] for a in old.positions])
    return min(
        sum(costs[pick] for costs, pick in zip(own, way, strict=True))
        + sum(row[a][b] for row, (a, b) in zip(rows, pairwise(way), strict=True))
        for way in product(*(range(len(costs)) for costs in own))
    )


# Measuring


def three_voices() -> Iterator[Row]:
    """Yield the rows of three voices."""
    tune = [changes(TUNE, key.name) for key in KEY_SETS["all-major"]]
    bars = " ".join(TUNE.split()[:5])
    short = changes(bars, "C")
    spent = seconds(lambda: [voice_hands(one, VoicingOptions()) for one in tune])
    yield Row("three voices, 64 bars in 12 keys", spent)
    spent = seconds(lambda: voice_hands(short, VoicingOptions()))
    yield Row("three voices, 5 bars; every way", spent, seconds(lambda: brute_three_voices(bars)))


def four_parts(name: str, text: str) -> Iterator[Row]:
    """Yield the rows of a progression in four parts."""
    chords, again = changes(text, "C").chords, changes(text, "Eb").chords
    ours = seconds(lambda: write_parts(chords, FOUR_PART))
    bass = [parts.pitches[0] for parts in write_parts(chords, FOUR_PART).chords if parts]
    yield Row(
        f"four parts, {name}; realizations counted", ours, seconds(lambda: count_realizations(text, bass))
    )
    yield Row(f"four parts, {name}, in another key", seconds(lambda: write_parts(again, FOUR_PART)))


def opening() -> Iterator[Row]:
    """Yield the row of four parts against every way."""
    chords = changes(" ".join(CHORALE.split()[:5]), "C").chords
    ours = seconds(lambda: write_parts(chords, FOUR_PART))
    yield Row("four parts, 5 chords; every way", ours, seconds(lambda: brute_four_parts(chords)))


def lines() -> Iterator[Row]:
    """Yield the row of a fingered line."""
    steps = random.Random(2).choices(range(26, 38), k=60)
    line = [Pitch.parse(f"{'CDEFGAB'[step % 7]}{step // 7}") for step in steps]
    line_fingers(line, LineHand.RIGHT)
    yield Row("fingers for a line of 60 notes", seconds(lambda: line_fingers(line, LineHand.RIGHT)))


def main() -> None:
    """Measure and print."""
    rows = (
        three_voices(),
        four_parts("24 chords", CHORALE),
        four_parts("100 chords", HUNDRED),
        opening(),
        lines(),
    )
    for row in chain.from_iterable(rows):
        other = f"{1000 * row.theirs:10.1f} ms {row.theirs / row.ours:7.0f} x ours" if row.theirs else ""
        print(f"{row.name:44} {1000 * row.ours:8.1f} ms {other}")


if __name__ == "__main__":
    main()
