"""How fast takes are marked, and how that grows; beside it the matchers of parangonar on the same notes.

Run by hand: `python tests/benchmarks/bench_takes.py`. The ratios hold from machine to machine, the seconds do
not.

- Drills of two hundred chords, played over and over with the faults of `tests/takes/player.py`, until there
  are 10,000, 20,000 and 40,000 notes: the alignment, and the whole evaluation.
- The worst for a banded search: melodies of which no two bars are alike, and a pattern of 16 notes over and
  over, where a player may be anywhere.
- The human performance, some faults put in, against parangonar's matchers.
"""

import sys
import time
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path
from random import Random
from statistics import median
from typing import Any

sys.path += [str(Path(__file__).parents[1] / room) for room in ("takes", "published")]

from human_performance import MATCHERS, Scored, with_faults
from player import STUDENT, perform

from tracks.drill.request import request_of
from tracks.style.registry import load
from tracks.takes.align import align
from tracks.takes.clusters import Cluster, Notes, clusters, keys_of, notes_of
from tracks.takes.expected import Asked, asked_in_each_key
from tracks.takes.judge import evaluate

NUMERALS = "I I6 IV V V65 vi ii6 ii65 V7 I64 V43 viio6 IV6 iii V42".split()
SIZES = (10_000, 20_000, 40_000)
STYLES = ("block", "alberti", "root-bass")


def drill(style: str, notes: int) -> Asked:
    """Return a drill of two hundred chords, played so often that it asks for about so many notes."""
    found = load(style)
    text = " ".join(Random(4).choices(NUMERALS, k=199)) + " I"
    given = {"progression": text, "keys": ("Eb",), "style": style}

    def asked(repeats: int) -> Asked:
        of_style = request_of({**given, "repeats": repeats}).drills(found)[0]
        return asked_in_each_key(of_style, found)[0]

    once = sum(len(group.notes) for group in asked(1).groups)
    return asked(max(round(notes / once), 1))


def melody(notes: int, pattern: int | None) -> tuple[list[Cluster], list[Notes]]:
    """Return single notes as asked and as played with faults: by chance, or a pattern over and over."""
    rng = Random(1)
    keys = [rng.randrange(48, 85) for _ in range(pattern or notes)]
    groups = [notes_of((keys[place % len(keys)],)) for place in range(notes)]
    onsets = []
    for place, group in enumerate(groups):
        (key,), chance = keys_of(group.keys), rng.random()
        if chance > 0.02:
            onsets.append((place / 4 + rng.gauss(0, 0.012), key + (chance < 0.05)))
        if chance > 0.98:
            onsets.append((place / 4 + 0.1, key + 3))
    return clusters(sorted(onsets)), groups


def seconds(work: Callable[[], object]) -> float:
    """Return the processor time of a run, the median of three."""
    return median(_once(work) for _ in range(3))


def _once(work: Callable[[], object]) -> float:
    began = time.process_time()
    work()
    return time.process_time() - began


def rows() -> Iterator[tuple[str, Sequence[float]]]:
    """Yield what was measured: a name, and the seconds of each size."""
    for style in STYLES:
        aligned, evaluated = [], []
        for size in SIZES:
            asked = drill(style, size)
            take, _ = perform(asked, STUDENT, 1, bpm=80)
            played = clusters([(note.onset_s, note.midi) for note in take.notes])
            groups = [notes_of(note.pitch.midi for note in group.notes) for group in asked.groups]
            aligned.append(seconds(partial(align, played, groups)))
            evaluated.append(seconds(partial(evaluate, take, asked)))
        yield f"{style}, aligned", aligned
        yield f"{style}, marked", evaluated
    for name, pattern in (("melody by chance", None), ("pattern of 16", 16)):
        takes = [melody(size, pattern) for size in SIZES]
        yield f"{name}, aligned", [seconds(partial(align, *take)) for take in takes]


def _each(match: Callable[[Any, Any], object], cases: Sequence[Scored]) -> None:
    for case in cases:
        match(case.score, case.played)


def _main() -> None:
    print(f"{'':28}" + "".join(f"{size:>9}" for size in SIZES) + "   growth, 1 is linear")
    for name, spent in rows():
        growth = spent[-1] / spent[0] / (SIZES[-1] / SIZES[0])
        print(f"{name:28}" + "".join(f"{each:8.2f}s" for each in spent) + f"   {growth:.2f}")
    cases = [with_faults(seed) for seed in range(10)]
    took = {name: _once(partial(_each, match, cases)) for name, match in MATCHERS.items()}
    for name, whole in took.items():
        print(
            f"{name:28}{whole / len(cases):8.3f}s a human performance, {whole / took['ours']:.1f} times ours"
        )


if __name__ == "__main__":
    _main()
