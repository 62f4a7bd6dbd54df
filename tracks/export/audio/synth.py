"""The synthesizer: one part of a piece played on a SoundFont, from the strokes of its MIDI track.

Conventions
- A part is played at full channel volume and in the middle; level and place are the mix's business. That
  also keeps the engine's 16-bit steps as far below the music as they can be.
- The engine plays a file whole, in memory that grows with it. So it is given the notes that begin within
  half a minute, lets them die away, and the stretches are laid over each other.
- It works in groups of 64 frames. The files made for it count time in half-groups and put every stroke in
  the middle of one, so that a stroke falls on the nearest group and no rounding moves it.
- A stem is brought forward by its instrument's onset latency (see `onset_latency`).
- An instrument that a SoundFont lacks, like the drums of a piano's, is taken from the default one.

The engine needs no system library and no sound card; it obeys velocity, program and pedal.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from threading import Lock

from tracks.export.audio import RATE, TAIL_S, Sound
from tracks.export.audio.onset_latency import PERCUSSION_ROLES, onset_latency, trial
from tracks.export.audio.players import BrokenError, Players
from tracks.export.audio.soundfont import SoundFont, soundfont
from tracks.export.audio.tape import Tape
from tracks.export.audio.timing import fitted, frames, seconds_of
from tracks.export.midi import CHANNELS, Event, file, strokes, track
from tracks.model import Part, Piece
from tracks.theory.errors import RequestError

_GROUP = 64
_DIVISION, _TEMPO = 480, (480 * _GROUP // 2 * 1_000_000 // RATE).to_bytes(3)
_STRETCH = 30 * RATE // _GROUP
_DYING_AWAY = round(TAIL_S * RATE) // _GROUP
_EASE_FRAMES = 48
_FULL_VOLUME, _DRUM_BANK = 127, 128
_NOTE_ON, _CONTROL, _PROGRAM, _VOLUME, _SUSTAIN = 0x90, 0xB0, 0xC0, 7, 64
_WAV_RATE_AT, _WAV_SOUND_AT = 24, 44


@dataclass(frozen=True, slots=True)
class _Stroke:
    """A note, or where `key` is None the pedal, in groups of frames."""

    start: int
    end: int
    key: int | None
    velocity: int = 127


class Synth:
    """Plays parts on one SoundFont; several threads may ask at once."""

    def __init__(self, font: SoundFont) -> None:
        self._font = font
        self._players = Players()
        self._instruments: dict[tuple[bool, int], tuple[bytes, int]] = {}
        self._lock = Lock()

    def play(self, piece: Piece, part: Part) -> Tape:
        """Return the stem of a pitched or drum part at the piece's tempo.

        Raises RequestError for a font that does not play.
        """
        font, late = self._instrument(part)
        tape, skipped, length = Tape(), late, frames(piece)
        for sound in self._stretches(piece, part, font):
            on_time = sound[skipped:]
            skipped -= len(sound) - len(on_time)
            if not tape.length and len(on_time):
                on_time = _eased_in(on_time)
            tape.write(on_time[: length - tape.length])
        tape.write(fitted(_nothing(), length - tape.length))
        return tape

    def close(self) -> None:
        """End the engines; another part starts new ones."""
        self._players.close()

    def _instrument(self, part: Part) -> tuple[bytes, int]:
        """Return a part's instrument as a SoundFont, and its onset latency in frames."""
        is_percussion = part.role in PERCUSSION_ROLES
        with self._lock:
            if (is_percussion, part.program) not in self._instruments:
                bank = _DRUM_BANK if is_percussion else 0
                font = self._font if self._font.has(bank, part.program) else self._default(bank, part.program)
                content = font.instrument(bank, part.program)
                tried = trial(part)
                (sound, *_) = self._stretches(tried, tried.parts[0], content)
                self._instruments[is_percussion, part.program] = content, onset_latency(tried, sound)
            return self._instruments[is_percussion, part.program]

    def _default(self, bank: int, program: int) -> SoundFont:
        default = soundfont()
        return default if default.has(bank, program) else self._font

    def _stretches(self, piece: Piece, part: Part, font: bytes) -> Iterator[Sound]:
        """Yield the part's sound, half a minute at a time."""
        waiting, over = _strokes(piece, part), _nothing()
        last = max((stroke.end for stroke in waiting), default=0)
        for start in range(0, last + 1, _STRETCH):
            stop = start + _STRETCH
            begun = [stroke for stroke in waiting if stroke.key is not None and start <= stroke.start < stop]
            pedals = [stroke for stroke in waiting if stroke.key is None and stroke.end > start]
            sound = self._played(begun, pedals, start, part, font) if begun else _nothing()
            sound = _laid_over(over, sound)
            cut = (stop - start) * _GROUP if stop <= last else len(sound)
            yield fitted(sound[:cut], cut)
            over = sound[cut:]

    def _played(
        self, notes: list[_Stroke], pedals: list[_Stroke], start: int, part: Part, font: bytes
    ) -> Sound:
        """Return the sound of notes that begin in a stretch, until they have died away."""
        from numpy import float32, frombuffer

        try:
            wave = self._players.play(font, _midi(notes, pedals, start, part))
        except BrokenError:
            raise RequestError(
                f"SoundFont {self._font.path}: it does not play", "give another .sf2 or .sf3 file"
            ) from None
        rate = int.from_bytes(wave[_WAV_RATE_AT : _WAV_RATE_AT + 4], "little")
        if rate != RATE:
            raise RuntimeError(f"the synthesizer played at {rate} frames a second, not {RATE}")
        frames = frombuffer(wave, "<i2", offset=_WAV_SOUND_AT).reshape(-1, 2)
        return frames.astype(float32) / float32(2**15)


def _strokes(piece: Piece, part: Part) -> list[_Stroke]:
    """Return the part's notes and pedals by the clock, in groups of frames."""
    notes = strokes(part, piece.length)
    times = [time for note in notes for time in (note.start, note.end)]
    times += [time for pedal in part.pedals for time in (pedal.start, pedal.end)]
    groups = [round(float(seconds) * RATE / _GROUP) for seconds in seconds_of(piece, times)]
    spans = list(zip(groups[::2], groups[1::2], strict=True))
    played = [
        _Stroke(start, max(end, start + 1), note.key, note.velocity)
        for note, (start, end) in zip(notes, spans, strict=False)
    ]
    return played + [_Stroke(start, end, None) for start, end in spans[len(notes) :]]


def _midi(notes: list[_Stroke], pedals: list[_Stroke], start: int, part: Part) -> bytes:
    """Return the MIDI file of a stretch that begins at a group of frames."""
    channel = CHANNELS[part.role]
    last = max(note.end for note in notes)
    setup = [
        (0, b"\xff\x51\x03" + _TEMPO),
        (0, bytes((_PROGRAM | channel, part.program))),
        (0, bytes((_CONTROL | channel, _VOLUME, _FULL_VOLUME))),
    ]
    ends = [(_half(note.end - start), bytes((_NOTE_ON | channel, note.key or 0, 0))) for note in notes]
    starts = [
        (_half(note.start - start), bytes((_NOTE_ON | channel, note.key or 0, note.velocity)))
        for note in notes
    ]
    moved: list[Event] = []
    for pedal in pedals:
        moved.append((_half(max(pedal.start - start, 0)), bytes((_CONTROL | channel, _SUSTAIN, 127))))
        moved.append((_half(pedal.end - start), bytes((_CONTROL | channel, _SUSTAIN, 0))))
        last = max(last, pedal.end) if pedal.start < last else last
    end = _half(last - start + _DYING_AWAY)
    events = sorted((*setup, *ends, *moved, *starts), key=lambda event: event[0])
    return file(0, _DIVISION, [track([event for event in events if event[0] <= end], end)])


def _half(group: int) -> int:
    """Return the half of a group, the middle of the one before, from which on the engine plays a group."""
    return max(2 * group - 1, 0)


def _laid_over(one: Sound, other: Sound) -> Sound:
    longer, shorter = (one, other) if len(one) > len(other) else (other, one)
    both = longer.copy()
    both[: len(shorter)] += shorter
    return both


def _nothing() -> Sound:
    from numpy import float32, zeros

    return zeros((0, 2), float32)


def _eased_in(sound: Sound) -> Sound:
    """Return the sound with its first frames faded in: a note at 0 has been cut while it began to speak."""
    from numpy import float32, linspace

    ease = min(_EASE_FRAMES, len(sound))
    eased = sound.copy()
    eased[:ease] *= linspace(0, 1, ease, dtype=float32)[:, None]
    return eased
