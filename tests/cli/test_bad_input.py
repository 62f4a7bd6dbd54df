"""Wrong requests: one line that names the place and the mend, the right exit code, nothing left behind."""

import os
from pathlib import Path

import pytest

from tracks.cli.main import run

WRONG = [
    ((), "Missing argument"),
    (("",), "column 1"),
    (("I Q V",), "column 3"),
    (("I C",), "one kind"),
    (("nonsense-name",), "'nonsense-name'"),
    (("turnarond",), "did you mean turnaround"),
    (("I", "-k", "H"), "--key: 'H' is no key"),
    (("I", "-k", "G#"), "--key: G# major has 8 sharps; write Ab major"),
    (("axis", "-k", "a"), "choose major keys"),
    (("I", "-m", "4"), "--meter: '4'"),
    (("I", "-m", "4/3"), "--meter: meter 4/3"),
    (("I", "--tempo", "0"), "--tempo: tempo 0 is outside 20 to 300"),
    (("I", "--tempo", "-60"), "outside 20 to 300"),
    (("I", "--tempo", "fast"), "--tempo: 'fast'"),
    (("I", "--from", "100", "--to", "60"), "100 to 60 run down"),
    (("I", "--from", "60", "--to", "500"), "--to: tempo 500"),
    (("I", "--step", "0"), "step 0"),
    (("I", "--step", "4", "--rungs", "3"), "choose one"),
    (("I", "--tempo", "60", "--marks"), "--tempo names every tempo itself"),
    (("I", "--rungs", "0"), "rungs 0"),
    (("I", "--style", "blok"), "did you mean block"),
    (("I", "--style", "missing.py"), "missing.py"),
    (("I", "--level", "7"), "level 7"),
    (("I", "--mix", "left"), "--mix 'left'"),
    (("I", "--start", "third"), "--start 'third'"),
    (("I", "--count-in", "-1"), "count-in bars -1"),
    (("I", "--repeats", "0"), "repeats 0"),
    (("I", "--type", "2"), "MIDI type 2"),
    (("I", "--name", "../up"), "'../up'"),
    (("I", "--range", "C4"), "--range 'C4'"),
    (("I", "--range", "C4-E4"), "too small"),
    (("I", "--texture", "both"), "both"),
    (("I", "--style", "root-bass", "--texture", "hands-together"), "root-bass does not play hands-together"),
    (("I", "--nonsense"), "--nonsense"),
    (("C/D",), "over-bass"),
    (("C", "--written-in", "H"), "--written-in: 'H'"),
    (("Eb: I", "-k", "c"), "choose a major key"),
]


@pytest.mark.parametrize(
    ("arguments", "expected"), WRONG, ids=lambda value: " ".join(value) if isinstance(value, tuple) else ""
)
def test_wrong_request_is_one_line_and_leaves_nothing(
    arguments: tuple[str, ...], expected: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "packs"

    assert run(("make", *arguments, "--out", str(out))) == 2

    captured = capsys.readouterr()
    assert expected in captured.err
    assert captured.err.startswith("rungwise: ")
    assert captured.err.count("\n") == 1
    assert captured.out == ""
    assert not out.exists()


def test_no_command_we_know_is_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(("sing",)) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_file_where_a_folder_should_be_is_a_wrong_request(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "out").write_text("mine")

    assert run(("make", "I", "--out", str(tmp_path / "out"))) == 2

    assert "is a file where a folder should be" in capsys.readouterr().err
    assert (tmp_path / "out").read_text() == "mine"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_unwritable_folder_is_a_failed_run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tmp_path.chmod(0o500)

    assert run(("make", "I", "--out", str(tmp_path / "out"))) == 1

    error = capsys.readouterr().err
    assert "cannot write" in error
    assert error.count("\n") == 1


def test_folder_the_system_refuses_is_a_failed_run(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(("make", "I", "--out", "/proc/nowhere/packs")) == 1

    error = capsys.readouterr().err
    assert "/proc/nowhere" in error
    assert error.count("\n") == 1


def test_a_strangers_file_in_the_pack_is_never_deleted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    request = ("make", "I V", "--tempo", "60", "--name", "mine", "--out", str(tmp_path))
    assert run(request) == 0
    take = tmp_path / "mine" / "take.mid"
    take.write_bytes(b"a student's take")
    capsys.readouterr()

    assert run(request) == 2
    assert "'take.mid'" in capsys.readouterr().err
    assert take.exists()

    assert run((*request, "--force")) == 0
    assert not take.exists()
