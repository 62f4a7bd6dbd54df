"""SoundFonts: good ones, compressed ones, and every kind of damage, each told in one line."""

import io
import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random

import numpy as np
import pytest
import soundfile

from tracks.export.audio import Sound
from tracks.export.audio.sf2 import only
from tracks.export.audio.soundfont import SoundFont, soundfont
from tracks.export.audio.synth import Synth
from tracks.model import KeyFrom, Note, Part, Piece, Role
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.pitch import Pitch

HAND = Part(Role.RIGHT, (Note(0, QUARTER, Pitch.parse("E4")), Note(QUARTER, QUARTER, Pitch.parse("C3"))))
PIECE = Piece("lantern", Meter(4, 4), (KeyFrom(0, Key.parse("C")),), 4 * QUARTER, 0, (HAND,), (), bpm=200)
PIANO = soundfont().instrument(0, 0)


def played(font: SoundFont) -> Sound:
    synth = Synth(font)
    try:
        tape = synth.play(PIECE, HAND)
        return tape.read(0, tape.length)
    finally:
        synth.close()


def written(folder: Path, content: bytes) -> Path:
    (folder / "a.sf2").write_bytes(content)
    return folder / "a.sf2"


def test_an_instrument_by_itself_sounds_as_in_its_font(tmp_path: Path) -> None:
    assert len(PIANO) < 2_000_000
    assert np.array_equal(played(soundfont(written(tmp_path, PIANO))), played(soundfont()))


def test_a_compressed_font_sounds_as_the_plain_one(tmp_path: Path) -> None:
    """An SF3 made here: the same tables, the samples as Ogg Vorbis, loops counted from each one's start."""
    plain = soundfont(written(tmp_path, PIANO))
    compressed = tmp_path / "b.sf3"
    compressed.write_bytes(as_sf3(PIANO))

    found, expected = played(soundfont(compressed)), played(plain)

    assert np.abs(expected).max() > 0.01
    assert np.sqrt(((found - expected) ** 2).mean()) < 0.05 * np.sqrt((expected**2).mean())


def as_sf3(font: bytes) -> bytes:
    """Return a font with its samples compressed, without padding after the odd chunk."""
    at = font.index(b"smpl")
    length = int.from_bytes(font[at + 4 : at + 8], "little")
    frames = np.frombuffer(font[at + 8 : at + 8 + length], "<i2")
    head = font.index(b"shdr")
    records = bytearray(font[head + 8 :])
    streams = b""
    for place in range(0, len(records) - 46, 46):
        start, end, loop_start, loop_end = (
            int.from_bytes(records[place + 20 + 4 * n : place + 24 + 4 * n], "little") for n in range(4)
        )
        stream = io.BytesIO()
        with soundfile.SoundFile(stream, "w", 44_100, 1, format="OGG", compression_level=0.0) as file:
            file.write(frames[start:end])
        numbers = (len(streams), len(streams) + len(stream.getvalue()), loop_start - start, loop_end - start)
        for n, number in enumerate(numbers):
            records[place + 20 + 4 * n : place + 24 + 4 * n] = number.to_bytes(4, "little")
        records[place + 44 : place + 46] = (0x11).to_bytes(2, "little")
        streams += stream.getvalue()
    streams += bytes(1 - len(streams) % 2)
    sdta = b"LIST" + (len(streams) + 12).to_bytes(4, "little") + b"sdta"
    sdta += b"smpl" + len(streams).to_bytes(4, "little") + streams
    before, after = font[: font.index(b"LIST", 20)], font[font.index(b"LIST", at) :]
    body = before[8:] + sdta + after[: len(after) - len(records)] + bytes(records)
    return b"RIFF" + len(body).to_bytes(4, "little") + body


def not_there(folder: Path) -> Path:
    return folder / "none.sf2"


def of_another_kind(folder: Path) -> Path:
    return written(folder, b"RIFF\x00\x00\x00\x00WAVEfmt ")


def a_fifo(folder: Path) -> Path:
    os.mkfifo(folder / "fifo.sf2")
    return folder / "fifo.sf2"


def a_device(folder: Path) -> Path:
    return Path("/dev/zero")


def a_folder(folder: Path) -> Path:
    return folder


def empty(folder: Path) -> Path:
    return written(folder, b"")


def without_tables(folder: Path) -> Path:
    return written(folder, b"RIFF\x04\x00\x00\x00sfbk")


def cut_off(folder: Path) -> Path:
    return written(folder, PIANO[: len(PIANO) // 2])


def with_a_nul(folder: Path) -> Path:
    return Path("a\0b.sf2")


@pytest.mark.parametrize(
    "make",
    [not_there, of_another_kind, a_fifo, a_device, a_folder, empty, without_tables, cut_off, with_a_nul],
)
def test_a_wrong_soundfont_is_named_in_one_line(make: Callable[[Path], Path], tmp_path: Path) -> None:
    with pytest.raises(RequestError, match=r"^SoundFont .*; give the path of another \.sf2 or \.sf3 file$"):
        soundfont(make(tmp_path))


def test_a_preset_without_samples_is_told(tmp_path: Path) -> None:
    font = soundfont(written(tmp_path, PIANO))
    bare = replace(font._tables, instruments=[((),)] * len(font._tables.instruments))

    with pytest.raises(ValueError, match="program 1 in bank 0 has no samples"):
        only(bare, 0, 0, lambda _: b"")


@pytest.mark.parametrize("seed", range(12))
def test_damage_is_told_in_one_line_or_does_no_harm(seed: int, tmp_path: Path) -> None:
    """Bytes of the tables and heads changed at random; whatever comes of it is sound or one line."""
    play_damaged(seed, tmp_path)


@pytest.mark.slow
def test_six_hundred_damaged_fonts_do_no_harm(tmp_path: Path) -> None:
    told = [play_damaged(seed, tmp_path) for seed in range(600)]
    assert sum(map(bool, told)) > 100
    assert not all(told)


def play_damaged(seed: int, folder: Path) -> str:
    """Play the piano with a few bytes changed; return what was told, nothing where it played."""
    drawn = Random(seed)
    content = bytearray(PIANO)
    tables = content.index(b"pdta")
    for _ in range(drawn.choice((1, 3, 20))):
        place = drawn.choice((drawn.randrange(64), drawn.randrange(tables, len(content))))
        content[place] = drawn.choice((0, 1, 0x7F, 0x80, 0xFF, drawn.randrange(256)))
    told = ""
    try:
        assert np.isfinite(played(soundfont(written(folder, bytes(content))))).all()
    except RequestError as fault:
        told = str(fault)
    assert not told or (told.startswith("SoundFont") and "\n" not in told)
    return told
