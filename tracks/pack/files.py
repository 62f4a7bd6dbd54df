"""The workshop: a drill and a style become the files of a pack, one after the other."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from tracks.drill.drill import Drill, Form, Mix
from tracks.drill.in_key import DrillInKey, in_each_key
from tracks.export.midi import Encoder
from tracks.extras import need_for
from tracks.model import AudioFormat
from tracks.pack.folder import PackFile
from tracks.practice.arrange import arrange
from tracks.practice.forms import formed
from tracks.practice.naming import ALL_STEMS, Kind, beside, path
from tracks.practice.plan import Arrangement, Job, build_up_jobs, jobs, key_cycle_jobs, stem_jobs
from tracks.style import Style


def pack_files(drill: Drill, style: Style, soundfont: Path | None = None) -> Iterator[PackFile]:
    """Yield every file of a drill's pack: the MIDI files, then the audio and the sheets where asked for.

    `soundfont` is the file that the audio is played on, the default one where it is None.
    """
    need_for(sheet=drill.sheet, audio=bool(drill.audio))
    yield from midi_files(drill, style)
    if drill.audio:
        yield from audio_files(drill, style, drill.audio, soundfont)
    if drill.sheet:
        from tracks.pack.sheets import sheet_files

        yield from sheet_files(drill, style)


def midi_files(drill: Drill, style: Style) -> Iterator[PackFile]:
    """Yield every MIDI file of a drill, key by key and from slow to fast, and the zips of its stems.

    One key is held in memory; all are only for a file that goes through them. Raises RequestError, before the
    first file, where the progression cannot be read or played in one of the keys.
    """
    encoder = Encoder(drill.midi_type)
    arranged = []
    for in_key in in_each_key(drill):
        made = arrangement(drill, style, in_key)
        for job in _practiced(drill, style, in_key, made):
            yield _file(encoder, job)
        if drill.stems:
            yield from _stems(drill, in_key, made)
        if drill.key_cycle:
            arranged.append((in_key.key, made))
    if arranged:
        yield from (_file(encoder, job) for job in key_cycle_jobs(drill, arranged))


def audio_files(
    drill: Drill, style: Style, audio: AudioFormat, soundfont: Path | None = None
) -> Iterator[PackFile]:
    """Yield the sound of every MIDI file that is practiced with, under the same stem; they are numbered.

    Key by key, and in each from slow to fast, so that what the mixes of a tempo share is played once. Raises
    RequestError, before the first file, where the SoundFont cannot be read or a file would be too long.
    """
    from tracks.export.audio.render import Recording, Renderer
    from tracks.export.audio.synth import Synth
    from tracks.export.audio.synth import soundfont as font
    from tracks.export.audio.tags import Tags
    from tracks.export.audio.timing import check_length

    renderer = Renderer(Synth(font(soundfont)), audio)
    arranged = [(in_key, arrangement(drill, style, in_key)) for in_key in in_each_key(drill)]
    planned = [sorted(_practiced(drill, style, *made), key=_tempo_group) for made in arranged]
    if drill.key_cycle:
        by_key = [(in_key.key, made) for in_key, made in arranged]
        planned.append(sorted(key_cycle_jobs(drill, by_key), key=_tempo_group))
    every = [job for jobs_of_key in planned for job in jobs_of_key]
    for job in every:
        check_length(job.piece)
    recordings = (
        Recording(job.piece, Tags(_title(job), drill.name, number, job.key, job.bpm))
        for number, job in enumerate(every, start=1)
    )
    for job, content in zip(every, renderer.record(recordings), strict=True):
        yield PackFile(beside(job.path, audio.value), content, job.row)


def _practiced(drill: Drill, style: Style, in_key: DrillInKey, made: Arrangement) -> Iterator[Job]:
    """Yield the jobs of a key that a student plays along with."""
    yield from jobs(drill, in_key.key, made)
    if drill.build_up:
        once = arrangement(replace(drill, repeats=1, form=Form.PLAIN, turn=None), style, in_key)
        starts = [voiced.at.start for voiced in in_key.chords if voiced.at.chord]
        yield from build_up_jobs(drill, in_key.key, once, starts)


def _tempo_group(job: Job) -> tuple[int, int]:
    """Return what jobs have in common that are made of the same sounds."""
    return job.bpm, job.piece.length


def _title(job: Job) -> str:
    """Return what a player shows: `Eb major, right alone, 72`."""
    kind = job.about.get("kind")
    words = (job.key.name, *((str(kind),) if kind else ()), job.mix.value.replace("-", " "), str(job.bpm))
    return ", ".join(words)


def _file(encoder: Encoder, job: Job) -> PackFile:
    return PackFile(job.path, encoder.encode(job.piece), job.row)


def _stems(drill: Drill, in_key: DrillInKey, made: Arrangement) -> Iterator[PackFile]:
    """Yield the stems of a key, always of type 1 for its names, and after those of a tempo their zip."""
    from itertools import groupby

    from tracks.export.zipped import to_zip

    encoder = Encoder(midi_type=1)
    for bpm, same_tempo in groupby(stem_jobs(drill, in_key.key, made), key=lambda job: job.bpm):
        files = [_file(encoder, job) for job in same_tempo]
        yield from files
        place = path(Kind.STEM, in_key.key, ALL_STEMS, (bpm,), drill.short_names, "zip")
        about = {"key": in_key.key.name, "mix": Mix.HANDS_TOGETHER.value, "bpm": bpm, "kind": "zip of stems"}
        yield PackFile(place, to_zip([(file.path, file.content) for file in files]), about)


def arrangement(drill: Drill, style: Style, in_key: DrillInKey) -> Arrangement:
    """Return a in_key's arrangement, or for a style that follows the tempo the maker of one for a tempo."""
    if style.info.follows_tempo:
        return lambda bpm: formed(arrange(drill, style, in_key.changes, in_key.chords, bpm), drill)
    return formed(arrange(drill, style, in_key.changes, in_key.chords), drill)
