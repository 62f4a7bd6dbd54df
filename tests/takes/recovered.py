"""How many of the faults that were put into takes are found again; by hand, for as many takes as you like:

python tests/takes/recovered.py 10000
"""

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache

from player import PROFESSIONAL, STUDENT, Chances, perform

from tracks.drill.request import request_of
from tracks.style.registry import load, names
from tracks.takes.expected import Asked, asked_in_each_key
from tracks.takes.judge import Report, evaluate

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


def recover(asks: Sequence[Asked], chances: Chances, seeds: range) -> Recovered:
    total = Recovered()
    for seed in seeds:
        asked = asks[seed % len(asks)]
        take, truth = perform(asked, chances, seed)
        report = evaluate(take, asked)
        truly = {("wrong", *each) for each in truth.wrong} | {("missing", *each) for each in truth.missing}
        heard = set(_found(report))
        total.found += len(truly & heard)
        total.false += len(heard - truly)
        total.lost += len(truly - heard)
        if truly != heard:
            total.misjudged.append(f"{seed} {asked.drill.style} -{len(truly - heard)} +{len(heard - truly)}")
        total.tempo_off.append(abs((report.bpm or 0) / truth.bpm - 1))
        total.takes += 1
        total.alarms += bool(report.in_the_way(None))
    return total


def _found(report: Report) -> Iterator[tuple[str, int, int]]:
    for group, heard in enumerate(report.best.heard):
        yield from (("wrong", group, note.midi) for _, note in heard.wrong)
        yield from (("missing", group, note.pitch.midi) for note in heard.missing)


def _main(count: int) -> None:
    asks = drills(names())
    for called, chances in (("students", STUDENT), ("professionals", PROFESSIONAL)):
        told = recover(asks, chances, range(count))
        off = sorted(told.tempo_off)
        print(
            f"{called}: {told.takes} takes, precision {told.precision:.4f}, recall {told.recall:.4f}, "
            f"tempo off {off[len(off) // 2]:.4f} median, {off[int(len(off) * 0.99)]:.4f} 99 %, "
            f"{sum(each <= 0.01 for each in off) / len(off):.4f} within 1 %, {told.alarms} in the way"
        )
        print(*told.misjudged[:25], sep="\n")


if __name__ == "__main__":
    _main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
