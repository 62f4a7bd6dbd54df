"""How long two minutes of each style take to arrange, and what part of that is the feel.

Run it as `python tests/benchmarks/bench_styles.py [RUNS]`. It prints milliseconds of processor time here, and
ratios, which travel: an arrangement to the encoding of the same piece, with feel to as written.
"""

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial

from tracks.drill.drill import Drill
from tracks.drill.in_key import DrillInKey, in_each_key
from tracks.export.midi import to_bytes
from tracks.model import Piece
from tracks.practice.arrange import arrange
from tracks.practice.mixes import at_tempo
from tracks.style import Style
from tracks.style.registry import load_all
from tracks.theory.key import Key
from tracks.theory.tempo import seconds

BPM, AT_LEAST_S = 120, 120
PROGRESSION = "| I | vi | ii V7 | I | IV | ii | V7 | I |"


def two_minutes(style: Style) -> tuple[Drill, DrillInKey]:
    """Return a drill of a style's hardest level that lasts two minutes or a little more, and its in_key."""
    meter = style.info.meters[0]
    shares = 2 if meter.beats % 2 == 0 else 1
    text = PROGRESSION if shares == 2 else PROGRESSION.replace("ii V7", "V7")
    drill = Drill(
        "bench",
        text,
        (Key.parse("Eb"),),
        meter,
        (BPM,),
        style=style.info.name,
        level=len(style.info.levels),
        texture=style.info.textures[0],
    )
    (in_key,) = in_each_key(drill)
    once = seconds(in_key.changes.length, BPM, meter)
    return replace(drill, repeats=-(-AT_LEAST_S // int(once))), in_key


def best(runs: int, work: Callable[[], object]) -> float:
    """Return the least milliseconds of some runs."""
    least = float("inf")
    for _ in range(runs):
        began = time.process_time()
        work()
        least = min(least, 1000 * (time.process_time() - began))
    return least


def main() -> None:
    """Measure and print."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    print(f"two minutes at {BPM}, hardest level; best of {runs}")
    for style in load_all()[0]:
        drill, in_key = two_minutes(style)

        def made(
            feel: bool | None, style: Style = style, drill: Drill = drill, in_key: DrillInKey = in_key
        ) -> Piece:
            return arrange(replace(drill, feel=feel), style, in_key.changes, in_key.chords, BPM)

        piece = at_tempo(made(None), BPM)
        as_written, with_feel = best(runs, partial(made, False)), best(runs, partial(made, True))
        encoded = best(runs, partial(to_bytes, piece))
        strokes = sum(len(part.notes) + len(part.hits) for part in piece.parts)
        length = seconds(piece.length, BPM, piece.meter)
        print(
            f"{style.info.name:12} {length:4.0f} s {strokes:5} strokes: as written {as_written:5.1f} ms, "
            f"with feel {with_feel:5.1f} ms, {with_feel / as_written:.1f} x; "
            f"{with_feel / encoded:.1f} x its encoding"
        )


if __name__ == "__main__":
    main()
