"""What an audio pack costs, against encoding its files only, and its encoder against the one before.

Run by hand: `python tests/benchmarks/bench_audio.py [KEYS] [mp3|flac|wav|ogg] [SOUNDFONT]`. The pack is 8
chords at 9 tempos in 5 mixes: 45 files a key, 540 in the 12 keys; one key is measured unless more are asked
for. The ratios hold from machine to machine, the seconds do not.
"""

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from io import BytesIO
from pathlib import Path

from bench_pack import DRILL
from numpy import concatenate
from soundfile import SoundFile, read

from tracks.export.audio import RATE, Sound
from tracks.export.audio.balance import TARGET, Mixdown, factor, gains
from tracks.export.audio.encode import encode
from tracks.export.audio.loudness import Measured
from tracks.export.audio.render import Recording, Renderer, play, sounding, stem_of
from tracks.export.audio.soundfont import SoundFont, soundfont
from tracks.export.audio.synth import Synth
from tracks.export.audio.tags import Tags
from tracks.export.audio.tape import Tape
from tracks.export.audio.timing import frames
from tracks.model import AudioFormat
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


def by_steps(every: list[Job], font: SoundFont, kind: AudioFormat) -> dict[str, tuple[float, float]]:
    """Return what each step costs alone, one file at a time."""
    spent: dict[str, tuple[float, float]] = {}
    synth, tapes = Synth(font), dict[tuple[object, ...], Tape]()
    for job in every:
        parts = list(sounding(job.piece))
        stems = [(job.bpm, job.key, stem_of(part)) for part in parts]
        with measured(spent, "play stems, once a tempo"):
            for stem in stems:
                if stem not in tapes:
                    tapes[stem] = play(synth, job.piece, stem[2])
        with measured(spent, "measure"):
            heard = Measured([tapes[stem] for stem in stems])
            sides = gains(parts, [heard.alone(place) for place in range(len(stems))])
            sides *= factor(TARGET - heard.loudness(sides))
        with measured(spent, "mix"):
            mix = Mixdown([tapes[stem] for stem in stems], sides, frames(job.piece))
            sound = concatenate(list(mix.held_under()))
        with measured(spent, "encode"):
            encode([sound], kind)
        if kind is AudioFormat.MP3:
            with measured(spent, "encode with libsndfile, as before"):
                by_libsndfile(sound)
    synth.close()
    return spent


def by_libsndfile(sound: Sound) -> bytes:
    """Return the MP3 that libsndfile writes, at the quality that was used before."""
    written, kind = BytesIO(), {"format": "MP3", "subtype": "MPEG_LAYER_III", "bitrate_mode": "VARIABLE"}
    with SoundFile(written, "w", RATE, 2, compression_level=0.3, **kind) as file:
        for start in range(0, len(sound), 65_536):
            file.write(sound[start : start + 65_536])
    return written.getvalue()


def pack_less_wav(every: list[Job], font: SoundFont) -> float:
    """Return what an MP3 pack costs more than a WAV pack, over what the encoder before costs more than WAV's.

    All on the same sounds, in seconds of processor time of this process and its children.
    """
    recordings = [
        Recording(job.piece, Tags("bench", "bench", n, job.key, job.bpm)) for n, job in enumerate(every)
    ]
    packs: dict[AudioFormat, float] = {}
    sounds: list[Sound] = []
    for kind in (AudioFormat.WAV, AudioFormat.MP3, AudioFormat.WAV, AudioFormat.MP3):
        before = _work()
        for content in Renderer(Synth(font), kind, 1).record(recordings):
            if kind is AudioFormat.WAV and len(sounds) < len(every):
                sounds.append(read(BytesIO(content), dtype="float32")[0])
        packs[kind] = _work() - before
    start = _work()
    for sound in sounds:
        by_libsndfile(sound)
    middle = _work()
    for sound in sounds:
        encode([sound], AudioFormat.WAV)
    return (packs[AudioFormat.MP3] - packs[AudioFormat.WAV]) / (2 * middle - start - _work())


def _work() -> float:
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


def main() -> None:
    """Measure and print."""
    keys = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    kind = AudioFormat(sys.argv[2] if len(sys.argv) > 2 else "mp3")
    font = soundfont(Path(sys.argv[3]) if len(sys.argv) > 3 else None)
    every = planned(keys)
    seconds = sum(frames(job.piece) for job in every) / RATE
    print(f"{len(every)} files of {kind.value}, {seconds / 60:.0f} minutes of sound")

    spent = by_steps(every, font, kind)
    for what, (wall, work) in spent.items():
        print(f"{what}: {wall:.1f} s, {work:.1f} s of work here, {seconds / wall:.0f} x realtime")

    recordings = [
        Recording(job.piece, Tags("bench", "bench", number, job.key, job.bpm))
        for number, job in enumerate(every)
    ]
    whole: dict[str, tuple[float, float]] = {}
    for workers in (1, 2):
        with measured(whole, str(workers)):
            size = sum(map(len, Renderer(Synth(font), kind, workers).record(recordings)))
        print(
            f"whole pack, {workers} at work: {whole[str(workers)][0]:.1f} s on the clock, {size / 1e6:.0f} MB"
        )
    print(f"  {whole['1'][0] / spent['encode'][0]:.2f} x encoding every file")
    if kind is AudioFormat.MP3:
        print(
            f"MP3 pack less WAV pack: {pack_less_wav(every, font):.2f} of what the encoder before would add"
        )


if __name__ == "__main__":
    main()
