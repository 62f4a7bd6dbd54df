"""What an audio pack costs, against encoding its files only and against rendering every one of them.

Run by hand: `python tests/benchmarks/bench_audio.py [KEYS] [mp3|flac|wav|ogg] [SOUNDFONT]`. The pack is 8
chords at 9 tempos in 5 mixes: 45 files a key, 540 in the 12 keys; one key is measured unless more are asked
for. Seconds are processor time of all threads, which other work on the machine disturbs least; the ratios
hold from machine to machine, the seconds do not.
"""

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from bench_pack import DRILL

from tracks.export.audio import RATE
from tracks.export.audio.balance import loudness, mastered, mix
from tracks.export.audio.encode import encode
from tracks.export.audio.render import Recording, Renderer
from tracks.export.audio.synth import Synth, soundfont
from tracks.export.audio.tags import Tags
from tracks.export.audio.timing import frames, with_tail
from tracks.export.midi import to_bytes
from tracks.model import AudioFormat, Piece
from tracks.practice.plan import Job, jobs
from tracks.practice.played import played_in_each_key
from tracks.style.registry import load


def planned(keys: int) -> list[Job]:
    """Return every file of the pack in so many keys, in the order in which a pack is made."""
    style, every = load("block"), []
    for played in played_in_each_key(replace(DRILL, keys=DRILL.keys[:keys]), style):
        of_key = jobs(DRILL, played.key, played.arrangement)
        every += sorted(of_key, key=lambda job: job.bpm)
    return every


@contextmanager
def measured(into: dict[str, tuple[float, float]], what: str) -> Iterator[None]:
    """Add the wall and processor seconds of a piece of work to what was measured so far."""
    wall, work = time.perf_counter(), time.process_time()
    yield
    spent = time.perf_counter() - wall, time.process_time() - work
    before = into.get(what, (0.0, 0.0))
    into[what] = before[0] + spent[0], before[1] + spent[1]


def by_steps(every: list[Job], renderer: Renderer, font: bytes) -> dict[str, tuple[float, float]]:
    """Return what each step costs alone, one file at a time."""
    from midirenderer import render_wave_from

    spent: dict[str, tuple[float, float]] = {}
    for job in every:
        with measured(spent, "play and measure stems, once a tempo"):
            stems = renderer.stems(job.piece)
        with measured(spent, "mix"):
            mixed = mix(stems)
        with measured(spent, "measure the mix"):
            loudness(mixed)
        sound = mastered(mixed)
        with measured(spent, "encode"):
            encode(sound, renderer.kind)
        with measured(spent, "render each file whole"):
            render_wave_from(font, to_bytes(with_tail(job.piece)))
    return spent


def played_alone(pieces: list[Piece], font: bytes) -> float:
    """Return how many times faster than it sounds one hand is played, without measuring or mixing."""
    synth = Synth(font)
    synth.play(pieces[0], pieces[0].parts[0])
    spent: dict[str, tuple[float, float]] = {}
    with measured(spent, "play"):
        for piece in pieces:
            synth.play(piece, piece.parts[0])
    return sum(map(frames, pieces)) / RATE / spent["play"][1]


def main() -> None:
    """Measure and print."""
    keys = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    kind = AudioFormat(sys.argv[2] if len(sys.argv) > 2 else "mp3")
    font = soundfont(Path(sys.argv[3]) if len(sys.argv) > 3 else None)
    every = planned(keys)
    seconds = sum(frames(job.piece) for job in every) / RATE
    print(f"{len(every)} files of {kind.value}, {seconds / 60:.0f} minutes of sound")
    print(f"one hand is played at {played_alone([job.piece for job in every[::5]], font):.0f} x realtime")

    spent = by_steps(every, Renderer(Synth(font), kind), font)
    for what, (_, work) in spent.items():
        print(f"{what}: {work:.1f} s, {seconds / work:.0f} x realtime")

    whole: dict[str, tuple[float, float]] = {}
    recordings = [
        Recording(job.piece, Tags("bench", "bench", number, job.key, job.bpm))
        for number, job in enumerate(every)
    ]
    with measured(whole, "pack"):
        size = sum(map(len, Renderer(Synth(font), kind).record(recordings)))
    wall, work = whole["pack"]
    encoding, rendering = spent["encode"][1], spent["render each file whole"][1]
    print(f"whole pack: {wall:.1f} s on the clock, {work:.1f} s of work, {size / 1e6:.0f} MB")
    print(f"  {work / encoding:.2f} x encoding every file, {seconds / wall:.0f} x realtime on the clock")
    print(f"  {work / (encoding + rendering):.2f} x rendering and encoding every file by itself")


if __name__ == "__main__":
    main()
