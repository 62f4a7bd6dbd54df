"""The workshop: a drill and a style become the files of a pack, one after the other."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from tracks.arrange import arrange
from tracks.chart import Chart, charts
from tracks.drill import Drill, Form, Mix
from tracks.export.midi import Encoder
from tracks.model import AudioFormat
from tracks.pack import PackFile
from tracks.practice.forms import formed
from tracks.practice.naming import ALL_STEMS, Kind, beside, path
from tracks.practice.plan import Arrangement, Job, build_up_jobs, jobs, key_cycle_jobs, stem_jobs
from tracks.style import Style


def pack_files(drill: Drill, style: Style, soundfont: Path | None = None) -> Iterator[PackFile]:
    """Yield every file of a drill's pack: the MIDI files, then the audio and the sheets where asked for.

    `soundfont` is the file that the audio is played on, the default one where it is None.
    """
    yield from midi_files(drill, style)
    if drill.audio:
        yield from audio_files(drill, style, drill.audio, soundfont)
    if drill.sheet:
        from tracks.sheets import sheet_files

        yield from sheet_files(drill, style)


def midi_files(drill: Drill, style: Style) -> Iterator[PackFile]:
    """Yield every MIDI file of a drill, key by key and from slow to fast, and the zips of its stems.

    One key is held in memory; all are only for a file that goes through them. Raises Fault, before the first
    file, where the progression cannot be read or played in one of the keys.
    """
    encoder = Encoder(drill.midi_type)
    arranged = []
    for chart in charts(drill):
        made = arrangement(drill, style, chart)
        for job in _practised(drill, style, chart, made):
            yield _file(encoder, job)
        if drill.stems:
            yield from _stems(drill, chart, made)
        if drill.key_cycle:
            arranged.append((chart.key, made))
    if arranged:
        yield from (_file(encoder, job) for job in key_cycle_jobs(drill, arranged))


def audio_files(
    drill: Drill, style: Style, audio: AudioFormat, soundfont: Path | None = None
) -> Iterator[PackFile]:
    """Yield the sound of every MIDI file that is practised with, under the same stem; they are numbered.

    Key by key, and in each from slow to fast, so that what the mixes of a tempo share is played once. Raises
    Fault, before the first file, where the SoundFont cannot be read or a file would be too long.
    """
    from tracks.export.audio.studio import Studio, Take
    from tracks.export.audio.synth import Synth
    from tracks.export.audio.synth import soundfont as font
    from tracks.export.audio.tags import Tags
    from tracks.export.audio.timing import check_length

    studio = Studio(Synth(font(soundfont)), audio)
    arranged = [(chart, arrangement(drill, style, chart)) for chart in charts(drill)]
    planned = [sorted(_practised(drill, style, *made), key=_session) for made in arranged]
    if drill.key_cycle:
        by_key = [(chart.key, made) for chart, made in arranged]
        planned.append(sorted(key_cycle_jobs(drill, by_key), key=_session))
    every = [job for jobs_of_key in planned for job in jobs_of_key]
    for job in every:
        check_length(job.piece)
    takes = (
        Take(job.piece, Tags(_title(job), drill.name, number, job.key, job.bpm))
        for number, job in enumerate(every, start=1)
    )
    for job, content in zip(every, studio.record(takes), strict=True):
        yield PackFile(beside(job.path, audio.value), content, job.row)


def _practised(drill: Drill, style: Style, chart: Chart, made: Arrangement) -> Iterator[Job]:
    """Yield the jobs of a key that a student plays along with."""
    yield from jobs(drill, chart.key, made)
    if drill.build_up:
        once = arrangement(replace(drill, repeats=1, form=Form.PLAIN, turn=None), style, chart)
        starts = [voiced.at.start for voiced in chart.chords if voiced.at.chord]
        yield from build_up_jobs(drill, chart.key, once, starts)


def _session(job: Job) -> tuple[int, int]:
    """Return what jobs have in common that are made of the same sounds."""
    return job.bpm, job.piece.length


def _title(job: Job) -> str:
    """Return what a player shows: `Eb major, right alone, 72`."""
    kind = job.about.get("kind")
    words = (job.key.name, *((str(kind),) if kind else ()), job.mix.value.replace("-", " "), str(job.bpm))
    return ", ".join(words)


def _file(encoder: Encoder, job: Job) -> PackFile:
    return PackFile(job.path, encoder.encode(job.piece), job.row)


def _stems(drill: Drill, chart: Chart, made: Arrangement) -> Iterator[PackFile]:
    """Yield the stems of a key, always of type 1 for its names, and after those of a tempo their zip."""
    from itertools import groupby

    from tracks.export.zipped import to_zip

    encoder = Encoder(midi_type=1)
    for bpm, same_tempo in groupby(stem_jobs(drill, chart.key, made), key=lambda job: job.bpm):
        files = [_file(encoder, job) for job in same_tempo]
        yield from files
        place = path(Kind.STEM, chart.key, ALL_STEMS, (bpm,), drill.short_names, "zip")
        about = {"key": chart.key.name, "mix": Mix.HANDS_TOGETHER.value, "bpm": bpm, "kind": "zip of stems"}
        yield PackFile(place, to_zip([(file.path, file.content) for file in files]), about)


def arrangement(drill: Drill, style: Style, chart: Chart) -> Arrangement:
    """Return a chart's arrangement, or for a style that follows the tempo the maker of one for a tempo."""
    if style.info.follows_tempo:
        return lambda bpm: formed(arrange(drill, style, chart.changes, chart.chords, bpm), drill)
    return formed(arrange(drill, style, chart.changes, chart.chords), drill)
