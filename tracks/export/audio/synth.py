"""The synthesiser: one part of a piece played on a SoundFont, from the very bytes of its MIDI file.

Conventions
- A part is played at full channel volume and in the middle; level and place are the mix's business. That
  also keeps the engine's 16-bit steps as far below the music as they can be.
- The default SoundFont is the small General MIDI one that the pretty_midi package carries for its own
  synthesis. It is read where that package lies; nothing of it is copied into ours.
- A stem is brought forward by its instrument's onset latency (see `onset_latency`).

The engine needs no system library and no sound card; it obeys velocity, program and pedal.
"""

from dataclasses import replace
from pathlib import Path

from tracks.export.audio import RATE, Sound
from tracks.export.audio.onset_latency import PERCUSSION_ROLES, onset_latency, trial
from tracks.export.audio.timing import fitted, frames, with_tail
from tracks.export.midi import to_bytes
from tracks.model import CENTER, Part, Piece
from tracks.theory.errors import RequestError

_FULL_VOLUME, _EASE_FRAMES = 127, 48
_DEFAULT_PACKAGE, _DEFAULT_FONT = "pretty_midi", "TimGM6mb.sf2"
_SIGNATURE, _KIND_AT, _KIND = b"RIFF", 8, b"sfbk"


def soundfont(path: Path | None = None) -> bytes:
    """Return the content of a SoundFont 2 file, or of the default one.

    Raises RequestError where there is no such file, or it is no SoundFont 2 (an .sf3, compressed, is not
    read).
    """
    source = _default_font() if path is None else path
    try:
        content = source.read_bytes()
    except OSError as error:
        raise RequestError(f"SoundFont {source}: {error.strerror}; give the path of an .sf2 file") from error
    if not content.startswith(_SIGNATURE) or content[_KIND_AT : _KIND_AT + len(_KIND)] != _KIND:
        raise RequestError(f"SoundFont {source} is no SoundFont 2 file; give an .sf2")
    return content


def _default_font() -> Path:
    from importlib.util import find_spec

    found = find_spec(_DEFAULT_PACKAGE)
    if not found or not found.origin:
        raise RequestError(
            f"SoundFont: the package {_DEFAULT_PACKAGE} is missing; install it or use --soundfont FILE"
        )
    return Path(found.origin).with_name(_DEFAULT_FONT)


class Synth:
    """Plays parts on one SoundFont, given as bytes."""

    def __init__(self, font: bytes) -> None:
        self._font = font
        self._late: dict[tuple[bool, int], int] = {}

    def play(self, piece: Piece, part: Part) -> Sound:
        """Return the stem of a pitched or drum part at the piece's tempo.

        Raises RequestError for a broken font.
        """
        instrument = part.role in PERCUSSION_ROLES, part.program
        if instrument not in self._late:
            tried = trial(part)
            self._late[instrument] = onset_latency(tried, self._played(tried, tried.parts[0]))
        on_time = self._played(piece, part)[self._late[instrument] :]
        return fitted(_eased_in(on_time), frames(piece))

    def _played(self, piece: Piece, part: Part) -> Sound:
        from io import BytesIO

        import soundfile
        from midirenderer import render_wave_from

        alone = replace(part, volume=_FULL_VOLUME, pan=CENTER)
        longer = replace(with_tail(piece), parts=(alone,), markers=())
        try:
            wave = render_wave_from(self._font, to_bytes(longer))
        except RuntimeError as error:
            raise RequestError(f"SoundFont: it does not play ({error}); give another .sf2 file") from error
        sound, rate = soundfile.read(BytesIO(wave), dtype="float32", always_2d=True)
        if rate != RATE:
            raise RuntimeError(f"the synthesiser played at {rate} frames a second, not {RATE}")
        played: Sound = sound
        return played


def _eased_in(sound: Sound) -> Sound:
    """Return the sound with its first frames faded in: a note at 0 has been cut while it began to speak."""
    from numpy import float32, linspace

    ease = min(_EASE_FRAMES, len(sound))
    sound[:ease] *= linspace(0, 1, ease, dtype=float32)[:, None]
    return sound
