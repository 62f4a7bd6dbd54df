"""Tags in an Ogg Vorbis file, and the same serial number on its pages every time.

An encoder draws a stream's serial number at random, so that streams could be joined; in a file of one
stream it only makes equal requests give unequal bytes.

Sources: RFC 3533, "The Ogg Encapsulation Format Version 0", section 6: the page header, and its CRC-32 of
generator 04c11db7, most significant bit first, from 0. zlib's runs the other way from all ones: bits are
turned round before and after, and the ones taken out. "Vorbis I specification", sections 4.2 and A.2: the
second packet is the comment; it and the third, the set-up, fill the pages up to the first sound.
"""

from collections.abc import Iterator
from zlib import crc32

from tracks.export.audio.tags import Tags
from tracks.export.audio.vorbis import vorbis_comment

SERIAL = (1).to_bytes(4, "little")

_HEAD, _SERIAL_AT, _SEGMENTS_AT = 27, 14, 26
_FULL_SEGMENT, _MOST_SEGMENTS = 255, 255
_COMMENT_PACKET, _FRAMING = b"\x03vorbis", b"\x01"
_ALL_ONES = 0xFFFF_FFFF
_REVERSED = bytes(int(f"{byte:08b}"[::-1], 2) for byte in range(256))


def tagged_ogg(content: bytes, tags: Tags) -> bytes:
    """Return the Ogg Vorbis file with its comment filled; raise ValueError for another file."""
    opening, *pages = _pages(content)
    packets, used = _header_packets(pages)
    comment = _COMMENT_PACKET + vorbis_comment(tags) + _FRAMING
    headers = (pages[0][0], _lacing(comment) + _lacing(packets[1]), comment + packets[1])
    renewed = [opening, headers, *pages[used:]]
    return b"".join(_numbered(place, page) for place, page in enumerate(renewed))


_Page = tuple[bytes, bytes, bytes]
"""A page's head up to its serial number, its table of segments, and its body."""


def _pages(stream: bytes) -> Iterator[_Page]:
    at = 0
    while at < len(stream):
        if stream[at : at + 4] != b"OggS":
            raise ValueError(f"no Ogg page at byte {at}")
        body = at + _HEAD + stream[at + _SEGMENTS_AT]
        table = stream[at + _HEAD : body]
        end = body + sum(table)
        yield stream[at : at + _SERIAL_AT], table, stream[body:end]
        at = end


def _header_packets(pages: list[_Page]) -> tuple[list[bytes], int]:
    """Return the comment and set-up packets and how many pages they fill."""
    packets, open_packet = [], b""
    for used, (_, table, body) in enumerate(pages, start=1):
        at = 0
        for size in table:
            open_packet += body[at : at + size]
            at += size
            if size < _FULL_SEGMENT:
                packets.append(open_packet)
                open_packet = b""
        if len(packets) == 2:
            return packets, used
    raise ValueError("no Vorbis headers")


def _lacing(packet: bytes) -> bytes:
    """Return the sizes of a packet's segments: full ones, and one that is not, which ends it."""
    full, rest = divmod(len(packet), _FULL_SEGMENT)
    return bytes((_FULL_SEGMENT,)) * full + bytes((rest,))


def _numbered(place: int, page: _Page) -> bytes:
    head, table, body = page
    if len(table) > _MOST_SEGMENTS:
        raise ValueError(f"{len(table)} segments do not fit one page")
    before = head + SERIAL + place.to_bytes(4, "little")
    after = bytes((len(table),)) + table + body
    return before + checksum(before + bytes(4) + after) + after


def checksum(page: bytes) -> bytes:
    """Return the four bytes of a page's checksum; in the page given, they are zeros."""
    turned = crc32(page.translate(_REVERSED), _ALL_ONES) ^ _ALL_ONES
    # The value's bits are still turned round as a whole: reversed bytes, each with reversed bits.
    return turned.to_bytes(4, "big").translate(_REVERSED)
