"""A recording from a keyboard as a MIDI file, so that it can be heard and marked again.

Conventions
- The first track is the keyboard's: all messages that a file may hold, pedals too, as they were sent. The
  second is the click, on the percussion channel. The file's own time is the click's.
- A recording is given the first name that is free, `take-1.mid` and so on: none is written over.
"""

from collections.abc import Iterable
from io import BytesIO
from itertools import count
from pathlib import Path

from tracks.practice.mixes import HIGH_WOOD_BLOCK
from tracks.takes.live import PERCUSSION, Recording
from tracks.theory.meter import QUARTER, Meter

_TICKS = 960
_STROKE_S = 0.05


def free_place(folder: Path, name: str) -> Path:
    """Return the first file of a folder, `name-1.mid` and so on, that is not there."""
    return next(place for number in count(1) if not (place := folder / f"{name}-{number}.mid").exists())


def midi_of(recording: Recording, meter: Meter, bpm: int) -> bytes:
    """Return a recording as a MIDI file of type 1; `bpm` is in felt beats a minute."""
    import mido

    per_second = _TICKS * bpm / 60 * meter.beat / QUARTER
    tempo = round(1e6 * _TICKS / per_second)
    header = [
        mido.MetaMessage("set_tempo", tempo=tempo),
        mido.MetaMessage("time_signature", numerator=meter.numerator, denominator=meter.denominator),
    ]
    file = mido.MidiFile(type=1, ticks_per_beat=_TICKS)
    file.tracks.append(_track(recording.messages, per_second, header))
    strokes = []
    for stroke in recording.take.clicks:
        strokes.append((stroke, bytes((0x90 | PERCUSSION, HIGH_WOOD_BLOCK, 80))))
        strokes.append((stroke + _STROKE_S, bytes((0x80 | PERCUSSION, HIGH_WOOD_BLOCK, 0))))
    file.tracks.append(_track(strokes, per_second, []))
    content = BytesIO()
    file.save(file=content)
    return content.getvalue()


def _track(messages: Iterable[tuple[float, bytes]], per_second: float, header: list[object]) -> object:
    """Return a track of messages in order of time, without those that no file may hold."""
    import mido

    track, now = mido.MidiTrack(header), 0
    for when, content in messages:
        if not content or not 0x80 <= content[0] < 0xF0:
            continue
        at = max(round(when * per_second), now)
        try:
            track.append(mido.Message.from_bytes(content, time=at - now))
        except ValueError:
            continue  # cut short on its way
        now = at
    return track
