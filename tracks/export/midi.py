"""The writer of Standard MIDI Files, and the one place that knows ticks and channels.

Conventions
- 480 ticks make a quarter note, 21 grid ticks a tick. Absolute times are rounded once, then differences
  taken: rounded differences would drift. Channels count from 0 on the wire; percussion's printed 10 is 9.
- An *event* is a tick and its message, without the delta time. Events are sorted by tick alone, and lists
  are handed over in the order that holds within one tick: first track, set-up, note ends, note starts.
- A note ends by a note-on of velocity 0, so that one running status carries a whole track.
- The sustain pedal is controller 64, 127 down and 0 up. At one tick notes end and the pedal moves before
  notes start, so that a pedal let up with a chord lets go of the chord before.
- A pitch struck again while it sounds ends first; two strokes of one pitch at one tick are one note, the
  longer and louder of the two. A note lasts a tick at least and never past the end of the piece.
- Markers at one tick are one marker, and every pitched track repeats the key signatures: a notation program
  that opens the file guesses the key of a track that has none.
- Text is ASCII, musical signs as b and #; any other character is written as UTF-8, which the common
  readers take without harm.
- The same piece always gives the same bytes.

The bytes are made here rather than by mido: a pack is hundreds of small files that differ by three bytes of
tempo, so what they share is made once. mido and three more readers are held against the result in the tests.

Source: "Standard MIDI Files 1.0", RP-001, MIDI Manufacturers Association (revised February 1996).
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import chain
from operator import attrgetter, itemgetter
from typing import NamedTuple, TypeAlias

from tracks.model import Part, Piece, Role
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter, Time
from tracks.theory.pitch import ascii_accidentals
from tracks.theory.tempo import micros_per_quarter

TICKS_PER_QUARTER = 480
PERCUSSION = 9

CHANNELS = {
    Role.RIGHT: 0,
    Role.LEFT: 1,
    Role.BASS: 2,
    Role.MELODY: 3,
    Role.DRUMS: PERCUSSION,
    Role.CLICK: PERCUSSION,
}

Event: TypeAlias = tuple[int, bytes]
"""A tick, counted from the start of the track, and a whole message with its status byte."""

_GRID_PER_FILE_TICK = QUARTER // TICKS_PER_QUARTER
_CLOCKS_PER_QUARTER = 24
_THIRTY_SECONDS_PER_QUARTER = 8
_HIT_TICKS = TICKS_PER_QUARTER // 8
_LARGEST_QUANTITY = 0x0FFF_FFFF
_MOST_REMEMBERED = 128

_WRITTEN_BESIDE_TEMPO = attrgetter("title", "meter", "keys", "length", "parts", "markers", "tempos")

_NAME, _MARKER, _END, _TEMPO, _METER, _KEY = 0x03, 0x06, 0x2F, 0x51, 0x58, 0x59
_NOTE_ON, _CONTROL, _PROGRAM, _SYSTEM = 0x90, 0xB0, 0xC0, 0xF0
_BANK, _VOLUME, _PAN, _BANK_FINE, _SUSTAIN = 0, 7, 10, 32, 64
_GM_SYSTEM_ON = bytes.fromhex("F0 05 7E 7F 09 01 F7")
"""General MIDI System On, to every device, as a file holds it (General MIDI System Level 1, from memory)."""
_DOWN, _UP = 127, 0
_TEMPO_BYTES = 3
_TEMPO_AT = 14 + 8 + 1 + 3
"""Where the tempo stands in a file: after the header, the first track's header, a delta time and FF 51 03."""


def to_bytes(piece: Piece, midi_type: int = 1, gm_reset: bool = False) -> bytes:
    """Return one piece as a MIDI file of type 0 or 1; for many, keep an `Encoder`."""
    return Encoder(midi_type, gm_reset).encode(piece)


class Encoder:
    """Writes pieces as files of one type; what files share is made once.

    A part's events are remembered by the identity of its notes, and the file around the tempo for as long
    as only the tempo changes: a rung of a ladder costs three bytes. With `gm_reset` a file begins by setting
    the instrument to General MIDI, and every program is chosen with its bank.
    """

    def __init__(self, midi_type: int = 1, gm_reset: bool = False) -> None:
        if midi_type not in (0, 1):
            raise ValueError(f"MIDI type {midi_type} is not 0 or 1")
        self._type, self._resets = midi_type, gm_reset
        # The part is kept beside what was made of it: an identity means nothing once its owner is gone.
        self._strokes: dict[tuple[int, int, int, int, int], tuple[Part, list[Event], list[Event]]] = {}
        self._framed: tuple[object, ...] = ()
        self._frame = (b"", b"")

    def encode(self, piece: Piece) -> bytes:
        """Return the file; raise ValueError for a piece that no tempo has been chosen for."""
        if piece.bpm is None:
            raise ValueError(f"{piece.title!r} has no tempo yet")
        said = _WRITTEN_BESIDE_TEMPO(piece)
        if said != self._framed:
            self._frame, self._framed = self._around_tempo(piece), said
        before, after = self._frame
        return before + _tempo(piece.bpm, piece.meter) + after

    def _around_tempo(self, piece: Piece) -> tuple[bytes, bytes]:
        """Return the file's bytes before and after the three of the tempo."""
        end = _ticks(piece.length)
        keys = [(_ticks(change.start), key_signature(change.key)) for change in piece.keys]
        head = _head(piece, keys, self._resets)
        parts = [(part, *self._strokes_of(part, end)) for part in piece.parts]
        if self._type == 0:
            setups = (_setup(part, self._resets) for part, _, _ in parts)
            every_end, every_start = (ends for _, ends, _ in parts), (starts for _, _, starts in parts)
            chunks = [track(_in_order(head, *setups, *every_end, *every_start), end)]
        else:
            chunks = [track(_in_order(head), end)]
            for part, ends, starts in parts:
                name = [(0, meta(_NAME, _text(part.role.value.capitalize())))]
                signed = keys if CHANNELS[part.role] != PERCUSSION else []
                chunks.append(track(_in_order(name, signed, _setup(part, self._resets), ends, starts), end))
        whole = file(self._type, TICKS_PER_QUARTER, chunks)
        return whole[:_TEMPO_AT], whole[_TEMPO_AT + _TEMPO_BYTES :]

    def _strokes_of(self, part: Part, end: int) -> tuple[list[Event], list[Event]]:
        channel = CHANNELS[part.role]
        key = (id(part.notes), id(part.hits), id(part.pedals), channel, end)
        if key not in self._strokes:
            if len(self._strokes) >= _MOST_REMEMBERED:
                self._strokes.clear()
            self._strokes[key] = (part, *_strokes(part, channel, end))
        return self._strokes[key][1:]


class Stroke(NamedTuple):
    """A note or a drum stroke as a file has it, in the piece's time."""

    start: Time
    end: Time
    key: int
    velocity: int


def strokes(part: Part, length: Time) -> list[Stroke]:
    """Return the strokes of a part in a piece of a length, as its file has them: for whoever plays them."""
    grid = _GRID_PER_FILE_TICK
    return [
        Stroke(start * grid, end * grid, *stroke) for start, end, *stroke in _sounding(part, _ticks(length))
    ]


# The format: quantities, meta events, tracks, files.


@lru_cache(maxsize=4096)
def variable_length(number: int) -> bytes:
    """Return a variable-length quantity: seven bits a byte, highest first, all but the last with the top bit.

    Raises ValueError outside 0 to 0FFFFFFF hex.
    """
    if not 0 <= number <= _LARGEST_QUANTITY:
        raise ValueError(f"{number} does not fit a variable-length quantity, 0 to {_LARGEST_QUANTITY}")
    groups = [number & 0x7F]
    while number := number >> 7:
        groups.append(number & 0x7F | 0x80)
    return bytes(reversed(groups))


def meta(kind: int, content: bytes) -> bytes:
    """Return a meta event of a kind, 0 to 127."""
    return bytes((0xFF, kind)) + variable_length(len(content)) + content


def track(events: Iterable[Event], end: int) -> bytes:
    """Return the track chunk of events in order of time, with running status, closed at tick `end`."""
    written = bytearray()
    now = status = 0
    for tick, message in events:
        written += variable_length(tick - now)
        # System and meta events cancel running status; channel messages carry it on.
        written += message[1:] if message[0] == status else message
        now, status = tick, message[0] if message[0] < _SYSTEM else 0
    written += variable_length(max(end - now, 0)) + meta(_END, b"")
    return b"MTrk" + len(written).to_bytes(4) + written


def file(midi_type: int, division: int, tracks: Sequence[bytes]) -> bytes:
    """Return the file of track chunks; `division` is ticks a quarter note."""
    header = b"".join(word.to_bytes(2) for word in (midi_type, len(tracks), division))
    return b"MThd" + len(header).to_bytes(4) + header + b"".join(tracks)


# What a piece says in it.


def time_signature(meter: Meter) -> bytes:
    """Return the time signature event, whose metronome clicks on felt beats."""
    clocks = meter.beat * _CLOCKS_PER_QUARTER // QUARTER
    power = meter.denominator.bit_length() - 1
    return meta(_METER, bytes((meter.numerator, power, clocks, _THIRTY_SECONDS_PER_QUARTER)))


def key_signature(key: Key) -> bytes:
    """Return the key signature event: sharps, flats as negative, and 1 for minor."""
    return meta(_KEY, key.signature.to_bytes(1, signed=True) + bytes((key.is_minor,)))


def _tempo(bpm: float, meter: Meter) -> bytes:
    return micros_per_quarter(bpm, meter).to_bytes(_TEMPO_BYTES)


def _head(piece: Piece, keys: Sequence[Event], resets: bool) -> list[Event]:
    """Return the first track's events; the first tempo leads, left open, so that its place is known."""
    return [
        (0, meta(_TEMPO, bytes(_TEMPO_BYTES))),
        (0, meta(_NAME, _text(_sequence_name(piece)))),
        *([(0, _GM_SYSTEM_ON)] if resets else []),
        (0, time_signature(piece.meter)),
        *((_ticks(change.start), meta(_TEMPO, _tempo(change.bpm, piece.meter))) for change in piece.tempos),
        *keys,
        *((tick, meta(_MARKER, _text(text))) for tick, text in _markers(piece)),
    ]


def _sequence_name(piece: Piece) -> str:
    """Return the drill's name with the key that the piece begins in: `lantern, Eb major`."""
    return f"{piece.title}, {piece.keys[0].key.name}" if piece.keys else piece.title


def _markers(piece: Piece) -> Iterable[tuple[int, str]]:
    """Return a marker for every tick that has any, all that is said there in its text: `Bar 1, Eb | I`."""
    said: dict[int, list[str]] = {}
    for marker in piece.markers:
        said.setdefault(_ticks(marker.start), []).append(marker.text)
    return ((tick, ", ".join(dict.fromkeys(texts))) for tick, texts in said.items())


def _setup(part: Part, with_bank: bool) -> list[Event]:
    channel = CHANNELS[part.role]
    # Percussion has its bank by its channel; naming one turns it into a melody on some instruments.
    banks = ((_BANK, 0), (_BANK_FINE, 0)) if with_bank and channel != PERCUSSION else ()
    before, after = (
        [(0, bytes((_CONTROL | channel, *control))) for control in controls]
        for controls in (banks, ((_VOLUME, part.volume), (_PAN, part.pan)))
    )
    return [*before, (0, bytes((_PROGRAM | channel, part.program))), *after]


def _strokes(part: Part, channel: int, end: int) -> tuple[list[Event], list[Event]]:
    """Return the part's note ends, with its pedal, and its note starts, none past the piece's last tick."""
    status, ends, starts = _NOTE_ON | channel, [], []
    for start, stop, key, velocity in _sounding(part, end):
        ends.append((stop, bytes((status, key, 0))))
        starts.append((start, bytes((status, key, velocity))))
    for pedal in part.pedals:
        for at, value in ((pedal.start, _DOWN), (pedal.end, _UP)):
            ends.append((min(_ticks(at), end), bytes((_CONTROL | channel, _SUSTAIN, value))))
    return ends, starts


def _sounding(part: Part, end: int) -> Iterable[list[int]]:
    """Return [start tick, end tick, key, velocity] of every stroke, no two of one key overlapping."""
    notes = [[_ticks(note.start), _ticks(note.end), note.pitch.midi, note.velocity] for note in part.notes]
    hits = [[_ticks(hit.start), _ticks(hit.start) + _HIT_TICKS, hit.key, hit.velocity] for hit in part.hits]
    sounding: dict[int, list[int]] = {}
    strokes: list[list[int]] = []
    for stroke in sorted(notes + hits):
        start, stop, key, velocity = stroke
        stroke[1] = max(min(stop, end), start + 1)
        before = sounding.get(key)
        if before and before[0] == start:
            before[1], before[3] = max(before[1], stroke[1]), max(before[3], velocity)
            continue
        if before:
            before[1] = min(before[1], start)
        sounding[key] = stroke
        strokes.append(stroke)
    return strokes


def _in_order(*events: Iterable[Event]) -> list[Event]:
    """Return all events by tick; at one tick they keep the order given."""
    return sorted(chain.from_iterable(events), key=itemgetter(0))


def _text(text: str) -> bytes:
    return ascii_accidentals(text).encode("utf-8", "replace")


def _ticks(time: Time) -> int:
    """Return grid ticks as ticks, rounded to the nearest; 21 being odd, none lies half-way."""
    return (time + _GRID_PER_FILE_TICK // 2) // _GRID_PER_FILE_TICK
