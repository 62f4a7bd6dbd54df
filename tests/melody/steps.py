"""What each step of the improviser is good for: `python -m tests.melody.steps`.

Switches off one step at a time, and prints how well the tunes of level 6 are told from the corpora's then
(balanced accuracy, the mean of three sets of eighty), and the medians of the statistics that a classifier of
bigrams cannot see. The switches are here and nowhere else: no tune is made so but to be measured.
"""

import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any
from unittest.mock import patch

sys.path.insert(0, str(Path(__file__).parent))

from airs import SOPRANOS, airs
from corpora import EIGHTY, TUNES, told_apart, tunes
from measures import MEASURES

from tracks.melody import cells, form, levels, plan, rhythm
from tracks.melody.cells import Temper
from tracks.melody.form import Phrase

LEVEL = 6
SHOWN = (
    "phrases that begin off beat 1, %",
    "four-note figures that recur, %",
    "bars that return, %",
    "repeated notes, %",
    "climax at, % of the tune",
)


def _tempers(**changed: Any) -> dict[str, object]:
    def temper(*asked: Any) -> Temper:
        return replace(cells.temper(*asked), **changed)

    return {"tracks.melody.rhythm.temper": temper}


def _one_temper(level: int, *_: Any) -> Temper:
    return cells.temper(min(level, LEVEL - 1), *_)


def _phrases(changed: Callable[[Phrase], Phrase]) -> dict[str, object]:
    def phrases(*asked: Any) -> tuple[Phrase, ...]:
        return tuple(changed(phrase) for phrase in form.phrases(*asked))

    return {"tracks.melody.plan.phrases": phrases}


STEPS: Mapping[str, Mapping[str, object]] = {
    "all": {},
    "no pickups and anticipations": _tempers(pickups=0.0, early=0.0),
    "no form: no phrase comes back": _phrases(lambda phrase: replace(phrase, again=None, whole=False)),
    "no riffs": _tempers(riffs=0.0),
    "no motif, sequence or answer": {"tracks.melody.plan._part": lambda *_: ""},
    "even phrases only": {"tracks.melody.form.UNEVEN": LEVEL + 1},
    "no climax": _phrases(lambda phrase: replace(phrase, climax=False))
    | {"tracks.melody.plan._CEILING": 1.0},
    "no cadence": {"tracks.melody.levels._LIKES_CADENCE": 1.0},
    "one temper": {"tracks.melody.rhythm.temper": _one_temper},
    "moves that forget the one before": {
        "tracks.melody.levels._GOES_ON": {},
        "tracks.melody.levels._BACK": {},
        "tracks.melody.levels._OUTLINES_TRITONE": 1.0,
        "tracks.melody.levels._REPEATS_HALF_STEP": 1.0,
    },
}
"""Every switch: what is put in another's place while it is off."""

assert all((cells, form, levels, plan, rhythm))  # what the switches reach into


@contextmanager
def without(step: str) -> Iterator[None]:
    """Switch a step off for a while."""
    with ExitStack() as stack:
        for place, other in STEPS[step].items():
            stack.enter_context(patch(place, other))
        yield


def main() -> None:
    """Measure and print."""
    theirs = [air for air in airs() if air.pool != SOPRANOS]
    print(f"| step | logistic regression, forest | {' | '.join(SHOWN)} |")
    for step in STEPS:
        with without(step):
            ours = tunes(LEVEL)
        sets = [told_apart(ours[n : n + EIGHTY], theirs) for n in range(0, TUNES, EIGHTY)]
        told = (sum(each[kind] for each in sets) / len(sets) for kind in sets[0])
        middles = (sorted(map(MEASURES[name], ours))[TUNES // 2] for name in SHOWN)
        print(
            f"| {step} | {', '.join(f'{t:.2f}' for t in told)} | {' | '.join(f'{m:.1f}' for m in middles)} |"
        )


if __name__ == "__main__":
    main()
