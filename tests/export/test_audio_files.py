"""Audio as files: kinds, tags, equal bytes, and their place in a pack."""

import io
import json
import struct
from pathlib import Path

import numpy as np
import pytest
import soundfile

from tracks.cli.main import run
from tracks.export.audio import RATE, TAIL_S, Sound
from tracks.export.audio.encode import encode, late, tagged
from tracks.export.audio.id3 import tagged_mp3
from tracks.export.audio.ogg import checksum, tagged_ogg
from tracks.export.audio.tags import Tags
from tracks.model import AudioFormat
from tracks.practice.naming import beside
from tracks.theory.key import Key

TAGS = Tags("E♭ minor, panned apart, 72", "week-3", 17, Key.parse("eb"), 72)


def tone(seconds: float = 0.5) -> Sound:
    wave = 0.3 * np.sin(2 * np.pi * 440 * np.arange(round(seconds * RATE)) / RATE)
    return np.stack((wave, wave), axis=1).astype(np.float32)


@pytest.mark.parametrize("kind", AudioFormat)
def test_tags_are_read_back_by_the_common_library(kind: AudioFormat) -> None:
    with soundfile.SoundFile(io.BytesIO(tagged(encode([tone()], kind), kind, TAGS))) as file:
        read = file.copy_metadata()

    assert read["title"] == "Eb minor, panned apart, 72"
    assert read["album"] == "week-3"
    assert read["tracknumber"] == "17"
    assert read["artist"] == "Rungwise"
    assert "Key Eb minor. Tempo 72 beats a minute." in read["comment"]
    assert "moderate" in read["comment"]


@pytest.mark.parametrize("kind", AudioFormat)
def test_tags_leave_the_sound_as_it_is(kind: AudioFormat) -> None:
    bare = encode([tone()], kind)
    before, _ = soundfile.read(io.BytesIO(bare))
    after, rate = soundfile.read(io.BytesIO(tagged(bare, kind, TAGS)))

    assert rate == RATE
    assert np.array_equal(before, after)
    start = late(kind)
    assert len(tone()) <= len(after) - start <= len(tone()) + 1152 * bool(start)
    assert np.abs(after[start:][2000 : len(tone()) - 2000] - tone()[2000:-2000]).max() < 0.01


@pytest.mark.parametrize("kind", AudioFormat)
def test_the_same_sound_gives_the_same_bytes(kind: AudioFormat) -> None:
    first, second = (tagged(encode([tone()], kind), kind, TAGS) for _ in range(2))

    assert first == second


def test_an_mp3_has_key_and_tempo_in_fields_of_their_own() -> None:
    """ID3v2.3, 3.2 and 4.2.1: a syncsafe size, frames of a name, four bytes of size, two of flags."""
    content = tagged_mp3(b"\xff\xfb", TAGS)
    assert content[:5] == b"ID3\x03\x00"
    size = sum(byte << shift for byte, shift in zip(content[6:10], (21, 14, 7, 0), strict=True))
    assert content[10 + size :] == b"\xff\xfb"

    frames, at = {}, 10
    while at < 10 + size:
        name, length = struct.unpack(">4sI", content[at : at + 8])
        frames[name.decode()] = content[at + 10 : at + 10 + length]
        at += 10 + length

    assert frames["TKEY"] == b"\x00Ebm"
    assert frames["TBPM"] == b"\x0072"
    assert frames["TRCK"] == b"\x0017"
    assert frames["COMM"].startswith(b"\x00eng\x00Key Eb minor.")


def test_what_is_left_out_has_no_field() -> None:
    content = tagged_mp3(b"", Tags("Question 01", "quiz", 1))

    assert b"TKEY" not in content
    assert b"TBPM" not in content
    assert b"Key" not in content


def test_checksum_of_an_ogg_page_is_the_encoders_own() -> None:
    content = encode([tone()], AudioFormat.OGG)
    segments = content[26]
    end = 27 + segments + sum(content[27 : 27 + segments])
    page = content[:end]

    assert checksum(page[:22] + bytes(4) + page[26:]) == page[22:26]


def test_what_is_no_ogg_is_refused() -> None:
    with pytest.raises(ValueError, match="no Ogg page at byte 0"):
        tagged_ogg(b"RIFF" + bytes(30), TAGS)


def test_a_long_ogg_is_written_without_harm() -> None:
    """Given at once, a file of this length crashes the library."""
    quiet = np.zeros((115 * RATE, 2), np.float32)

    assert soundfile.info(io.BytesIO(encode([quiet], AudioFormat.OGG))).frames == len(quiet)


def test_a_sound_lies_beside_its_midi_file_in_the_same_manner_of_name() -> None:
    assert beside("Eb-major/Eb-major_split_060.mid", "flac") == "Eb-major/Eb-major_split_060.flac"
    assert beside("EB/EBSP060.MID", "flac") == "EB/EBSP060.FLA"


def make(out: Path, *more: str) -> int:
    options = (
        "-k",
        "Eb",
        "-k",
        "c#",
        "--tempo",
        "250",
        "--tempo",
        "300",
        "--mix",
        "split",
        "--mix",
        "right-alone",
    )
    return run(["make", "1 4", *options, "--name", "a", "--out", str(out), *more])


def test_make_writes_the_sound_of_every_midi_file_beside_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert make(tmp_path, "--audio", "ogg") == 0

    manifest = json.loads((tmp_path / "a" / "manifest.json").read_text())
    rows = {row["path"]: row for row in manifest["files"]}
    stems = sorted(path[:-4] for path in rows if path.endswith(".mid"))
    assert len(stems) == 8
    assert stems == sorted(path[:-4] for path in rows if path.endswith(".ogg"))
    for stem in stems:
        midi, audio = rows[f"{stem}.mid"], rows[f"{stem}.ogg"]
        assert [midi[field] for field in ("key", "mix", "bpm")] == [audio[f] for f in ("key", "mix", "bpm")]
        assert (tmp_path / "a" / audio["path"]).stat().st_size == audio["bytes"]
    assert manifest["drill"]["audio"] == "ogg"
    assert "16 files" in capsys.readouterr().out


def test_tracks_are_numbered_as_they_are_practiced(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert make(tmp_path, "--audio", "flac") == 0

    titles = {}
    for path in tmp_path.rglob("*.flac"):
        with soundfile.SoundFile(path) as file:
            titles[int(file.copy_metadata()["tracknumber"])] = file.title
    assert [titles[number] for number in range(1, 6)] == [
        "Eb major, right alone, 250",
        "Eb major, panned apart, 250",
        "Eb major, right alone, 300",
        "Eb major, panned apart, 300",
        "C# minor, right alone, 250",
    ]
    assert len(titles) == 8


def test_audio_alone_and_audio_stems_are_made_on_request(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert make(tmp_path, "--audio", "ogg", "--audio-only", "--audio-stems", "wav") == 0

    rows = json.loads((tmp_path / "a" / "manifest.json").read_text())["files"]
    assert {row["path"].rpartition(".")[2] for row in rows} == {"ogg", "wav"}
    stems = [row for row in rows if row.get("kind") == "stems"]
    assert [row["part"] for row in stems] == ["right hand", "left hand", "click"] * 2
    assert {row["bpm"] for row in stems} == {300}
    lengths = {soundfile.info(tmp_path / "a" / row["path"]).frames for row in stems}
    assert lengths == {round((2 * 4 * 60 / 300 + TAIL_S) * RATE)}  # two bars, from the first beat on


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--soundfont", "x.sf2"), "--soundfont: it is what --audio plays on; give --audio mp3 too"),
        (
            ("--audio", "mp3", "--soundfont", "x.sf2"),
            "SoundFont x.sf2: No such file or directory; give the path",
        ),
        (("--audio", "mp3", "--count-in", "8", "--repeats", "64", "--tempo", "20"), "ask for fewer repeats"),
        (("--audio-only",), "--audio-only: there is no audio; ask for audio too"),
        (("--audio-stems", "mp3"), "an MP3 begins late, and stems begin at bar one; choose wav, flac or ogg"),
        (("--audio", "mp3", "--soundfont", "/dev/zero"), "SoundFont /dev/zero cannot be played: it is no"),
        (("--audio", "aiff"), "'aiff' is no choice; write mp3, flac, wav or ogg"),
    ],
)
def test_a_wrong_wish_for_audio_leaves_nothing_behind(
    more: tuple[str, ...], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert make(tmp_path, *more) == 2

    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1
    assert not list(tmp_path.iterdir())
