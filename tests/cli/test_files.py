"""A progression argument that is a file: shown, made, cut, written out, refused."""

import json
from pathlib import Path

import pytest

from tracks.cli.main import run
from tracks.drill.in_key import in_each_key
from tracks.drill.record import drill_from_record

CHORALE = """Title: Evening
Time Signature: 3/4
m0 b3 G: I
m1 IV6 b2 V65 b3 I
m2 V b3 D: V7
m3 I
m4 V6 b2 G: V7 b2.5 viio6 b3 I
m5 I
"""


@pytest.fixture
def chorale(tmp_path: Path) -> Path:
    path = tmp_path / "evening song.rntxt"
    path.write_text(CHORALE)
    return path


def shown(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, object]:
    assert run(("show", *arguments, "--json")) == 0
    found: dict[str, object] = json.loads(capsys.readouterr().out)
    return found


def rows(found: dict[str, object], *fields: str) -> list[tuple[object, ...]]:
    chords = found["chords"]
    assert isinstance(chords, list)
    return [tuple(chord[field] for field in fields) for chord in chords]


def test_file_is_shown_in_its_own_meter_and_key(chorale: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = shown(capsys, str(chorale), "--texture", "over-bass")

    assert (found["key"], found["meter"]) == ("G major", "3/4")
    assert rows(found, "bar", "beat", "beats", "key", "symbol")[:5] == [
        (0, 1, 1, "G major", "G"),
        (1, 1, 1, "G major", "C/E"),
        (1, 2, 1, "G major", "D7/F#"),
        (1, 3, 1, "G major", "G"),
        (2, 1, 2, "G major", "D"),
    ]
    assert rows(found, "bar", "beat", "beats")[-3:] == [(4, 2.5, 0.5), (4, 3, 1), (5, 1, 2)]


def test_file_is_transposed_keys_and_all(chorale: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = shown(capsys, str(chorale), "--texture", "over-bass", "--key", "Bb")

    assert [row[0] for row in rows(found, "key")][:6] == ["Bb major"] * 5 + ["F major"]


def test_some_bars_of_a_file(chorale: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = shown(capsys, str(chorale), "--bars", "2-3")

    assert rows(found, "bar", "numeral") == [(2, "V"), (2, "V7"), (3, "I")]


def test_pack_keeps_the_music_and_not_the_file(chorale: Path, tmp_path: Path) -> None:
    request = ("make", str(chorale), "--tempo", "60", "--out", str(tmp_path), "--style", "root-bass")
    assert run(request) == 0
    manifest = json.loads((tmp_path / "evening-song" / "manifest.json").read_text())
    chorale.unlink()

    (in_key,) = in_each_key(drill_from_record(manifest["drill"]))
    assert [at.chord.numeral for at in in_key.changes.chords[:3] if at.chord] == ["I", "IV6", "V65"]
    assert str(tmp_path) not in json.dumps(manifest)


def test_progression_is_written_as_romantext_and_read_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "blues.rntxt"
    assert run(("show", "| Id7 | IVd7 / Id7 V7 |", "--key", "F", "--romantext", str(out))) == 0
    assert "Wrote" in capsys.readouterr().out

    assert "m1 F: Id7\nm2 IVd7 b3 Id7 b4 V7\n" in out.read_text()
    found = shown(capsys, str(out))
    assert rows(found, "bar", "beat", "symbol") == [(1, 1, "F7"), (2, 1, "Bb7"), (2, 3, "F7"), (2, 4, "C7")]


def test_what_was_mended_is_said_on_stderr(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "slip.rntxt"
    path.write_text("m1 C: V/\nm2 I")

    assert run(("show", str(path))) == 0
    assert "slip.rntxt, line 1, measure 1: V/ read as V" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("content", "arguments", "said"),
    [
        ("m1 C: I\nm2 Q", (), "piece.rntxt: line 2, measure 2: 'Q' is no chord"),
        ("m1 C: I\nTime Signature: 3/4\nm2 V", (), "measure 2 changes the meter from 4/4 to 3/4"),
        ("m1 C: I", ("--meter", "3/4"), "--meter: the progression is written in 4/4, not 3/4; ask for that"),
        ("m1 C: I", ("--bars", "5-2"), "--bars: '5-2' is no stretch; write the first and the last measure"),
        ("m1 C: I", ("--bars", "1-9"), "the piece has bars 1 to 1"),
        ("m1 C: I", ("--key", "c"), "choose a major key"),
        ("", (), "piece.rntxt: there is no measure with a chord"),
    ],
)
def test_wrong_file_is_one_line(
    content: str, arguments: tuple[str, ...], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "piece.rntxt"
    path.write_text(content)

    assert run(("make", str(path), *arguments, "--out", str(tmp_path / "out"))) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("nowhere.mxl",), "nowhere.mxl: there is no such file"),
        (("I V", "--bars", "1-2"), "--bars: this chooses measures of a file"),
        (("I V", "--key", "all", "--romantext", "x.rntxt"), "choose one --key"),
    ],
)
def test_wrong_request_about_files_is_one_line(
    arguments: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(("show", *arguments)) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1
