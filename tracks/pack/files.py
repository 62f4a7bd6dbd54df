"""The files of a pack: what a drill and a style become, one file after the other."""

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from tracks.drill.drill import Drill, Mix
from tracks.export.midi import Encoder
from tracks.extras import need_for
from tracks.model import NO_HEADING, Heading
from tracks.pack.folder import NO_RUNG, PackFile
from tracks.practice.naming import ALL_STEMS, Kind, legend, path
from tracks.practice.plan import Job, key_cycle_jobs, stem_jobs
from tracks.practice.played import Played, played_in_each_key
from tracks.style import Style


def pack_files(
    drill: Drill, style: Style, soundfont: Path | None = None, heading: Heading = NO_HEADING
) -> Iterator[PackFile]:
    """Yield every file of a drill's pack: the MIDI files, then what else is asked for: audio, sheets, a page.

    `soundfont` is the file that these play on; None plays audio on the default one, and lets the page make a
    piano of its own. `heading` is the lesson's, for sheets and page. A style plays every key once for all.
    Raises RequestError, before the first file, where the progression cannot be read or voiced in a key.
    """
    need_for(sheet=drill.sheet, audio=drill.is_heard or bool(soundfont), page=drill.page)
    files = _files(drill, style, soundfont, heading)
    yield from _and_legend(drill, files) if drill.short_names else files


def _and_legend(drill: Drill, files: Iterable[PackFile]) -> Iterator[PackFile]:
    """Pass the files on, and after them what their short names mean."""
    told = []
    for file in files:
        told.append((file.path, file.about))
        yield file
    place, text = legend(drill, told)
    yield PackFile(place, text.encode("ascii"), {**NO_RUNG, "kind": "legend"})


def _files(drill: Drill, style: Style, soundfont: Path | None, heading: Heading) -> Iterator[PackFile]:
    played: Iterable[Played] = played_in_each_key(drill, style)
    if not (drill.is_heard or drill.sheet or drill.page or drill.key_cycle):
        yield from midi_files(drill, played)  # no key is asked for twice, so one is held in memory
        return
    every = tuple(played)
    if not drill.audio_only:
        yield from midi_files(drill, every)
    if drill.is_heard:
        yield from _sounds(drill, every, soundfont)
    if drill.sheet:
        from tracks.pack.sheets import sheet_files

        yield from sheet_files(drill, every, heading)
    if drill.page:
        from tracks.pack.page import page_file

        yield page_file(drill, every, soundfont, heading)


def _sounds(drill: Drill, every: Sequence[Played], soundfont: Path | None) -> Iterator[PackFile]:
    from tracks.pack.sounds import audio_files, audio_stem_files

    if drill.audio:
        yield from audio_files(drill, every, drill.audio, soundfont)
    if drill.audio_stems:
        yield from audio_stem_files(drill, every, drill.audio_stems, soundfont)


def midi_files(drill: Drill, every: Iterable[Played]) -> Iterator[PackFile]:
    """Yield every MIDI file of a drill, key by key and from slow to fast, and the zips of its stems."""
    encoder = Encoder(drill.midi_type, drill.gm_reset)
    in_a_cycle = []
    for played in every:
        for job in played.jobs():
            yield _file(encoder, job)
        if drill.stems:
            yield from _stems(drill, played)
        if drill.key_cycle:
            in_a_cycle.append((played.key, played.arrangement))
    if in_a_cycle:
        yield from (_file(encoder, job) for job in key_cycle_jobs(drill, in_a_cycle))


def _file(encoder: Encoder, job: Job) -> PackFile:
    return PackFile(job.path, encoder.encode(job.piece), job.row)


def _stems(drill: Drill, played: Played) -> Iterator[PackFile]:
    """Yield the stems of a key, always of type 1 for its names, and after those their zip."""
    from tracks.export.zipped import to_zip

    encoder = Encoder(1, drill.gm_reset)
    files = [_file(encoder, job) for job in stem_jobs(drill, played.key, played.arrangement)]
    yield from files
    place = path(drill, Kind.STEM, played.key, ALL_STEMS, (max(drill.tempos),), "zip")
    yield PackFile(
        place,
        to_zip([(file.path, file.content) for file in files]),
        {
            "key": played.key.name,
            "mix": Mix.HANDS_TOGETHER.value,
            "bpm": max(drill.tempos),
            "kind": "zip of stems",
        },
    )
