"""Reading a take: anything that a digital piano or a sequencer records, as notes in seconds.

Conventions
- MIDI types 0, 1 and 2; one channel or several; every division, SMPTE's too. The tracks of type 2 are takes
  of their own and follow one another.
- Missing tempo is 120 quarter notes a minute, as the standard has it; it only scales time, since the tempo
  that is judged is the one that was played.
- The percussion channel has the click, not the student: the strokes of a metronome's keys where there are
  such, else all of one or two keys. More than two are a drummer's, and no click.
- A track that calls itself bass, drums or click is the accompaniment and is passed over, which is said.
- A note that two channels strike at once (a layered sound) is one note. A note never released ends with the
  file. Pedals, active sensing and other controllers are passed over.
- A file may hold 1 MiB and 20,000 notes: an hour's playing holds half of that.

mido reads; where it refuses a file, or would lose what follows a real-time byte, `tracks.takes.events` does.
"""

from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise
from pathlib import Path

from tracks.plain_file import read_plain
from tracks.practice.mixes import HIGH_WOOD_BLOCK, LOW_WOOD_BLOCK
from tracks.takes.events import NOTE_OFF, NOTE_ON, Message, RawFile, RawTrack, raw_file
from tracks.takes.take import PlayedNote, Take
from tracks.theory.errors import RequestError

MOST_BYTES = 1 << 20
MOST_NOTES = 20_000
_MOST_FOR_MIDO = 1 << 18
"""mido keeps an object for every event, some 500 bytes each; longer files are read by the lean reader."""

_PERCUSSION = 9
_METRONOMES = ((HIGH_WOOD_BLOCK, LOW_WOOD_BLOCK), (33, 34))
"""The keys of our own click, and of General MIDI 2's metronome (from memory)."""
_USUAL_TEMPO = 500_000
_USUAL_DIVISION = 480
_DOUBLED_WITHIN_S = 0.005
_BETWEEN_SEQUENCES_S = 4.0
_ACCOMPANIMENT = ("bass", "drums", "click", "metronome")
_HARMLESS = {"active_sensing", "clock", "undefined_f9", "undefined_fd", "reset", "start", "stop", "continue"}


def read_take(path: Path) -> Take:
    """Return the take in a file.

    Raises RequestError, naming the file, where it cannot be read, is no MIDI file, holds no notes, or more
    than anybody plays.
    """
    content = read_plain(path, "give the path of a .mid file", MOST_BYTES)
    try:
        return take_of(content, path.name)
    except RequestError as fault:
        raise fault.at(str(path)) from fault


def take_of(data: bytes, name: str = "take.mid") -> Take:
    """Return the take in a file's bytes; raise RequestError as `read_take` does."""
    raw = _by_mido(data) or raw_file(data)
    notes, clicks = _struck(raw)
    if not notes:
        raise RequestError("the take holds no notes", "record it again on a piano channel")
    grid = _grid(raw, raw.tracks)
    return Take(name, tuple(notes), tuple(clicks), tuple(grid), tuple(raw.remarks))


def _by_mido(data: bytes) -> RawFile | None:
    """Return the file as mido reads it, None where it does not, or would read less than there is."""
    from io import BytesIO

    if len(data) > _MOST_FOR_MIDO or len(data) < 14:
        return None
    try:
        import mido

        file = mido.MidiFile(file=BytesIO(data), charset="latin-1", clip=True)
        tracks = [_from_mido(track) for track in file.tracks]
    except Exception:  # of many kinds on damaged files; or mido is not there
        return None
    if any(track is None for track in tracks):
        return None
    found = [track for track in tracks if track]
    return RawFile(file.type, int.from_bytes(data[12:14]), found)


def _from_mido(messages: Iterable[object]) -> RawTrack | None:
    """Return a track of mido's; None where a real-time message has broken its running status."""
    track, tick = RawTrack(), 0
    for message in messages:
        told = vars(message)
        tick += told["time"]
        kind = told["type"]
        if kind in ("note_on", "note_off"):
            status = (NOTE_ON if kind == "note_on" else NOTE_OFF) | told["channel"]
            track.messages.append((tick, status, told["note"], told["velocity"]))
        elif kind == "set_tempo":
            track.tempos.append((tick, told["tempo"]))
        elif kind == "track_name" and not track.name:
            track.name = told["name"][:80]
        elif kind in _HARMLESS:
            return None
    return track


def _struck(raw: RawFile) -> tuple[list[PlayedNote], list[float]]:
    """Return the notes and the click's strokes, in order of time."""
    notes: list[PlayedNote] = []
    percussion: list[tuple[float, int]] = []
    shift = latest = 0.0
    shared = _grid(raw, raw.tracks)
    for track in raw.tracks:
        if _is_accompaniment(track) and any(each[1] & 0x0F != _PERCUSSION for each in track.messages):
            raw.remarks.append(f"passed over the track {track.name!r}")
        grid = _grid(raw, [track]) if raw.midi_type == 2 else shared
        for note, is_click in _notes(track.messages, grid, _per_quarter(raw.division)):
            at, latest = note.onset_s + shift, max(latest, note.end_s + shift)
            if is_click:
                percussion.append((at, note.midi))
            elif not _is_accompaniment(track):
                notes.append(PlayedNote(at, note.end_s + shift, note.midi, note.velocity))
        if len(notes) + len(percussion) > MOST_NOTES:
            raise RequestError(f"the take holds over {MOST_NOTES:,} notes", "cut it into shorter ones")
        if raw.midi_type == 2 and notes:
            shift = latest + _BETWEEN_SEQUENCES_S
    notes.sort(key=lambda note: (note.onset_s, note.midi))
    return _each_once(notes), _clicks(percussion)


def _clicks(percussion: list[tuple[float, int]]) -> list[float]:
    """Return the moments of the click among strokes on percussion keys, in order."""
    keys = {key for _, key in percussion}
    metronomes = (keys & set(each) for each in _METRONOMES)
    ticking = next(filter(None, metronomes), keys if len(keys) <= 2 else set[int]())
    return sorted(at for at, key in percussion if key in ticking)


def _is_accompaniment(track: RawTrack) -> bool:
    return track.name.strip().lower() in _ACCOMPANIMENT


def _notes(
    messages: Iterable[Message], grid: list[tuple[float, float]], division: float
) -> Iterator[tuple[PlayedNote, bool]]:
    """Yield a track's notes, and whether each is a stroke of percussion."""
    sounding: dict[tuple[int, int], tuple[float, int]] = {}
    clock = _clock(grid, division)
    at = 0.0
    for tick, status, midi, velocity in messages:
        at = clock(tick)
        where = (status & 0x0F, midi)
        begun = sounding.pop(where, None)
        if begun:
            yield PlayedNote(begun[0], at, midi, begun[1]), where[0] == _PERCUSSION
        if status & 0xF0 == NOTE_ON and velocity:
            sounding[where] = (at, velocity)
    for (channel, midi), (begun_s, velocity) in sounding.items():
        yield PlayedNote(begun_s, max(at, begun_s), midi, velocity), channel == _PERCUSSION


def _each_once(notes: list[PlayedNote]) -> list[PlayedNote]:
    """Return the notes without those that another channel struck at the same moment."""
    last: dict[int, float] = {}
    kept = []
    for note in notes:
        if note.onset_s - last.get(note.midi, -1.0) > _DOUBLED_WITHIN_S:
            kept.append(note)
        last[note.midi] = note.onset_s
    return kept


def _per_quarter(division: int) -> float:
    """Return the ticks of a quarter note; of SMPTE time, those of half a second, where no tempo counts."""
    if division & 0x8000:
        frames = 256 - (division >> 8)
        rate = 30_000 / 1001 if frames == 29 else float(frames)
        return rate * ((division & 0xFF) or 1) / 2
    return float(division or _USUAL_DIVISION)


def _grid(raw: RawFile, tracks: Iterable[RawTrack]) -> list[tuple[float, float]]:
    """Return the moments at which the file's tempo changes, in quarter notes and seconds, and one beyond."""
    division = _per_quarter(raw.division)
    tempos = {0: _USUAL_TEMPO}
    if not raw.division & 0x8000:
        tempos |= {tick: tempo for track in tracks for tick, tempo in track.tempos if tempo}
    grid = [(0.0, 0.0)]
    for (tick, tempo), (later, _) in pairwise(
        [*sorted(tempos.items()), (max(tempos) + int(division) + 1, 0)]
    ):
        quarters = (later - tick) / division
        grid.append((grid[-1][0] + quarters, grid[-1][1] + quarters * tempo / 1_000_000))
    return grid


def _clock(grid: list[tuple[float, float]], division: float) -> Callable[[int], float]:
    """Return what tells the seconds of ticks that come in order; the last stretch goes on for ever."""
    place = 1

    def seconds(tick: int) -> float:
        nonlocal place
        quarters = tick / division
        while place < len(grid) - 1 and grid[place][0] <= quarters:
            place += 1
        (before, start_s), (after, end_s) = grid[place - 1], grid[place]
        return start_s + (quarters - before) * (end_s - start_s) / (after - before)

    return seconds
