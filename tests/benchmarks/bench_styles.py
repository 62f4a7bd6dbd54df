"""How long two minutes of each style take to arrange, and what part of that is the touch.

Run it as `python tests/benchmarks/bench_styles.py [RUNS]`. It prints milliseconds of processor time here, and
ratios, which travel: an arrangement to the encoding of the same piece, with touch to as written.
"""

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial

from tracks.arrange import arrange
from tracks.chart import Chart, charts
from tracks.drill import Drill
from tracks.export.midi import to_bytes
from tracks.model import Piece
from tracks.practice.mixes import at_tempo
from tracks.registry import load_all
from tracks.style import Style
from tracks.theory.key import Key
from tracks.theory.tempo import seconds

BPM, AT_LEAST_S = 120, 120
PROGRESSION = "| I | vi | ii V7 | I | IV | ii | V7 | I |"


def two_minutes(style: Style) -> tuple[Drill, Chart]:
    """Return a drill of a style's hardest level that lasts two minutes or a little more, and its chart."""
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
    (chart,) = charts(drill)
    once = seconds(chart.changes.length, BPM, meter)
    return replace(drill, repeats=-(-AT_LEAST_S // int(once))), chart


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
        drill, chart = two_minutes(style)

        def made(
            touch: bool | None, style: Style = style, drill: Drill = drill, chart: Chart = chart
        ) -> Piece:
            return arrange(replace(drill, touch=touch), style, chart.changes, chart.chords, BPM)

        piece = at_tempo(made(None), BPM)
        as_written, touched = best(runs, partial(made, False)), best(runs, partial(made, True))
        encoded = best(runs, partial(to_bytes, piece))
        strokes = sum(len(part.notes) + len(part.hits) for part in piece.parts)
        length = seconds(piece.length, BPM, piece.meter)
        print(
            f"{style.info.name:12} {length:4.0f} s {strokes:5} strokes: as written {as_written:5.1f} ms, "
            f"touched {touched:5.1f} ms, {touched / as_written:.1f} x; {touched / encoded:.1f} x its encoding"
        )


if __name__ == "__main__":
    main()
