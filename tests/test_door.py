"""The library: every example of its page is run, its names are there, and importing it costs nothing."""

import ast
import doctest
import io
import subprocess
import sys
from pathlib import Path
from typing import Any

import mido
import music21
import pytest

import tracks
from tracks import PackReport, RequestError, Study, make_packs, progressions, studies, study, styles

DOCS = Path(__file__).parents[1] / "docs"


def test_page_shows_what_the_library_does(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)

    failed, tried = doctest.testfile(str(DOCS / "library.md"), module_relative=False)

    assert (failed, tried > 10) == (0, True)
    assert {path.suffix for path in tmp_path.iterdir()} >= {".mid", ".musicxml", ".pdf", ".png", ".mp3"}


def test_example_program_uses_the_library_alone_and_runs(tmp_path: Path) -> None:
    program = DOCS / "example.py"
    imported = {
        node.module for node in ast.walk(ast.parse(program.read_text())) if isinstance(node, ast.ImportFrom)
    }

    done = subprocess.run(
        [sys.executable, str(program), "Eb", str(tmp_path / "cards")],
        capture_output=True,
        text=True,
        check=True,
    )

    assert imported == {"pathlib", "tracks"}
    assert "I Eb 1-3-5" in done.stdout
    assert len(list((tmp_path / "cards").iterdir())) == 6


def test_example_program_tells_a_wrong_request_in_a_line(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, str(DOCS / "example.py"), "H", str(tmp_path)],
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 1
    assert len(done.stderr.splitlines()) == 1


def test_every_public_name_is_there_and_listed() -> None:
    assert set(tracks.__all__) == {*tracks._HOMES, "__version__"}
    assert dir(tracks) == tracks.__all__ == sorted(tracks.__all__)
    assert all(getattr(tracks, name) is not None for name in tracks.__all__)


def test_types_are_told_of_the_same_names() -> None:
    source = ast.parse(Path(tracks.__file__).read_text(encoding="utf-8"))
    (checked,) = (node for node in source.body if isinstance(node, ast.If))
    imported = {
        alias.name: node.module
        for node in checked.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }

    assert imported == tracks._HOMES


def test_a_name_that_is_not_there_is_an_ordinary_error() -> None:
    with pytest.raises(AttributeError, match="no_such_name"):
        tracks.no_such_name  # noqa: B018


def test_importing_it_imports_nothing_of_ours() -> None:
    script = "import sys, tracks; print(sorted(name for name in sys.modules if name.startswith('tracks')))"

    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "['tracks']"


def test_a_style_follows_the_meter_and_the_mix() -> None:
    waltz = study("I IV V7 I", key="D", meter="3/4", style="waltz", tempos=[90, 120])

    alone = mido.MidiFile(file=io.BytesIO(waltz.midi(mix="right-alone")))
    together = mido.MidiFile(file=io.BytesIO(waltz.midi(bpm=150)))

    names = {track.name for track in together.tracks[1:]}
    assert {track.name for track in alone.tracks[1:]} == {"Right hand", "Click"}
    assert names == {"Right hand", "Left hand", "Bass", "Drums", "Click"}
    tempos = [
        next(event for event in file.tracks[0] if event.type == "set_tempo") for file in (alone, together)
    ]
    assert [round(mido.tempo2bpm(event.tempo)) for event in tempos] == [90, 150]


def test_musicxml_is_read_by_another_reader() -> None:
    score = music21.converter.parse(study("I V7 I", key="A").musicxml(), format="musicxml")

    assert {signature.sharps for signature in score.recurse().getElementsByClass("KeySignature")} == {3}


def test_each_key_and_inversion_is_a_study() -> None:
    found = list(studies("I IV V I", keys=["C", "F"], start="all"))

    assert [each.key.name for each in found] == ["C major", "F major"] * 3
    assert all(isinstance(each, Study) for each in found)
    with pytest.raises(RequestError, match="studies"):
        study("I IV V I", start="all")


@pytest.mark.parametrize(
    ("options", "place"),
    [
        ({"hand": "enormous"}, "hand"),
        ({"count_in": "two"}, "count-in"),
        ({"sheets": True}, "sheets"),
        ({"keys": ["H"]}, "keys"),
        ({"style": "no-such-style"}, "style"),
    ],
    ids=str,
)
def test_wrong_option_is_named(options: dict[str, Any], place: str) -> None:
    with pytest.raises(RequestError) as told:
        study("I V I", **options)

    assert place in str(told.value)
    assert "\n" not in str(told.value)


@pytest.mark.parametrize("wrong", [{"mix": "sideways"}, {"bpm": 0}, {"bpm": 1000}], ids=str)
def test_wrong_mix_or_tempo_is_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(RequestError):
        study("I V I").midi(**wrong)


def test_wrong_kind_of_sheet_is_refused_with_the_kinds() -> None:
    with pytest.raises(RequestError, match="pdf"):
        study("I V I").sheet("gif")


def test_remarks_are_those_of_the_command(capsys: pytest.CaptureFixture[str]) -> None:
    from tracks.cli.main import run

    assert run(["show", "I IV V I", "--key", "c"]) == 0

    assert [f"Remark: {remark}" for remark in study("I IV V I", key="c").remarks] == (
        capsys.readouterr().err.splitlines()
    )
    assert study("i iv V i", key="c").remarks == ()


def test_what_there_is_to_choose_from_can_be_asked_for() -> None:
    assert {each.name for each in progressions()} >= {"two-five-one", "folia"}
    assert all("minor" in f"{each.name} {each.about}" for each in progressions("in", "minor"))
    with pytest.raises(RequestError, match="nonsense"):
        progressions("nonsense")
    assert {each.name for each in styles()} >= {"block", "swing"}


def test_a_pack_is_what_the_command_makes(tmp_path: Path) -> None:
    from tracks.cli.main import run

    options = ["--key", "G", "--from", "60", "--to", "68", "--name", "made"]
    assert run(["make", "I V I", *options, "--out", str(tmp_path / "command")]) == 0

    (report,) = make_packs("I V I", out=tmp_path / "library", keys=["G"], from_=60, to=68, name="made")

    assert isinstance(report, PackReport)
    made = {path.relative_to(tmp_path / "library"): path for path in report.folder.rglob("*.*")}
    for path, written in made.items():
        assert (tmp_path / "command" / path).read_bytes() == written.read_bytes()
    assert len(made) == report.files + 1
