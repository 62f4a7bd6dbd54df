"""Damaged takes by the thousand: read and marked, or refused in a line; what the worst of them costs.

python tests/takes/damaged.py 100000
"""

import resource
import sys
import time
from random import Random

from recovered import asked_of
from test_reading_takes import mutated, recorded, saved

from tracks.takes.judge import evaluate
from tracks.takes.read import take_of
from tracks.takes.recognize import recognized
from tracks.theory.errors import RequestError


def _main(count: int) -> None:
    import mido

    rng = Random(1)
    asked = [asked_of("block", "I vi IV V7 I", key) for key in ("Eb", "B", "C")]
    pedal = mido.MidiFile(type=0)
    pedal.tracks.append(
        mido.MidiTrack(
            mido.Message("control_change", control=64, value=place % 128, time=3) for place in range(800)
        )
    )
    sources = [recorded(0), recorded(1, tracks=2, channels=2), recorded(2, tracks=2), saved(pedal)]
    marked = refused = lines = 0
    slowest = 0.0
    for number in range(count):
        data = mutated(sources[number % len(sources)], rng)
        begun = time.process_time()
        try:
            take = take_of(data)
            evaluate(take, recognized(take, asked))
            marked += 1
        except RequestError as fault:
            refused += 1
            lines += "\n" in str(fault)
        slowest = max(slowest, time.process_time() - begun)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"{marked} marked, {refused} refused ({lines} in more than a line), "
        f"the slowest {slowest:.2f} s of the processor, {memory:.0f} MB at most"
    )


if __name__ == "__main__":
    _main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
