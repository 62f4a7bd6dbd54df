"""What a light installation says when something needs more, and that nothing is begun before it says so."""

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
