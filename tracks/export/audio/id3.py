"""Tags in an MP3.

Source: "ID3 tag version 2.3.0", M. Nilsson, 3 February 1999: the layout of header and frames, TKEY's three
characters and TBPM's digits. 2.3 rather than 2.4 because every player reads it.
"""

from tracks.export.audio.tags import ARTIST, Tags, ascii_text

_HEADER, _LATIN_1, _LANGUAGE, _NO_FLAGS = b"ID3\x03\x00\x00", b"\x00", b"eng", b"\x00\x00"


def tagged_mp3(content: bytes, tags: Tags) -> bytes:
    """Return the MP3 with a tag before its first frame."""
    texts = {
        "TIT2": tags.title,
        "TALB": tags.album,
        "TPE1": ARTIST,
        "TRCK": str(tags.track),
        "TKEY": tags.key.tonic.name + "m" * tags.key.is_minor if tags.key else "",
        "TBPM": tags.tempo,
    }
    frames = [_frame(name, _LATIN_1 + ascii_text(text)) for name, text in texts.items() if text]
    frames.append(_frame("COMM", _LATIN_1 + _LANGUAGE + b"\x00" + ascii_text(tags.comment)))
    body = b"".join(frames)
    return _HEADER + _syncsafe(len(body)) + body + content


def _frame(name: str, content: bytes) -> bytes:
    return name.encode("ascii") + len(content).to_bytes(4) + _NO_FLAGS + content


def _syncsafe(number: int) -> bytes:
    """Return a number in four bytes of seven bits, which no decoder recordings for the start of a frame."""
    return bytes(number >> shift & 0x7F for shift in (21, 14, 7, 0))
