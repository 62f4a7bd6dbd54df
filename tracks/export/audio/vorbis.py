"""Tags as Vorbis comments: in a FLAC here, in an Ogg by `ogg`.

Sources: "Vorbis I specification", section 5, Xiph.Org Foundation: the comment structure and the names of
the first fields; BPM and KEY are convention. RFC 9639, "Free Lossless Audio Codec", section 8: the
metadata blocks.
"""

from tracks.export.audio.tags import ARTIST, Tags, ascii_text

_COMMENT_BLOCK, _LAST = 4, 0x80


def vorbis_comment(tags: Tags) -> bytes:
    """Return the comment structure that FLAC and Ogg Vorbis share."""
    texts = {
        "TITLE": tags.title,
        "ALBUM": tags.album,
        "ARTIST": ARTIST,
        "TRACKNUMBER": str(tags.track),
        "KEY": tags.key.name if tags.key else "",
        "BPM": tags.tempo,
        "COMMENT": tags.comment,
    }
    fields = [ascii_text(f"{name}={text}") for name, text in texts.items() if text]
    return _counted(ascii_text(ARTIST)) + _number(len(fields)) + b"".join(map(_counted, fields))


def tagged_flac(content: bytes, tags: Tags) -> bytes:
    """Return the FLAC with its comment block, which every encoder writes, filled."""
    written, at, is_last = [content[:4]], 4, False
    while not is_last:
        head, length = content[at], int.from_bytes(content[at + 1 : at + 4])
        is_last = bool(head & _LAST)
        body = content[at + 4 : at + 4 + length]
        if head & ~_LAST == _COMMENT_BLOCK:
            body = vorbis_comment(tags)
        written.append(bytes((head,)) + len(body).to_bytes(3) + body)
        at += 4 + length
    return b"".join(written) + content[at:]


def _number(number: int) -> bytes:
    return number.to_bytes(4, "little")


def _counted(text: bytes) -> bytes:
    return _number(len(text)) + text
