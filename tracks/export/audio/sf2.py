"""SoundFont 2: the tables of a file, judged, and a smaller font of one instrument written from them.

Conventions
- What is read may be damaged: every number that points somewhere is checked, and FontError says which is
  wrong. Loops that lie outside of their sample are put right, since many a SoundFont has some.
- Only what the engine obeys is kept: zones with their generators. It knows no modulators and no frames of
  24 bits.
- An SF3 file is a SoundFont 2 whose samples are Ogg Vorbis streams: a flag in the sample's type says so,
  start and end are bytes, loops count from the sample's start, and chunks of odd length are not filled up
  (the convention of the free editors that write it, found in their files).

Source: "SoundFont Technical Specification", version 2.04, E-mu Systems, 2006, sections 5 to 8: the chunks,
the records' layout, the terminal records and the 46 frames of silence between samples (from memory).
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from struct import Struct, unpack_from
from typing import Any, NamedTuple

_PRESET, _BAG, _GENERATOR = Struct("<20s3H3I"), Struct("<2H"), Struct("<HH")
_INSTRUMENT, _SAMPLE = Struct("<20sH"), Struct("<20s5IBbHH")
_INSTRUMENT_OF, _SAMPLE_OF = 41, 53
_COMPRESSED, _ROM = 0x10, 0x8000
_MONO = 1
_SILENCE = bytes(2 * 46)
_LOWEST_RATE, _HIGHEST_RATE = 400, 192_000


class FontError(ValueError):
    """A file that is no sound font, or a damaged one; the message says where."""


class Sample(NamedTuple):
    """A sample's record; frames, or in an SF3 file bytes, count from the start of all samples."""

    name: bytes
    start: int
    end: int
    loop_start: int
    loop_end: int
    rate: int
    pitch: int
    correction: int
    link: int
    kind: int

    @property
    def is_compressed(self) -> bool:
        """Whether it is an Ogg Vorbis stream."""
        return bool(self.kind & _COMPRESSED)


Zone = tuple[tuple[int, int], ...]
"""The generators of a zone: what each changes, and its amount in the 16 bits of the file."""


@dataclass(frozen=True, slots=True)
class Tables:
    """What a sound font says of its samples: presets by bank and program, instruments, samples."""

    presets: Mapping[tuple[int, int], tuple[Zone, ...]]
    instruments: Sequence[tuple[Zone, ...]]
    samples: Sequence[Sample]


def tables(chunks: Mapping[str, bytes], size: int) -> Tables:
    """Return the tables of a font, given the chunks of its `pdta` list and how many bytes its samples have.

    Raises FontError where anything points out of the file.
    """
    presets = _records(chunks, "phdr", _PRESET)
    instruments = _records(chunks, "inst", _INSTRUMENT)
    samples = [Sample(*record) for record in _records(chunks, "shdr", _SAMPLE)][:-1]
    in_presets = _zones(chunks, "p", [record[3] for record in presets], _INSTRUMENT_OF, len(instruments) - 1)
    in_instruments = _zones(chunks, "i", [record[1] for record in instruments], _SAMPLE_OF, len(samples))
    if len(presets) < 2:
        raise FontError("it has no presets")
    for number, sample in enumerate(samples):
        whole = size if sample.is_compressed else size // 2
        if sample.end > sample.start and (sample.end > whole or sample.kind & _ROM):
            raise FontError(f"sample {number + 1} lies outside of the file")
    by_program: dict[tuple[int, int], tuple[Zone, ...]] = {}
    for (_, program, bank, *_), zones in zip(presets, in_presets, strict=False):
        by_program.setdefault((bank, program), zones)
    return Tables(by_program, in_instruments, samples)


def _records(chunks: Mapping[str, bytes], name: str, record: Struct) -> list[tuple[Any, ...]]:
    content = chunks.get(name, b"")
    if not content or len(content) % record.size:
        raise FontError(f"its table {name} is missing or cut off")
    return list(record.iter_unpack(content))


def _zones(
    chunks: Mapping[str, bytes], kind: str, bounds: Sequence[int], target: int, most: int
) -> list[tuple[Zone, ...]]:
    """Return the zones of every preset (`p`) or instrument (`i`), given where each one's zones begin."""
    bags = [bag[0] for bag in _records(chunks, f"{kind}bag", _BAG)]
    generators = [(number, amount) for number, amount in _records(chunks, f"{kind}gen", _GENERATOR)]
    every = []
    for first, last in pairwise(bounds):
        if not first <= last < len(bags):
            raise FontError(f"its table {kind}bag does not fit")
        zones = []
        for start, stop in zip(bags[first:last], bags[first + 1 : last + 1], strict=True):
            if not start <= stop <= len(generators):
                raise FontError(f"its table {kind}gen does not fit")
            zone = tuple(generators[start:stop])
            if any(number == target and amount >= most for number, amount in zone):
                raise FontError(f"its table {kind}gen points at nothing")
            zones.append(zone)
        every.append(tuple(zones))
    return every


def only(font: Tables, bank: int, program: int, content: Callable[[Sample], bytes]) -> bytes:
    """Return a SoundFont 2 file with one preset, that of a bank and a program, as the font's only one.

    `content` gives a sample's frames of 16 bits. Where the font has no such preset the bank's first program
    stands in, then any. Raises FontError where the preset has no sample that sounds.
    """
    preset = _chosen(font, bank, program)
    instruments = _numbered(preset, _INSTRUMENT_OF)
    samples = _numbered((zone for number in instruments for zone in font.instruments[number]), _SAMPLE_OF)
    if not samples:
        raise FontError(f"its program {program + 1} in bank {bank} has no samples")
    frames, headers = _sampled([font.samples[number] for number in samples], content)
    kept = [[_renumbered(zone, _SAMPLE_OF, samples) for zone in font.instruments[n]] for n in instruments]
    presets = _PRESET.pack(b"preset", program, bank, 0, 0, 0, 0) + _PRESET.pack(
        b"EOP", 0, 0, len(preset), 0, 0, 0
    )
    bounds = [sum(map(len, kept[:place])) for place in range(len(kept) + 1)]
    named = [*(f"instrument {n}".encode() for n in instruments), b"EOI"]
    inst = b"".join(map(_INSTRUMENT.pack, named, bounds))
    pdta = _chunk("phdr", presets) + _zone_chunks(
        "p", [_renumbered(zone, _INSTRUMENT_OF, instruments) for zone in preset]
    )
    pdta += _chunk("inst", inst) + _zone_chunks("i", [zone for zones in kept for zone in zones])
    lists = (
        (
            "INFO",
            _chunk("ifil", bytes((2, 0, 1, 0))) + _chunk("isng", b"EMU8000\0") + _chunk("INAM", b"one\0"),
        ),
        ("sdta", _chunk("smpl", frames)),
        ("pdta", pdta + _chunk("shdr", headers)),
    )
    return _chunk("RIFF", b"sfbk" + b"".join(_chunk("LIST", name.encode() + body) for name, body in lists))


def _chosen(font: Tables, bank: int, program: int) -> tuple[Zone, ...]:
    places = ((bank, program), (128, 0) if bank else (0, program), min(font.presets))
    return next(font.presets[place] for place in places if place in font.presets)


def _numbered(zones: "Iterator[Zone] | Sequence[Zone]", target: int) -> dict[int, int]:
    """Return new numbers, from 0 on, for what the zones point at."""
    found = (amount for zone in zones for number, amount in zone if number == target)
    return {old: new for new, old in enumerate(dict.fromkeys(found))}


def _renumbered(zone: Zone, target: int, numbers: Mapping[int, int]) -> Zone:
    return tuple((number, numbers[amount] if number == target else amount) for number, amount in zone)


def _sampled(samples: Sequence[Sample], content: Callable[[Sample], bytes]) -> tuple[bytes, bytes]:
    """Return the samples' frames one after the other, and their headers."""
    frames, headers = bytearray(), b""
    for sample in samples:
        heard = content(sample)
        start, length = len(frames) // 2, len(heard) // 2
        frames += heard + _SILENCE
        before = 0 if sample.is_compressed else sample.start
        loop_start, loop_end = sample.loop_start - before, sample.loop_end - before
        if not 0 <= loop_start < loop_end <= length:
            loop_start, loop_end = 0, max(length, 1)
        headers += _SAMPLE.pack(
            sample.name, start, start + length, start + loop_start, start + loop_end,
            min(max(sample.rate, _LOWEST_RATE), _HIGHEST_RATE), min(sample.pitch, 127), sample.correction,
            0, _MONO,
        )  # fmt: skip
    return bytes(frames), headers + _SAMPLE.pack(b"EOS", *(0,) * 9)


def _zone_chunks(kind: str, zones: Sequence[Zone]) -> bytes:
    bags, generators, count = b"", b"", 0
    for zone in zones:
        bags += _BAG.pack(count, 0)
        generators += b"".join(_GENERATOR.pack(*each) for each in zone)
        count += len(zone)
    return (
        _chunk(f"{kind}bag", bags + _BAG.pack(count, 0))
        + _chunk(f"{kind}mod", bytes(10))
        + _chunk(f"{kind}gen", generators + _GENERATOR.pack(0, 0))
    )


def _chunk(name: str, content: bytes) -> bytes:
    return name.encode() + len(content).to_bytes(4, "little") + content + bytes(len(content) % 2)


def chunk_heads(read: Callable[[int, int], bytes], start: int, end: int) -> Iterator[tuple[str, int, int]]:
    """Yield the name, the start and the end of the content of every chunk in a stretch of a file.

    `read` gives bytes from a place, so many. Raises FontError for a chunk that is cut off.
    """
    at = start
    while at + 8 <= end:
        name, length = unpack_from("<4sI", read(at, 8))
        if at + 8 + length > end:
            raise FontError(f"it is cut off at byte {end}")
        yield name.decode("latin-1"), at + 8, at + 8 + length
        at += 8 + length
        at += length % 2 and read(at, 1) in (b"\0", b"")
