"""How many of the faults that were put into takes are found again; by hand, for as many takes as you like:

python tests/takes/recovered.py 10000 4000000

The second number is the first seed. Seeds below 20,000, and from 1,000,000 to 1,004,000, are what the matcher
was tuned on: they are not held out.
"""

import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, fields
from functools import cache
from itertools import groupby

from player import PROFESSIONAL, STUDENT, Chances, perform

from tracks.drill.request import request_of
from tracks.style.registry import load, names
from tracks.takes.expected import Asked, asked_in_each_key
from tracks.takes.judge import evaluate
from tracks.takes.report import Report

PROGRESSIONS = ("I vi IV V7 I", "ii7 V7 I IV viio7 iii vi I64 V7 I", "| I / vi / | IV / V7 / | I |")
KEYS = ("Eb", "B", "C")


@dataclass
class Recovered:
    """Notes found as put in, found that were not, and not found; tempos off; takes wrongly not ready."""

    found: int = 0
    false: int = 0
    lost: int = 0
    takes: int = 0
    tempo_off: list[float] = field(default_factory=list)
    alarms: int = 0
    misjudged: list[str] = field(default_factory=list)

    def __add__(self, other: "Recovered") -> "Recovered":
        return Recovered(*(getattr(self, each.name) + getattr(other, each.name) for each in fields(self)))

    @property
    def precision(self) -> float:
        return self.found / max(self.found + self.false, 1)

    @property
    def recall(self) -> float:
        return self.found / max(self.found + self.lost, 1)


@cache
def asked_of(style: str, progression: str, key: str) -> Asked:
    given = {"progression": progression, "keys": (key,), "style": style, "repeats": 2}
    found = load(style)
    meter = found.info.meters[0]
    drill = request_of({**given, "meter": str(meter)}).drills(found)[0]
    return asked_in_each_key(drill, found)[0]


def drills(styles: Sequence[str]) -> list[Asked]:
    found = []
    for style in styles:
        for progression in PROGRESSIONS:
            for key in KEYS:
                try:
                    found.append(asked_of(style, progression, key))
                except ValueError:
                    continue  # a meter or a texture that this progression has not
    return [asked for asked in found if asked.groups]


def recover(asks: Sequence[Asked], chances: Chances, seeds: Iterable[int]) -> Recovered:
    return sum((_recovered(asks[seed % len(asks)], chances, seed) for seed in seeds), Recovered())


def _recovered(asked: Asked, chances: Chances, seed: int) -> Recovered:
    take, truth = perform(asked, chances, seed)
    report = evaluate(take, asked)
    truly = {("wrong", *each) for each in truth.wrong} | {("missing", *each) for each in truth.missing}
    heard = set(_found(report))
    found, false, lost = len(truly & heard), len(heard - truly), len(truly - heard)
    off = abs((report.bpm or 0) / truth.bpm - 1)
    alarm = bool(report.in_the_way(None))
    misjudged = [f"{seed} {asked.drill.style} -{lost} +{false}"] if lost or false or off > 0.01 else []
    return Recovered(found, false, lost, 1, [off], alarm, misjudged)


def _found(report: Report) -> Iterator[tuple[str, int, int]]:
    for group, heard in enumerate(report.best.heard):
        yield from (("wrong", group, note.midi) for _, note in heard.wrong)
        yield from (("missing", group, note.pitch.midi) for note in heard.missing)


def _main(count: int, first: int) -> None:
    asks = drills(names())
    places = {
        style: [asks.index(each) for each in drills]
        for style, drills in groupby(asks, key=lambda asked: asked.drill.style)
    }
    for called, chances in (("students", STUDENT), ("professionals", PROFESSIONAL)):
        by_style = {
            style: recover(asks, chances, (s for s in range(first, first + count) if s % len(asks) in own))
            for style, own in places.items()
        }
        total = sum(by_style.values(), Recovered())
        for style, told in sorted(by_style.items(), key=lambda each: each[1].recall):
            _say(f"  {style}", told)
        print(*total.misjudged, sep="\n")
        _say(called, total)


def _say(called: str, told: Recovered) -> None:
    off = sorted(told.tempo_off)
    print(
        f"{called}: {told.takes} takes, {told.found + told.lost} faults, precision {told.precision:.4f}, "
        f"recall {told.recall:.4f}, tempo off {off[len(off) // 2]:.4f} median, {off[-1]:.4f} most, "
        f"{sum(each > 0.01 for each in off)} over 1 %, {told.alarms} in the way"
    )


if __name__ == "__main__":
    _main(*(int(word) for word in [*sys.argv[1:], *("1000", "0")[len(sys.argv) - 1 :]]))
