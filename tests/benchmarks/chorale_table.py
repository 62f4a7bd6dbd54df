"""The table of four parts over twenty chorales: `python tests/benchmarks/chorale_table.py`.

For each chorale: chords at changes of numeral, rules that could not be kept, the upper voices' mean movement
in semitones, and Bach's own between the same moments. Then what could not be kept, in words. The measuring is
that of tests/published/test_four_part_chorales.py.
"""

import sys
from importlib import import_module
from pathlib import Path
from typing import Any


def main() -> None:
    """Print the table."""
    sys.path.insert(0, str(Path(__file__).parents[1] / "published"))
    measured: Any = import_module("test_four_part_chorales")
    chorale, numbers = measured.chorale, measured.NUMBERS
    print(f"{'chorale':>7} {'chords':>6} {'told':>5} {'ours':>6} {'Bach':>6}")
    told, moved, steps, bach_moved, bach_steps = [], 0, 0, 0, 0
    for number in numbers:
        found = chorale(number)
        words = [sentence for parts in found.parts for sentence in parts.broken]
        told += [(number, sentence) for sentence in words]
        ours = found.writing.movement, 3 * (len(found.chords) - 1)
        bachs = measured.bach_movement(number) if number in measured.SCORES else None
        print(
            f"{number:7} {len(found.chords):6} {len(words):5} {ours[0] / ours[1]:6.2f} "
            + (f"{bachs[0] / bachs[1]:6.2f}" if bachs else "     -")
        )
        if bachs:
            moved, steps = moved + ours[0], steps + ours[1]
            bach_moved, bach_steps = bach_moved + bachs[0], bach_steps + bachs[1]
    chords = sum(len(chorale(number).chords) for number in numbers)
    print(f"    all {chords:6} {len(told):5} {moved / steps:6.2f} {bach_moved / bach_steps:6.2f}\n")
    for number, sentence in told:
        print(f"{number:3}  {sentence}")


if __name__ == "__main__":
    main()
