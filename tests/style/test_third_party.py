"""A style from elsewhere: one file and one line of pyproject, installed into an environment of its own.

`tests/third_party` is the whole package. Nothing is fetched: its wheel is zipped here, as the packaging
standard lays one out (PyPA, "Binary distribution format"), and unpacked where an installer would put it.
"""

import json
import subprocess
import sys
import sysconfig
import tomllib
import venv
import zipfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import mido
import pytest

PACKAGE = Path(__file__).parents[1] / "third_party"
RUN = "from tracks.cli import main; main()"


def wheel(folder: Path, project: Mapping[str, Any], modules: dict[str, str]) -> Path:
    """A wheel of some modules with the entry points of a project table."""
    name, version = str(project["name"]).replace("-", "_"), project["version"]
    info = f"{name}-{version}.dist-info"
    groups: dict[str, dict[str, str]] = project["entry-points"]
    entries = "".join(
        f"[{group}]\n" + "".join(f"{key} = {value}\n" for key, value in rows.items())
        for group, rows in groups.items()
    )
    files = modules | {
        f"{info}/METADATA": f"Metadata-Version: 2.1\nName: {project['name']}\nVersion: {version}\n",
        f"{info}/WHEEL": "Wheel-Version: 1.0\nGenerator: test\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
        f"{info}/entry_points.txt": entries,
    }
    record = "".join(f"{path},,\n" for path in (*files, f"{info}/RECORD"))
    path = folder / f"{name}-{version}-py3-none-any.whl"
    with zipfile.ZipFile(path, "w") as archive:
        for place, text in {**files, f"{info}/RECORD": record}.items():
            archive.writestr(place, text)
    return path


class Environment:
    """A new environment that has Rungwise, and wheels installed into it."""

    def __init__(self, folder: Path) -> None:
        venv.create(folder, symlinks=True, with_pip=False)
        self.python = folder / "bin" / "python"
        self.site = next(folder.glob("lib/python*/site-packages"))
        ours = sysconfig.get_path("purelib")
        (self.site / "rungwise_here.pth").write_text(f"import site; site.addsitedir({ours!r})\n")

    def install(self, path: Path) -> None:
        with zipfile.ZipFile(path) as archive:
            archive.extractall(self.site)

    def rungwise(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        command = [str(self.python), "-c", RUN, *arguments]
        return subprocess.run(command, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def environment(tmp_path_factory: pytest.TempPathFactory) -> Environment:
    """One with the third-party style and a broken one beside it."""
    if sys.platform == "win32":
        pytest.skip("environments are laid out otherwise there")
    folder = tmp_path_factory.mktemp("environment")
    made = Environment(folder / "new")
    project = tomllib.loads((PACKAGE / "pyproject.toml").read_text())["project"]
    modules = {path.name: path.read_text() for path in PACKAGE.glob("*.py")}
    made.install(wheel(folder, project, modules))
    cracked = {
        "name": "tunes-cracked",
        "version": "1.0",
        "entry-points": {"rungwise.styles.v1": {"cracked-bell": "cracked_bell:STYLE"}},
    }
    made.install(wheel(folder, cracked, {"cracked_bell.py": "import no_such_module_at_all\n"}))
    return made


def test_installed_style_is_listed_with_ours(environment: Environment) -> None:
    listed = environment.rungwise("styles", "--json")

    assert listed.returncode == 0
    rows = {row["name"]: row for row in json.loads(listed.stdout)}
    assert rows["mill-wheel"]["meters"] == ["2/4", "4/4"]
    assert {"block", "swing"} <= set(rows)


def test_installed_style_plays(environment: Environment, tmp_path: Path) -> None:
    made = environment.rungwise(
        "make", "I vi IV V7", "--key", "Ab", "--style", "mill-wheel", "--level", "2", "--tempo", "90",
        "--meter", "2/4", "--mix", "hands-together", "--out", str(tmp_path),
    )  # fmt: skip

    assert made.returncode == 0, made.stderr
    (path,) = tmp_path.rglob("*.mid")
    tracks = [track.name for track in mido.MidiFile(path).tracks[1:]]
    assert tracks == ["Right hand", "Left hand", "Bass", "Drums", "Click"]


def test_broken_style_is_named_and_the_rest_goes_on(environment: Environment) -> None:
    listed = environment.rungwise("styles", "--json")

    assert listed.returncode == 0
    (complaint,) = listed.stderr.splitlines()
    assert "cracked-bell" in complaint
    assert "tunes-cracked" in complaint
    assert "no_such_module_at_all" in complaint
    assert "cracked-bell" not in {row["name"] for row in json.loads(listed.stdout)}


def test_broken_style_asked_for_is_refused_in_a_line(environment: Environment, tmp_path: Path) -> None:
    made = environment.rungwise(
        "make", "I V I", "--key", "C", "--style", "cracked-bell", "--out", str(tmp_path)
    )

    assert made.returncode == 2
    assert len(made.stderr.splitlines()) == 1
    assert "cracked-bell" in made.stderr
    assert not list(tmp_path.iterdir())


def test_style_of_the_example_keeps_the_contract(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(PACKAGE))
    from importlib import import_module

    from tracks.style.testing import check_style

    check_style(import_module("mill_wheel").STYLE)


def test_the_guide_to_styles_shows_the_example_word_for_word() -> None:
    guide = (PACKAGE.parents[1] / "docs" / "styles.md").read_text(encoding="utf-8")

    assert (PACKAGE / "mill_wheel.py").read_text(encoding="utf-8") in guide
    for line in (PACKAGE / "pyproject.toml").read_text(encoding="utf-8").split("[project.entry-points")[1:]:
        assert line.splitlines()[1] in guide
