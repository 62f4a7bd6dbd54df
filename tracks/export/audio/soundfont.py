"""SoundFonts as files: which one, whether it can be played, and the instruments in it.

Conventions
- The default SoundFont is the small General MIDI one that the pretty_midi package carries for its own
  synthesis. It is read where that package lies; nothing of it is copied into ours.
- A file is judged before the engine sees any of it: its tables are read and checked (`sf2`), and what the
  engine is given is written anew from them, one instrument by itself, which is also much less to load.
- SF2 and SF3 alike; an SF3's samples are decoded as they are needed.
"""

from collections.abc import Mapping
from pathlib import Path
from struct import error as StructError  # noqa: N812 - an exception

from tracks.export.audio.sf2 import FontError, Sample, Tables, chunk_heads, only, tables
from tracks.theory.errors import RequestError

_DEFAULT_PACKAGE, _DEFAULT_FONT = "pretty_midi", "TimGM6mb.sf2"
_LARGEST = 2**31
_LARGEST_TABLE = 64_000_000
_LONGEST_SAMPLE = 20_000_000
_HEAD = 12
_FIX = "give the path of another .sf2 or .sf3 file"


class SoundFont:
    """A SoundFont's file, its tables read and judged."""

    def __init__(self, path: Path) -> None:
        self.path = path
        try:
            self._tables, self._samples_at = self._read()
        except PermissionError:
            raise RequestError(
                f"SoundFont {path}: we may not read it", "give yourself permission to read it"
            ) from None
        except OSError as error:
            raise RequestError(f"SoundFont {path}: {error.strerror}", _FIX) from error
        except (ValueError, StructError) as error:
            raise RequestError(f"SoundFont {path} cannot be played: {error}", _FIX) from error

    def has(self, bank: int, program: int) -> bool:
        """Whether the font has an instrument of its own for a program."""
        return (bank, program) in self._tables.presets

    def instrument(self, bank: int, program: int) -> bytes:
        """Return a SoundFont 2 of this instrument alone; raise RequestError where its samples are damaged."""
        try:
            return only(self._tables, bank, program, self._frames)
        except OSError as error:
            raise RequestError(f"SoundFont {self.path}: {error.strerror}", _FIX) from error
        except FontError as error:
            raise RequestError(f"SoundFont {self.path} cannot be played: {error}", _FIX) from error

    def _read(self) -> tuple[Tables, int]:
        if self.path.exists() and not self.path.is_file():
            raise FontError("it is no ordinary file")
        size = self.path.stat().st_size
        if size > _LARGEST:
            raise FontError("it has more than 2 GB")
        head = self._bytes(0, _HEAD)
        if head[:4] != b"RIFF" or head[8:] != b"sfbk":
            raise FontError("it is no SoundFont")
        lists = {
            self._bytes(start, 4).decode("latin-1"): (start + 4, end)
            for name, start, end in chunk_heads(self._bytes, _HEAD, size)
            if name == "LIST"
        }
        samples = self._chunks(*lists.get("sdta", (0, 0))).get("smpl", (0, 0))
        found = self._chunks(*lists.get("pdta", (0, 0)))
        if sum(end - start for start, end in found.values()) > _LARGEST_TABLE:
            raise FontError("its tables are too large")
        content = {name: self._bytes(start, end - start) for name, (start, end) in found.items()}
        return tables(content, samples[1] - samples[0]), samples[0]

    def _chunks(self, start: int, end: int) -> Mapping[str, tuple[int, int]]:
        return {name: (first, last) for name, first, last in chunk_heads(self._bytes, start, end)}

    def _bytes(self, start: int, length: int) -> bytes:
        with self.path.open("rb") as opened:
            opened.seek(start)
            return opened.read(length)

    def _frames(self, sample: Sample) -> bytes:
        """Return a sample's frames of 16 bits; silence where its record names none."""
        if sample.end <= sample.start:
            return bytes(2)
        if sample.is_compressed:
            stream = self._bytes(self._samples_at + sample.start, sample.end - sample.start)
            return _decoded(stream, sample)
        return self._bytes(self._samples_at + 2 * sample.start, 2 * (sample.end - sample.start))


def soundfont(path: Path | None = None) -> SoundFont:
    """Return a SoundFont, or the default one.

    Raises RequestError where there is no such file, or it is none that can be played.
    """
    return SoundFont(_default_font() if path is None else path)


def _default_font() -> Path:
    from importlib.util import find_spec

    found = find_spec(_DEFAULT_PACKAGE)
    if not found or not found.origin:
        raise RequestError(
            f"SoundFont: the package {_DEFAULT_PACKAGE} is missing", "install it or use --soundfont FILE"
        )
    return Path(found.origin).with_name(_DEFAULT_FONT)


def _decoded(stream: bytes, sample: Sample) -> bytes:
    from io import BytesIO

    import soundfile

    try:
        frames, _ = soundfile.read(BytesIO(stream), _LONGEST_SAMPLE, dtype="int16", always_2d=True)
    except (soundfile.SoundFileError, RuntimeError) as error:
        raise FontError(f"its sample {sample.name.strip(bytes(1)).decode('latin-1')} is damaged") from error
    mono: bytes = frames[:, 0].astype("<i2").tobytes()
    return mono
