"""The sounds of a pack: what is practiced with, and every part by itself for a sequencer."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tracks.drill.drill import Drill
from tracks.model import AudioFormat
from tracks.pack.folder import PackFile
from tracks.practice.naming import beside
from tracks.practice.plan import Job, key_cycle_jobs, stem_jobs
from tracks.practice.played import Played

if TYPE_CHECKING:
    from tracks.export.audio.render import Recording
    from tracks.export.audio.tags import Tags


def audio_files(
    drill: Drill, every: Sequence[Played], audio: AudioFormat, soundfont: Path | None = None
) -> Iterator[PackFile]:
    """Yield the sound of every MIDI file that is practiced with, under the same stem; they are numbered.

    Key by key, and in each from slow to fast, so that what the mixes of a tempo share is played once. Raises
    RequestError, before the first file, where the SoundFont cannot be read or a file would be too long.
    """
    from tracks.export.audio.render import Recording

    planned = [sorted(played.jobs(), key=_tempo_group) for played in every]
    if drill.key_cycle:
        by_key = [(played.key, played.arrangement) for played in every]
        planned.append(sorted(key_cycle_jobs(drill, by_key), key=_tempo_group))
    asked = [job for jobs_of_key in planned for job in jobs_of_key]
    recordings = [
        Recording(job.piece, _tags(drill, job, number)) for number, job in enumerate(asked, start=1)
    ]
    yield from _recorded(asked, recordings, audio, soundfont)


def audio_stem_files(
    drill: Drill, every: Sequence[Played], audio: AudioFormat, soundfont: Path | None = None
) -> Iterator[PackFile]:
    """Yield every part by itself, under its MIDI stem's name: from bar one, at its level in the mix.

    Raises RequestError as `audio_files` does.
    """
    from tracks.export.audio.render import Recording

    asked, recordings = [], []
    for played in every:
        stems = list(stem_jobs(drill, played.key, played.arrangement))
        whole = replace(stems[0].piece, parts=tuple(part for stem in stems for part in stem.piece.parts))
        for stem in stems:
            asked.append(stem)
            recordings.append(Recording(stem.piece, _tags(drill, stem, len(asked)), whole))
    yield from _recorded(asked, recordings, audio, soundfont)


def _recorded(
    asked: Sequence[Job], recordings: Sequence["Recording"], audio: AudioFormat, soundfont: Path | None
) -> Iterator[PackFile]:
    from tracks.export.audio.render import Renderer
    from tracks.export.audio.soundfont import soundfont as font
    from tracks.export.audio.synth import Synth
    from tracks.export.audio.timing import check_length

    renderer = Renderer(Synth(font(soundfont)), audio)
    for job in asked:
        check_length(job.piece)
    made = renderer.record(recordings)
    for job in asked:
        # Not held here: a quarter of an hour of WAV has 170 MB.
        yield PackFile(beside(job.path, audio.value), next(made), job.row)


def _tags(drill: Drill, job: Job, number: int) -> "Tags":
    """Return what a player shows: `Eb major, right alone, 72`."""
    from tracks.export.audio.tags import Tags

    kind, what = job.about.get("kind"), job.about.get("part") or job.mix.value.replace("-", " ")
    words = (drill.note_names.printed(job.key.sign), *((str(kind),) if kind else ()), str(what), str(job.bpm))
    return Tags(", ".join(words), drill.name, number, job.key, job.bpm)


def _tempo_group(job: Job) -> tuple[int, int]:
    """Return what jobs have in common that are made of the same sounds."""
    return job.bpm, job.piece.length
