"""Tags in a WAV.

Source: "Multimedia Programming Interface and Data Specifications 1.0", IBM and Microsoft, August 1991:
the INFO list chunk; ITRK, the track number, is convention beside it.
"""

from tracks.export.audio.tags import ARTIST, Tags, ascii_text

_RIFF_HEAD = 8


def tagged_wav(content: bytes, tags: Tags) -> bytes:
    """Return the WAV with a list of tags after its sound; the file's own length is put right."""
    texts = {
        "INAM": tags.title,
        "IPRD": tags.album,
        "IART": ARTIST,
        "ITRK": str(tags.track),
        "ICMT": tags.comment,
    }
    entries = b"".join(_chunk(name, ascii_text(text) + b"\x00") for name, text in texts.items())
    told = _chunk("LIST", b"INFO" + entries)
    length = (len(content) + len(told) - _RIFF_HEAD).to_bytes(4, "little")
    return b"".join((content[:4], length, memoryview(content)[_RIFF_HEAD:], told))  # one copy: it may be long


def _chunk(name: str, content: bytes) -> bytes:
    """Return a chunk; one of odd length is followed by a byte that its length does not count."""
    return name.encode("ascii") + len(content).to_bytes(4, "little") + content + bytes(len(content) % 2)
