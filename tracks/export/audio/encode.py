"""Sound to the bytes of an audio file.

Conventions
- MP3 is written at 128 kbit/s by LAME, Ogg Vorbis at a variable rate, FLAC and WAV in 16 bits.
- LAME writes no tag that would tell decoders how late it begins. So every decoder begins an MP3 `late` frames
  late, and so much less silence is put before the music (`silence`). At a constant rate it turns what it is
  given down by a twentieth, which is made up for.
- The same sound and tags give the same bytes, whatever the kind.
- Frames are handed over a part at a time: libsndfile 1.2.2 crashes on a long Vorbis file given at once.
"""

from collections.abc import Iterable, Iterator
from io import BytesIO
from typing import Any

from tracks.export.audio import LEAD_S, RATE, Sound
from tracks.export.audio.id3 import tagged_mp3
from tracks.export.audio.ogg import tagged_ogg
from tracks.export.audio.riff import tagged_wav
from tracks.export.audio.tags import Tags
from tracks.export.audio.vorbis import tagged_flac
from tracks.model import AudioFormat

_AT_ONCE = 65_536
_MP3_KBITS, _MP3_QUALITY, _MP3_LATE, _MP3_SCALE = 128, 7, 1105, 0.95
_LOUDEST = 2**15 - 1
_WRITTEN_AS: dict[AudioFormat, dict[str, Any]] = {
    AudioFormat.FLAC: {"format": "FLAC", "subtype": "PCM_16"},
    AudioFormat.WAV: {"format": "WAV", "subtype": "PCM_16"},
    AudioFormat.OGG: {"format": "OGG", "subtype": "VORBIS", "compression_level": 0.5},
}
_TAGGED = {
    AudioFormat.MP3: tagged_mp3,
    AudioFormat.FLAC: tagged_flac,
    AudioFormat.WAV: tagged_wav,
    AudioFormat.OGG: tagged_ogg,
}
_KBITS = {AudioFormat.MP3: 128, AudioFormat.OGG: 160, AudioFormat.FLAC: 1000, AudioFormat.WAV: 1536}
"""About how many bits a second of each kind takes, in thousands."""


def size(seconds: float, kind: AudioFormat) -> int:
    """Return about how many bytes a file of so many seconds has."""
    return round(seconds * _KBITS[kind] * 1000 / 8)


def late(kind: AudioFormat) -> int:
    """Return how many frames later than what was given a decoder's sound begins."""
    return _MP3_LATE if kind is AudioFormat.MP3 else 0


def silence(kind: AudioFormat) -> Sound:
    """Return what is put before the music, so that every decoder is silent for LEAD_S."""
    from numpy import float32, zeros

    return zeros((round(LEAD_S * RATE) - late(kind), 2), float32)


def encode(sound: Iterable[Sound], kind: AudioFormat) -> bytes:
    """Return the file of a sound given in blocks; it has no tags yet, and an Ogg a random serial number."""
    if kind is AudioFormat.MP3:
        return _mp3(sound)
    from soundfile import SoundFile

    written = BytesIO()
    with SoundFile(written, "w", RATE, 2, **_WRITTEN_AS[kind]) as file:
        for part in _in_parts(sound):
            file.write(part)
    return written.getvalue()


def tagged(content: bytes, kind: AudioFormat, tags: Tags) -> bytes:
    """Return an encoded file with its tags, always the same for the same sound."""
    return _TAGGED[kind](content, tags)


def _mp3(sound: Iterable[Sound]) -> bytes:
    from lameenc import Encoder
    from numpy import float32, rint

    encoder = Encoder()
    encoder.silence()
    encoder.set_in_sample_rate(RATE)
    encoder.set_channels(2)
    encoder.set_bit_rate(_MP3_KBITS)
    encoder.set_quality(_MP3_QUALITY)
    written = bytearray()
    for part in _in_parts(sound):
        written += encoder.encode(
            rint((part / float32(_MP3_SCALE)).clip(-1, 1) * _LOUDEST).astype("<i2").tobytes()
        )
    return bytes(written + encoder.flush())


def _in_parts(sound: Iterable[Sound]) -> Iterator[Sound]:
    for block in sound:
        for start in range(0, len(block), _AT_ONCE):
            yield block[start : start + _AT_ONCE]
