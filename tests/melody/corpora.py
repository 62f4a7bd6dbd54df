"""Our tunes beside other people's: `python -m tests.melody.corpora [LEVEL]`.

Prints for every statistic the corpora's 10th, 50th and 90th percentile and ours, with a star where our
median lies in their range; then how well a classifier of interval and rhythm bigrams tells ours from theirs
(balanced accuracy, five-fold cross-validated; 0.5 is chance): eighty tunes three times, then all; the same
beside airs of the same books that were held out while our tunes were shaped; and, so that the figure means
something, Bach's sopranos, fiddle tunes beside songs, and the held-out airs. The corpora are read once, which
takes minutes.
"""

import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

from airs import FIDDLE, SOPRANOS, Air, airs, held_out_airs
from measures import MEASURES, habits

from tracks.progression.library import LIBRARY, Entry
from tracks.theory.key import Key, Mode
from tracks.theory.meter import Meter

TUNES, EIGHTY, SHORTEST = 240, 80, 12
MIXED = (Meter(4, 4),) * 3 + (Meter(2, 4),) * 2 + (Meter(3, 4),) * 2 + (Meter(6, 8),) * 2
"""The corpora's meters, about in their shares."""


def tunes(level: int, count: int = TUNES) -> list[Air]:
    """Return as many of our tunes over the library's progressions, each at least twelve bars."""
    from tunes import SHORTER_BY_BARS

    long = [entry for entry in LIBRARY if len(entry.text.split()) >= 4]
    made = []
    for seed in range(count):
        entry = long[seed % len(long)]
        meter = MIXED[seed // 2 % len(MIXED)]
        if entry.name in SHORTER_BY_BARS or "|" in entry.text:
            meter = Meter(4, 4)
        made.append(_tune(entry, meter, seed, level))
    return made


def _tune(entry: Entry, meter: Meter, seed: int, level: int) -> Air:
    from tracks.drill.drill import Drill
    from tracks.drill.in_key import in_each_key
    from tracks.practice.arrange import as_written
    from tracks.style.registry import load

    keys = (Key.parse("c" if entry.mode is Mode.MINOR else "C"),)
    drill = Drill("air", entry.text, keys, meter, (60,), style="improvise", level=level, seed=seed)
    (in_key,) = in_each_key(drill)
    times = -(-SHORTEST * meter.bar // in_key.changes.length)
    piece = as_written(replace(drill, repeats=times), load("improvise"), in_key.changes, in_key.chords)
    notes = tuple((note.start, note.length, note.pitch.midi) for note in piece.parts[0].notes)
    return Air(f"{entry.name} {seed}", "ours", str(meter), meter.bar, piece.music_from, notes)


def told_apart(ours: Sequence[Air], theirs: Sequence[Air]) -> dict[str, float]:
    """Return the balanced accuracy of classifiers that tell our tunes from theirs, by name."""
    from sklearn.ensemble import RandomForestClassifier
    from sklearn.feature_extraction import DictVectorizer
    from sklearn.linear_model import LogisticRegression
    from sklearn.model_selection import StratifiedKFold, cross_val_score
    from sklearn.pipeline import make_pipeline
    from sklearn.preprocessing import StandardScaler

    seen = [habits(air) for air in (*ours, *theirs)]
    truth = [True] * len(ours) + [False] * len(theirs)
    folds = StratifiedKFold(5, shuffle=True, random_state=1)
    kinds: dict[str, Any] = {
        "logistic regression": make_pipeline(
            DictVectorizer(sparse=False),
            StandardScaler(),
            LogisticRegression(C=0.01, max_iter=2000, class_weight="balanced"),
        ),
        "random forest": make_pipeline(
            DictVectorizer(sparse=False),
            RandomForestClassifier(300, class_weight="balanced", random_state=1, min_samples_leaf=2),
        ),
    }
    return {
        name: cross_val_score(kind, seen, truth, cv=folds, scoring="balanced_accuracy").mean()
        for name, kind in kinds.items()
    }


def _at(values: Sequence[float], share: float) -> float:
    ordered = sorted(values)
    return ordered[round(share * (len(ordered) - 1))]


def _row(name: str, theirs: Sequence[Air], ours: Sequence[Air]) -> tuple[str, bool]:
    measure = MEASURES[name]
    there, here = [measure(air) for air in theirs], [measure(air) for air in ours]
    low, middle, high = (_at(there, share) for share in (0.1, 0.5, 0.9))
    own = [_at(here, share) for share in (0.1, 0.5, 0.9)]
    within = low <= own[1] <= high
    inside = 100 * sum(low <= value <= high for value in here) / len(here)
    cells = " | ".join(f"{value:5.1f}" for value in (low, middle, high, *own))
    return f"| {name:32} | {cells} | {inside:4.0f} | {'*' if within else ' '} |", within


def main() -> None:
    """Measure and print."""
    level = int(sys.argv[1]) if len(sys.argv) > 1 else 6
    every = airs()
    theirs, sopranos = [a for a in every if a.pool != SOPRANOS], [a for a in every if a.pool == SOPRANOS]
    ours = tunes(level)
    counts = Counter(air.pool for air in theirs)
    print(f"{len(theirs)} melodies:", ", ".join(f"{n} {pool}" for pool, n in counts.items()))
    print(f"{len(ours)} tunes of level {level}\n")
    head = ("10th", "50th", "90th", "ours", "ours", "ours")
    print(f"| {'':32} | {' | '.join(f'{h:>5}' for h in head)} | in % |   |")
    rows = [_row(name, theirs, ours) for name in MEASURES]
    print("\n".join(row for row, _ in rows))
    print(f"\nour median in their range: {sum(within for _, within in rows)} of {len(rows)}")
    held_out = held_out_airs()
    for whose, pool in (("theirs", theirs), (f"{len(held_out)} held out", held_out)):
        for first in range(0, len(ours), EIGHTY):
            _print_told(f"ours, from seed {first}", ours[first : first + EIGHTY], whose, pool)
        _print_told(f"all {len(ours)} of ours", ours, whose, pool)
    _print_told("held out", held_out, "theirs", theirs)
    _print_told("Bach's sopranos", sopranos, "theirs", theirs)
    fiddle = [air for air in theirs if air.pool == FIDDLE]
    _print_told("fiddle tunes", fiddle, "songs", [air for air in theirs if air.pool != FIDDLE])


def _print_told(who: str, them: Sequence[Air], whose: str, theirs: Sequence[Air]) -> None:
    told = ", ".join(f"{kind} {accuracy:.2f}" for kind, accuracy in told_apart(them, theirs).items())
    print(f"{who} told from {whose}: {told}")


if __name__ == "__main__":
    main()
