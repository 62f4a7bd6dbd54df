"""Sound to the bytes of an audio file.

Conventions
- MP3 and Ogg Vorbis are written at a variable rate, about 110 kbit/s for a piano; FLAC and WAV in 16 bits.
- The same sound and tags give the same bytes, whatever the kind.
- Frames are handed over a block at a time: libsndfile 1.2.2 crashes on a long Vorbis file given at once.
"""

from io import BytesIO
from typing import Any

from tracks.export.audio import RATE, Sound
from tracks.export.audio.id3 import tagged_mp3
from tracks.export.audio.ogg import tagged_ogg
from tracks.export.audio.riff import tagged_wav
from tracks.export.audio.tags import Tags
from tracks.export.audio.vorbis import tagged_flac
from tracks.model import AudioFormat

_BLOCK = 65_536
_WRITTEN_AS: dict[AudioFormat, dict[str, Any]] = {
    AudioFormat.MP3: {
        "format": "MP3",
        "subtype": "MPEG_LAYER_III",
        "bitrate_mode": "VARIABLE",
        "compression_level": 0.3,
    },
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


def encode(sound: Sound, kind: AudioFormat) -> bytes:
    """Return the file of a sound; it has no tags yet, and in an Ogg a random serial number."""
    from soundfile import SoundFile

    written = BytesIO()
    with SoundFile(written, "w", RATE, 2, **_WRITTEN_AS[kind]) as file:
        for start in range(0, len(sound), _BLOCK):
            file.write(sound[start : start + _BLOCK])
    return written.getvalue()


def tagged(content: bytes, kind: AudioFormat, tags: Tags) -> bytes:
    """Return an encoded file with its tags, always the same for the same sound."""
    return _TAGGED[kind](content, tags)
