"""A user's own `styles` or `tracks` in the folder: it neither breaks nor replaces ours, and stays theirs."""

import subprocess
import sys
from pathlib import Path

import pytest

MAKE = ["make", "I V I", "--key", "C", "--tempo", "60", "--name", "made"]
CONSOLE = [sys.executable, "-c", "import sys; sys.path.pop(0); from tracks.cli import main; main()"]
"""As an installed command starts: its own folder stands first on the path, not the user's."""
AS_MODULE = [sys.executable, "-m", "tracks"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder in which somebody keeps a module called styles, one of a package's shape, and other work."""
    (tmp_path / "styles.py").write_text("raise SystemExit('the decoy was imported')\n")
    return tmp_path


def ran(command: list[str], folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)


@pytest.mark.parametrize("program", [CONSOLE, AS_MODULE], ids=["command", "module"])
def test_a_folder_with_a_module_called_styles_changes_nothing(program: list[str], folder: Path) -> None:
    done = ran([*program, *MAKE], folder)

    assert (done.returncode, done.stderr) == (0, "")
    assert (folder / "out" / "made" / "manifest.json").is_file()


@pytest.mark.parametrize("program", [CONSOLE, AS_MODULE], ids=["command", "module"])
def test_no_style_of_ours_is_left_out_there(program: list[str], folder: Path) -> None:
    done = ran([*program, "styles"], folder)

    assert (done.returncode, done.stderr) == (0, "")
    assert "bossa-nova" in done.stdout


def test_the_command_does_not_see_a_module_called_tracks(folder: Path) -> None:
    (folder / "tracks.py").write_text("raise SystemExit('the decoy was imported')\n")

    done = ran([*CONSOLE, *MAKE], folder)

    assert (done.returncode, done.stderr) == (0, "")


def test_a_program_keeps_its_own_styles(tmp_path: Path) -> None:
    (tmp_path / "styles").mkdir()
    (tmp_path / "styles" / "__init__.py").write_text("PAPER = 'cream'\n")
    (tmp_path / "styles" / "block.py").write_text("INK = 'blue'\n")
    (tmp_path / "program.py").write_text(
        "import styles, styles.block\n"
        "from tracks.style.registry import load, sources\n"
        "print(load('block').info.name, styles.PAPER, styles.block.INK)\n"
        "print(*sources('block'))\n"
        "import sys\n"
        "from styles.block import INK\n"
        "print(sys.modules['styles'] is styles, INK)\n"
    )

    done = ran([sys.executable, "program.py"], tmp_path)

    assert done.stderr == ""
    loaded, places, kept = done.stdout.splitlines()
    assert loaded == "block cream blue"
    assert str(tmp_path) not in places
    assert kept == "True blue"


def test_module_and_command_say_the_same(tmp_path: Path) -> None:
    assert ran([*AS_MODULE, "--help"], tmp_path).stdout == ran([*CONSOLE, "--help"], tmp_path).stdout != ""
