"""`python -m tests.fuzz [--minutes M] [--seed N] [KIND ...]`: try, print the table, keep what failed.

Without `--minutes` every kind is tried at full length; with it each has its share of the time, and what one
leaves goes to those after it. It fails where anything failed.
"""

import argparse
import sys
from collections.abc import Sequence

from .found import keep
from .kinds import BY_NAME, KINDS, Kind
from .trial import Tally, shortest, tried

ROW = "{:<14}{:>10}{:>10}{:>9}{:>8}"


def main(arguments: Sequence[str] | None = None) -> int:
    """Try what is asked for; return 1 where something failed."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("kinds", nargs="*", metavar="KIND", help=", ".join(BY_NAME))
    parser.add_argument("--minutes", type=float, help="how long in all; full length where it is left out")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args(arguments)
    if unknown := set(asked.kinds) - set(BY_NAME):
        parser.error(f"no such kind: {', '.join(sorted(unknown))}")
    kinds = [BY_NAME[name] for name in asked.kinds] or list(KINDS)
    print(ROW.format("kind", "of", "tried", "failed", "s"), flush=True)
    failed = _table(kinds, asked.seed, asked.minutes * 60 if asked.minutes else None)
    print(f"Failed: {failed}")
    return 1 if failed else 0


def _table(kinds: Sequence[Kind], seed: int, seconds: float | None) -> int:
    left, failed = seconds or float("inf"), 0
    for place, kind in enumerate(kinds):
        tally = tried(kind, seed, left * kind.share / sum(each.share for each in kinds[place:]))
        left -= tally.seconds
        row = (kind.name, kind.trials, tally.tried, len(tally.failures), f"{tally.seconds:.0f}")
        print(ROW.format(*row), flush=True)
        _tell(kind, tally)
        failed += len(tally.failures)
    return failed


def _tell(kind: Kind, tally: Tally) -> None:
    for failure in tally.failures:
        place = keep(kind, shortest(kind, failure))
        fault = " ".join(failure.fault.split())[:400]
        print(f"  {ascii(fault)[1:-1]}\n  kept as {place.name} (trial {failure.number})", flush=True)


if __name__ == "__main__":
    sys.exit(main())
