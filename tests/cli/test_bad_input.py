"""Wrong requests: one line that names the place and the fix, the right exit code, nothing left behind."""

import os
from pathlib import Path

import pytest

from tracks.cli.main import run

WRONG = [
    ((), "PROGRESSION is missing; write the chords"),
    (("",), "column 1"),
    (("I Q V",), "column 3"),
    (("I C",), "one kind"),
    (("nonsense-name",), "'nonsense-name'"),
    (("turnarond",), "did you mean turnaround"),
    (("I", "-k", "H"), "--key: 'H' is no key"),
    (("I", "-k", "G#"), "--key: G# major has 8 sharps; write Ab major"),
    (("axis", "-k", "a"), "--key: axis is a progression in major, and A minor is not; choose major keys"),
    (("I", "-m", "4"), "--meter: '4'"),
    (("I", "-m", "4/3"), "--meter: meter 4/3"),
    (("I", "--tempo", "0"), "--tempo: tempo 0 is outside 20 to 300"),
    (("I", "--tempo", "-60"), "outside 20 to 300"),
    (("I", "--tempo", "fast"), "--tempo: 'fast'"),
    (("I", "--from", "100", "--to", "60"), "--from: 100 to 60 run down; give the slower one first"),
    (("I", "--from", "60", "--to", "500"), "--to: tempo 500"),
    (("I", "--step", "0"), "--step: 0 climbs nowhere; give 1 or more"),
    (
        ("I", "--step", "4", "--rungs", "3"),
        "--step: step and rungs are two ways to build a ladder; choose one",
    ),
    (
        ("I", "--tempo", "60", "--marks"),
        "--tempo: they name every tempo themselves; leave out from, to, step",
    ),
    (("I", "--rungs", "0"), "--rungs: 0 is outside 2 to"),
    (("I", "--style", "blok"), "did you mean block"),
    (("I", "--style", "missing.py"), "missing.py"),
    (("I", "--level", "7"), "--level: style block has no level 7"),
    (("I", "--mix", "left"), "--mix: 'left' is no choice; did you mean left-alone"),
    (("I", "--mix", "right"), "did you mean right-alone"),
    (("I", "--mix", "both"), "did you mean hands-together?"),
    (("I", "--mix", "lots"), "write right-alone, left-alone, hands-together"),
    (("I", "-k", "C,G,F"), "--key: 'C,G,F' is several keys; write --key C --key G --key F"),
    (("I", "-k", "all keys"), "the sets are all, all-major, all-minor, all-30"),
    (("I-IV-V",), "put spaces between chords, nothing else, like I IV V"),
    (("twelve bar blues",), "did you mean twelve-bar-blues? rungwise progressions lists all"),
    (("I", "--tempo", "slow"), "dotted-quarter=60"),
    (("I", "--texture", "four-parts"), "--texture: 'four-parts' is no choice; did you mean four-part?"),
    (("I", "--form", "call"), "--form: 'call' is no choice; did you mean call-and-response?"),
    (("I", "--audio", "mp4"), "--audio: 'mp4' is no choice; write mp3, flac, wav or ogg"),
    (("I", "--repeats", "two"), "--repeats: this takes a whole number, like 2"),
    (("I", "--bpm", "60"), "there is no option --bpm; did you mean --tempo?"),
    (("I", "--hands", "right"), "there is no option --hands; did you mean --mix?"),
    (("I", "--repeat", "2"), "did you mean --repeats?"),
    (("I", "--zzz", "2"), "there is no option --zzz; --help lists the options"),
    (("I", "--large-print"), "--large-print: it is the sheet's size; ask for the sheet too"),
    (("I", "--soundfont", "a.sf2"), "--soundfont: it is what --audio plays on; give --audio mp3 too"),
    (("I", "--sheet", "page.pdf"), "--sheet: make's sheets go into the pack, so leave out page.pdf"),
    (("I", "IV", "V"), 'too many words: IV V; put quotes around words that belong together, like "I IV V"'),
    (
        ("two-five-one", "--style", "swing", "--form", "call-and-response", "--mix", "you-play-right"),
        "--mix: you-play-right: the right hand is silent there, which the form "
        "call-and-response needs; choose right-alone,",
    ),
    (("I", "--start", "third"), "--start: 'third' is no choice; write root, first, second or all"),
    (("I", "--count-in", "-1"), "--count-in: -1 is outside 0 to 8"),
    (("I", "--repeats", "0"), "--repeats: 0 is outside 1 to 64"),
    (("I", "--type", "2"), "--type: 2 is outside 0 to 1"),
    (("I", "--name", "../up"), "--name: '../up' is no name; use 1 to 80 letters"),
    (("I", "--range", "C4"), "--range: 'C4': write the lowest"),
    (("I", "--range", "C4-E4"), "--range: C4 to E4 is too small"),
    (("I", "--texture", "both"), "both"),
    (
        ("I", "--style", "root-bass", "--texture", "hands-together"),
        "--texture: style root-bass does not play doubled; it plays",
    ),
    (("I", "--nonsense"), "--nonsense"),
    (("C/D",), "progression: bar 1: "),
    (("C", "--written-in", "H"), "--written-in: 'H'"),
    (
        ("Eb: I", "-k", "c"),
        "--key: the progression is written in Eb major, and C minor is not major; choose a major key",
    ),
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


@pytest.mark.parametrize(
    ("word", "fix"), [("sing", "--help lists the commands"), ("shwo", "did you mean show?")]
)
def test_no_command_we_know_is_one_line(word: str, fix: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run((word,)) == 2
    assert capsys.readouterr().err == f"rungwise: there is no command {word!r}; {fix}\n"


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
