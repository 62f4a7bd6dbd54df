"""What a light installation says when something needs more, and that nothing is begun before it says so."""

import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tracks import extras
from tracks.cli.main import run

PYPROJECT = Path(__file__).parents[1] / "pyproject.toml"


@pytest.fixture
def without(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """An empty folder to work in, and an installation without any extra."""
    monkeypatch.setattr(extras, "find_spec", lambda _module: None)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    ("arguments", "place", "extra"),
    [
        (["make", "I V I", "--sheet"], "--sheet", "sheets"),
        (["make", "I V I", "--audio", "mp3"], "--audio", "audio"),
        (["make", "I V I", "--sheet", "--start", "all"], "--sheet", "sheets"),
        (["show", "I V I", "--sheet", "x.pdf"], "--sheet", "sheets"),
        (["show", "I V I", "--sheet", "x.png", "--romantext", "x.rntxt"], "--sheet", "sheets"),
        (["quiz", "--audio", "wav"], "--audio", "audio"),
        (["show", "tune.musicxml"], "tune.musicxml", "musicxml"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else value,
)
def test_missing_extra_is_one_line_that_names_it(
    arguments: list[str], place: str, extra: str, without: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    if "tune.musicxml" in arguments:
        (without / "tune.musicxml").write_text("<score-partwise/>")
    before = set(without.rglob("*.*"))

    assert run(arguments) == 2

    told = capsys.readouterr()
    (line,) = told.err.splitlines()
    assert line.startswith(f"rungwise: {place}: ")
    assert line.endswith(f'needs the extra "{extra}"; install it with: pip install "rungwise[{extra}]"')
    assert told.out == ""
    assert set(without.rglob("*.*")) == before


@pytest.mark.parametrize(
    "arguments",
    [["make", "I V I", "--tempo", "60"], ["show", "I V I", "--sheet", "x.musicxml"], ["quiz", "-n", "2"]],
    ids=lambda arguments: arguments[0],
)
def test_what_needs_no_extra_goes_without(arguments: list[str], without: Path) -> None:
    assert run(arguments) == 0
    assert list(without.rglob("*.*"))


MAKE = ["make", "I V", "--tempo", "60", "--audio", "mp3"]


@pytest.mark.parametrize(
    ("module", "error", "arguments", "place"),
    [
        ("lameenc", "ImportError('libmp3lame.so.0: cannot open shared object file')", MAKE, "--audio"),
        ("midirenderer", "ImportError('DLL load failed while importing midirenderer')", MAKE, "--audio"),
        ("soundfile", "OSError('sndfile library not found')", MAKE, "--audio"),
        ("numpy", "RuntimeError('CPU dispatcher tracer already initialized')", MAKE, "--audio"),
        ("soundfile", "OSError('sndfile library not found')", ["quiz", "--audio", "wav"], "--audio"),
        ("verovio", "ImportError('_verovio.so: invalid ELF header')", ["make", "I V", "--sheet"], "--sheet"),
        ("verovio", "ImportError('_verovio.so: invalid ELF header')", ["make", "I V", "--page"], "--page"),
        ("typst", "OSError('not a library')", ["show", "I V", "--sheet", "x.pdf"], "--sheet"),
        ("music21", "SyntaxError('it is for another Python')", ["show", "tune.musicxml"], "tune.musicxml"),
    ],
)
def test_an_extra_that_is_there_but_broken_is_one_line_before_any_work(
    module: str, error: str, arguments: list[str], place: str, tmp_path: Path
) -> None:
    (tmp_path / "broken").mkdir()
    (tmp_path / "broken" / f"{module}.py").write_text(f"raise {error}\n")
    (tmp_path / "tune.musicxml").write_text("<score-partwise/>")
    before = set(tmp_path.iterdir())

    done = subprocess.run(
        [sys.executable, "-Bc", "from tracks.cli import main; main()", *arguments],
        cwd=tmp_path, capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(tmp_path / "broken")},
    )  # fmt: skip

    (line,) = done.stderr.splitlines()
    assert done.returncode == 2, line
    assert line.startswith(f"rungwise: {place}: " if place else "rungwise: ")
    assert f"{module}, which is installed, does not load ({error.partition('(')[2][1:-2]})" in line
    assert "install it again with: pip install --force-reinstall" in line
    assert done.stdout == ""
    assert set(tmp_path.iterdir()) == before


def test_a_quiz_goes_on_plain_paper_where_what_sets_pages_is_broken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(module: str) -> None:
        raise ImportError(module)

    monkeypatch.setattr(extras, "import_module", broken)
    monkeypatch.chdir(tmp_path)

    assert run(["quiz", "-n", "2"]) == 0
    assert "the paper is quiz.txt only" in capsys.readouterr().err
    assert not list(tmp_path.rglob("*.pdf"))


def test_lesson_that_needs_an_extra_stops_before_anything_is_made(
    without: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    drill = '[[drill]]\nname = "{}"\nprogression = "I V I"\nkeys = ["C"]\ntempos = [60]\n'
    (without / "week.toml").write_text(drill.format("plain") + drill.format("on-paper") + "sheet = true\n")

    assert run(["build", "week.toml"]) == 2

    (line,) = capsys.readouterr().err.splitlines()
    assert "on-paper" in line
    assert line.endswith('pip install "rungwise[sheets]"')
    assert not (without / "out").exists()


def test_each_extra_names_what_the_project_installs_for_it() -> None:
    offered = tomllib.loads(PYPROJECT.read_text(encoding="utf-8"))["project"]["optional-dependencies"]

    for extra, modules in extras.EXTRAS.items():
        assert {requirement.split(">=")[0].removeprefix("python-") for requirement in offered[extra]} == set(
            modules
        )
    assert offered["all"] == [f"rungwise[{','.join(sorted(extras.EXTRAS))}]"]
