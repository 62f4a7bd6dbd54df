"""A lenient reader of Standard MIDI Files: what a damaged or odd file still tells, and what was passed over.

Conventions
- Times are ticks from the start of a track. A *message* is (tick, status, first, second), of notes alone.
- mido reads first (`tracks.takes.read`); this reader takes what it refuses: files cut short, wrong lengths,
  real-time bytes among the events, data bytes without a status, a header wrapped in another format.
- Nothing is trusted: every length is held against the bytes that there are, and work is one pass over them.

Source: "Standard MIDI Files 1.0", RP-001 (MIDI Manufacturers Association, 1996): unknown chunks and meta
events are skipped, meta events and system exclusive end a running status.
"""

from dataclasses import dataclass, field
from typing import TypeAlias

from tracks.theory.errors import RequestError

Message: TypeAlias = tuple[int, int, int, int]

NOTE_OFF, NOTE_ON = 0x80, 0x90
_META, _EXCLUSIVE, _ESCAPE = 0xFF, 0xF0, 0xF7
_TRACK_NAME, _END_OF_TRACK, _SET_TEMPO = 0x03, 0x2F, 0x51
_DATA_BYTES = {0x80: 2, 0x90: 2, 0xA0: 2, 0xB0: 2, 0xC0: 1, 0xD0: 1, 0xE0: 2, 0xF1: 1, 0xF2: 2, 0xF3: 1}
_HEADER_WITHIN = 4096
_MOST_TRACKS = 1024


@dataclass(slots=True)
class RawTrack:
    """The notes of a track, its tempos (tick, microseconds a quarter note) and its name."""

    name: str = ""
    messages: list[Message] = field(default_factory=list)
    tempos: list[tuple[int, int]] = field(default_factory=list)


@dataclass(slots=True)
class RawFile:
    """A file's type, its division as written, its tracks, and what was passed over."""

    midi_type: int
    division: int
    tracks: list[RawTrack]
    remarks: list[str] = field(default_factory=list)


def raw_file(data: bytes) -> RawFile:
    """Return what a file's bytes tell; raise RequestError where they are no MIDI file at all."""
    start = data.find(b"MThd", 0, _HEADER_WITHIN)
    if start < 0 or len(data) < start + 14:
        raise RequestError("this is no MIDI file: it has no header", "record or export it again as .mid")
    length = int.from_bytes(data[start + 4 : start + 8])
    midi_type, _, division = (int.from_bytes(data[at : at + 2]) for at in range(start + 8, start + 14, 2))
    found = RawFile(midi_type, division, [])
    if start:
        found.remarks.append(f"passed over {start} bytes before the header")
    at = start + 8 + (length if 6 <= length <= 64 else 6)
    while (at := data.find(b"MTrk", at)) >= 0 and len(found.tracks) < _MOST_TRACKS:
        track, at = _track(data, at, found.remarks)
        found.tracks.append(track)
    return found


def _track(data: bytes, at: int, remarks: list[str]) -> tuple[RawTrack, int]:
    """Return the track whose chunk begins at a byte, and the byte after it."""
    end = at + 8 + int.from_bytes(data[at + 4 : at + 8])
    if end > len(data) or (end < len(data) and not data[end : end + 4].isalpha()):
        remarks.append(f"a track's length is wrong at byte {at + 4}")
        following = data.find(b"MTrk", at + 8)
        end = len(data) if following < 0 else following
    reader = _TrackReader(data, at + 8, end)
    track = reader.read()
    if reader.passed_over:
        remarks.append(f"passed over {reader.passed_over} bytes in a track, the first at byte {reader.first}")
    return track, end


class _TrackReader:
    """Reads the events of one track from byte `at` up to `end`."""

    def __init__(self, data: bytes, at: int, end: int) -> None:
        self._data, self._at, self._end = data, at, end
        self._tick = 0
        self._status = 0
        self._track = RawTrack()
        self.passed_over = 0
        self.first = 0

    def read(self) -> RawTrack:
        """Return the track, as far as its end or the end of the bytes."""
        while self._at < self._end:
            self._tick += self._quantity()
            if self._at >= self._end:
                break
            status = self._data[self._at]
            if status == _META:
                if self._meta():
                    break
            elif status in (_EXCLUSIVE, _ESCAPE):
                self._at += 1
                self._skip(self._quantity())
                self._status = 0
            else:
                self._message(status)
        return self._track

    def _message(self, status: int) -> None:
        if status >= 0xF8:
            self._pass_over(1)  # real time: it may stand anywhere and changes nothing
            return
        if status >= 0x80:
            self._at += 1
            self._status = status if status < 0xF0 else 0
        elif not self._status:
            self._pass_over(1)
            return
        running = status if status >= 0xF0 else self._status
        kind = running & 0xF0 if running < 0xF0 else running
        first, second = self._data_bytes(_DATA_BYTES.get(kind, 0))
        if kind in (NOTE_ON, NOTE_OFF):
            self._track.messages.append((self._tick, running, first, second))

    def _data_bytes(self, count: int) -> tuple[int, int]:
        found: list[int] = []
        while len(found) < count and self._at < self._end:
            byte = self._data[self._at]
            if byte >= 0xF8 and byte != _META:
                self._pass_over(1)
            elif byte >= 0x80:
                break  # the message was cut short: a new one begins
            else:
                found.append(byte)
                self._at += 1
        first, second, *_ = (*found, 0, 0)
        return first, second

    def _meta(self) -> bool:
        """Read a meta event; return whether it ends the track."""
        kind = self._data[self._at + 1] if self._at + 1 < self._end else _END_OF_TRACK
        self._at += 2
        length = self._quantity()
        content = self._data[self._at : min(self._at + length, self._end)]
        self._skip(length)
        self._status = 0
        if kind == _SET_TEMPO and len(content) == 3:
            self._track.tempos.append((self._tick, int.from_bytes(content)))
        elif kind == _TRACK_NAME and not self._track.name:
            self._track.name = content[:80].decode("latin-1")
        return kind == _END_OF_TRACK

    def _quantity(self) -> int:
        """Return the variable-length quantity that stands here, of four bytes at most."""
        number = 0
        for _ in range(4):
            if self._at >= self._end:
                break
            byte = self._data[self._at]
            self._at += 1
            number = number << 7 | byte & 0x7F
            if byte < 0x80:
                break
        return number

    def _skip(self, length: int) -> None:
        self._at = min(self._at + length, self._end)

    def _pass_over(self, count: int) -> None:
        self.first = self.first or self._at
        self.passed_over += count
        self._at += count
