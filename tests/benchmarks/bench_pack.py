"""How fast a pack is made, as ratios to what other tools need for the same notes.

Run by hand: `python tests/benchmarks/bench_pack.py [runs]`. It prints the best of a few runs, since the least
disturbed run says most; the ratios hold from machine to machine, the milliseconds do not.

The pack is 8 chords in 12 keys at 9 tempos in 5 mixes: 540 files. `pieces` is the seam: whatever arranges
real drills may take its place.
"""

import io
import os
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from tracks.drill.drill import Drill, Mix
from tracks.drill.ladder import by_step
from tracks.drill.record import drill_record
from tracks.export.midi import CHANNELS, Encoder
from tracks.model import KeyFrom, Marker, Note, Part, Piece, Role
from tracks.pack.folder import PackFile, write_pack
from tracks.practice.plan import Job, jobs
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter
from tracks.theory.pitch import Pitch
from tracks.theory.tempo import micros_per_quarter

DEGREES = (1, 6, 2, 5, 3, 4, 5, 1)
DRILL = Drill(
    name="bench",
    progression="I vi ii V iii IV V I",
    keys=KEY_SETS["all-major"],
    meter=Meter(4, 4),
    tempos=by_step(60, 124, 8),
    mixes=(Mix.HANDS_TOGETHER, Mix.RIGHT_ALONE, Mix.LEFT_ALONE, Mix.YOU_PLAY_RIGHT, Mix.PANNED_APART),
)


def pieces(drill: Drill) -> list[tuple[Key, Piece]]:
    """Return the drill's arrangement in every key: block triads in both hands."""
    return [(key, _block_chords(drill, key)) for key in drill.keys]


def _block_chords(drill: Drill, key: Key) -> Piece:
    bar = drill.meter.bar
    hands = []
    for role, lowest in ((Role.RIGHT, 60), (Role.LEFT, 48)):
        notes = [
            Note(number * bar, bar, Pitch.at_or_above(key.degree((degree + third - 1) % 7 + 1), lowest))
            for number, degree in enumerate(DEGREES)
            for third in (0, 2, 4)
        ]
        hands.append(Part(role, tuple(notes)))
    return Piece(
        title=drill.name,
        meter=drill.meter,
        keys=(KeyFrom(0, key),),
        length=len(DEGREES) * bar,
        music_from=0,
        parts=tuple(hands),
        markers=tuple(
            Marker(n * bar, f"{key.degree(degree)} | {degree}") for n, degree in enumerate(DEGREES)
        ),
    )


def planned() -> list[Job]:
    """Return every job of the pack."""
    return [job for key, piece in pieces(DRILL) for job in jobs(DRILL, key, piece)]


def encoded() -> list[PackFile]:
    """Return every file of the pack, from arrangements to bytes."""
    encoder = Encoder(DRILL.midi_type)
    return [PackFile(job.path, encoder.encode(job.piece), job.row) for job in planned()]


# The same notes by other tools


def _ticks(ticks: int) -> int:
    return ticks // 21


def _strokes(part: Part) -> Iterable[tuple[int, int, int, int]]:
    """Return (start, end, key, velocity) in ticks."""
    for note in part.notes:
        yield _ticks(note.start), _ticks(note.end), note.pitch.midi, note.velocity
    for hit in part.hits:
        yield _ticks(hit.start), _ticks(hit.start) + 60, hit.key, hit.velocity


def _micros(piece: Piece) -> int:
    return micros_per_quarter(piece.bpm or 60, piece.meter)


def by_mido(piece: Piece) -> bytes:
    """Return the piece written by mido as its documentation does."""
    import mido

    opened = mido.MidiFile(type=1, ticks_per_beat=480)
    first = mido.MidiTrack([mido.MetaMessage("set_tempo", tempo=_micros(piece))])
    now = 0
    for marker in piece.markers:
        first.append(mido.MetaMessage("marker", text=marker.text, time=_ticks(marker.start) - now))
        now = _ticks(marker.start)
    opened.tracks.append(first)
    for part in piece.parts:
        track, channel, now = mido.MidiTrack(), CHANNELS[part.role], 0
        events = [(s, 1, k, v) for s, _, k, v in _strokes(part)] + [
            (e, 0, k, 0) for _, e, k, _ in _strokes(part)
        ]
        for tick, _, key, velocity in sorted(events):
            track.append(
                mido.Message("note_on", channel=channel, note=key, velocity=velocity, time=tick - now)
            )
            now = tick
        opened.tracks.append(track)
    written = io.BytesIO()
    opened.save(file=written)
    return written.getvalue()


def by_pretty_midi(piece: Piece) -> bytes:
    """Return the piece written by pretty_midi, which has no markers."""
    import pretty_midi

    opened = pretty_midi.PrettyMIDI(resolution=480, initial_tempo=6e7 / _micros(piece))
    second = _micros(piece) / 480 / 1e6
    for part in piece.parts:
        instrument = pretty_midi.Instrument(
            part.program, is_drum=CHANNELS[part.role] == 9, name=part.role.value
        )
        instrument.notes = [pretty_midi.Note(v, k, s * second, e * second) for s, e, k, v in _strokes(part)]
        opened.instruments.append(instrument)
    written = io.BytesIO()
    opened.write(written)
    return written.getvalue()


def by_symusic(piece: Piece) -> bytes:
    """Return the piece written by symusic."""
    import symusic

    score: Any = symusic.Score(480)
    score.tempos.append(symusic.Tempo(0, 6e7 / _micros(piece)))
    for marker in piece.markers:
        score.markers.append(symusic.TextMeta(_ticks(marker.start), marker.text))
    for part in piece.parts:
        track: Any = symusic.Track(part.role.value, part.program, CHANNELS[part.role] == 9)
        for start, end, key, velocity in _strokes(part):
            track.notes.append(symusic.Note(start, end - start, key, velocity))
        score.tracks.append(track)
    return bytes(score.dumps_midi())


# Measuring


def write_raw(out: Path, files: list[PackFile]) -> None:
    """Write the same bytes to the same paths by the least that the system asks for."""
    for folder in dict.fromkeys(file.path.rpartition("/")[0] for file in files):
        (out / folder).mkdir(parents=True)
    for file in files:
        handle = os.open(f"{out}/{file.path}", os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
        os.write(handle, file.content)
        os.close(handle)


def best(runs: int, *works: Callable[[], object]) -> list[float]:
    """Return the least milliseconds of each work, all of them taking turns."""
    least = [float("inf")] * len(works)
    for _ in range(runs):
        for number, work in enumerate(works):
            began = time.perf_counter()
            work()
            least[number] = min(least[number], 1000 * (time.perf_counter() - began))
    return least


def main() -> None:
    """Measure and print."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    files, every = encoded(), planned()
    size = sum(len(file.content) for file in files)
    print(f"{len(files)} files, {size:,} bytes; best of {runs}")

    with tempfile.TemporaryDirectory() as folder:
        places = (Path(folder, str(number)) for number in range(10**6))
        raw, fresh = best(
            runs,
            lambda: write_raw(next(places), files),
            lambda: write_pack(next(places), "bench", files, drill_record(DRILL)),
        )
        again = Path(folder, "again")
        write_pack(again, "bench", files, drill_record(DRILL))
        (replacing,) = best(runs, lambda: write_pack(again, "bench", files, drill_record(DRILL)))
    print(f"raw write {raw:.1f} ms; pack {fresh:.1f} ms, {fresh / raw:.2f} x; replacing {replacing:.1f} ms")

    tools = (by_mido, by_pretty_midi, by_symusic)
    sample = every[::10]
    ours, plan, *others = best(
        runs, encoded, planned, *(lambda tool=tool: [tool(job.piece) for job in sample] for tool in tools)
    )
    print(f"plan {plan:.1f} ms; plan and encode {ours:.1f} ms, {1000 * ours / len(files):.0f} µs a file")
    for tool, spent in zip(tools, others, strict=True):
        whole = spent * len(every) / len(sample)
        print(f"{tool.__name__[3:]} {whole:.0f} ms for the same notes: {whole / ours:.0f} x ours")


if __name__ == "__main__":
    main()
