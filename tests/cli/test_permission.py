"""What we may not read or write is told as that, not as a file that is missing; all stays as it was.

Run in a child that obeys permissions even where root runs the tests: it gives up the right to pass them over.
Source: capabilities(7), CAP_DAC_OVERRIDE and CAP_DAC_READ_SEARCH; prctl(2), PR_CAPBSET_DROP.
"""

import ctypes
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tracks.cli.main import run

if sys.platform == "win32" or (os.geteuid() == 0 and sys.platform != "linux"):
    pytest.skip("no such permissions, or no way to obey them", allow_module_level=True)

_DROP, _PASS_OVER, _READ_ALL = 24, 1, 2
SCRIPT = "from tracks.cli import main; main()"


def obey() -> None:
    if os.geteuid() == 0:
        libc = ctypes.CDLL(None)
        for right in (_PASS_OVER, _READ_ALL):
            libc.prctl(_DROP, right, 0, 0, 0)


def told(words: list[str], folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-Bc", SCRIPT, *words],
        cwd=folder, capture_output=True, text=True, check=False, preexec_fn=obey,
    )  # fmt: skip


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A desk, and a folder `shut` that is opened again at the end, so that it can be cleared away."""
    monkeypatch.chdir(tmp_path)
    for words in (
        ["new", "lesson.toml"],
        ["new", "level.toml", "--level"],
        ["make", "I V", "-k", "C", "--tempo", "60", "--name", "lantern"],
        ["show", "I V", "-k", "C", "--romantext", "tune.rntxt"],
        ["show", "I V", "-k", "C", "--sheet", "tune.musicxml"],
    ):
        assert run(words) == 0
    (take,) = tmp_path.glob("out/lantern/*/*hands-together.mid")
    Path("take.mid").write_bytes(take.read_bytes())
    Path("own.py").write_text("from styles.block import STYLE\n")
    Path("piano.sf2").write_bytes(b"RIFF")
    Path("progress.csv").write_text("date,student,drill,key,texture,bpm,ready\n")
    Path("shut").mkdir()
    Path("shut/tune.rntxt").write_bytes(Path("tune.rntxt").read_bytes())
    yield tmp_path
    for place in (*tmp_path.rglob("*"), tmp_path, tmp_path / "shut"):
        place.chmod(0o755 if place.is_dir() else 0o644)


def contents(folder: Path) -> dict[Path, bytes]:
    return {path: path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


MAKE = ["make", "I V", "-k", "C", "--tempo", "60", "--name", "fresh"]


@pytest.mark.parametrize(
    ("shut", "words"),
    [
        ("lesson.toml", ["build", "lesson.toml"]),
        ("level.toml", ["term", "level.toml"]),
        ("level.toml", ["exam", "level.toml"]),
        ("tune.rntxt", ["show", "tune.rntxt"]),
        ("tune.musicxml", ["make", "tune.musicxml"]),
        ("piano.sf2", [*MAKE, "--audio", "mp3", "--soundfont", "piano.sf2"]),
        ("own.py", [*MAKE, "--style", "own.py"]),
        ("take.mid", ["check", "take.mid", "--drill", "out/lantern"]),
        ("progress.csv", ["build", "lesson.toml"]),
        ("out/lantern/manifest.json", ["check", "take.mid", "--drill", "out/lantern"]),
        ("shut", ["show", "shut/tune.rntxt"]),
        ("shut", ["build", "shut/lesson.toml"]),
        ("shut", ["check", "shut/take.mid", "I V"]),
        ("shut", ["students", "shut"]),
        ("shut", ["build", "shut"]),
    ],
    ids=lambda value: value if isinstance(value, str) else value[0],
)
def test_what_we_may_not_read_is_told_so(shut: str, words: list[str], desk: Path) -> None:
    before = contents(desk)
    Path(shut).chmod(0)

    done = told(words, desk)

    Path(shut).chmod(0o755)
    assert (done.returncode, done.stdout) == (2, "")
    (line,) = done.stderr.splitlines()
    assert shut in line
    assert "we may not read it; give yourself permission to read it" in line
    assert contents(desk) == before


CHECK = ["check", "take.mid", "--drill", "out/lantern"]


@pytest.mark.parametrize(
    ("shut", "words"),
    [
        ("shut", [*MAKE, "--out", "shut"]),
        ("shut", [*MAKE, "--out", "shut/deep/er"]),
        ("shut", ["build", "lesson.toml", "--out", "shut"]),
        ("shut", ["build", "lesson.toml", "--zip", "--out", "shut"]),
        ("shut", ["term", "level.toml", "--out", "shut"]),
        ("shut", ["exam", "level.toml", "--out", "shut"]),
        ("shut", ["quiz", "--out", "shut"]),
        ("shut", ["new", "shut/new.toml"]),
        ("shut", ["show", "I V", "--romantext", "shut/new.rntxt"]),
        ("shut", ["show", "I V", "--sheet", "shut/new.svg"]),
        ("shut", ["show", "I V", "--sheet", "shut/new.pdf"]),
        ("shut", [*CHECK, "--picture", "shut/marks.svg"]),
        ("shut", [*CHECK, "--report", "shut/marks.html"]),
        ("shut", [*CHECK, "--progress", "shut", "--student", "Wren"]),
        ("out", [*MAKE[:-1], "lantern"]),
        (".", ["new", "lesson.toml", "--force"]),
        (".", ["term", "level.toml"]),
    ],
    ids=lambda value: value if isinstance(value, str) else value[0],
)
def test_what_we_may_not_write_is_told_and_all_is_as_it_was(shut: str, words: list[str], desk: Path) -> None:
    before = contents(desk)
    Path(shut).chmod(0o555)

    done = told(words, desk)

    Path(shut).chmod(0o755)
    (line,) = done.stderr.splitlines()
    assert done.returncode == 1, line
    assert "Permission denied" in line
    assert "shut" in line or shut != "shut"
    assert contents(desk) == before


def test_an_old_pack_that_we_may_not_delete_is_named_at_once_and_at_the_next_run(desk: Path) -> None:
    Path("out/lantern").chmod(0o555)
    words = ["make", "I IV", "-k", "C", "--tempo", "60", "--name", "lantern"]

    first, second = told(words, desk), told(words, desk)

    left = Path("out/.lantern.rungwise-new")
    assert first.returncode == 0
    assert f"the earlier pack lies in {left} and cannot be deleted; delete it yourself" in first.stderr
    assert second.returncode == 1
    assert f"{left} is left from a run that was stopped, and cannot be deleted" in second.stderr
