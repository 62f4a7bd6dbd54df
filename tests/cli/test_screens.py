"""What is printed: on screens of every width, and to outputs that cannot hold every sign."""

import io
import os
import re
import shlex
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest

from tracks.cli.main import run
from tracks.cli.plainly import plainly


@pytest.fixture(autouse=True)
def _desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


# Outputs


def test_signs_become_plain_where_the_output_has_none() -> None:
    told = io.TextIOWrapper(io.BytesIO(), "ascii", errors=plainly())
    told.write("E♭ · F♯m7 → 𝄫 ─┼ ☃")
    told.flush()

    assert told.buffer.getvalue() == b"Eb - F#m7 -> bb -- ?"


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_an_output_that_is_not_utf_8_loses_no_pack_and_no_word(encoding: str) -> None:
    for words in (("make", "I V", "-k", "Eb", "--tempo", "60"), ("show", "I vi", "-k", "Eb")):
        done = subprocess.run(
            [sys.executable, "-m", "tracks", *words],
            env={**os.environ, "PYTHONIOENCODING": encoding},
            capture_output=True,
            check=False,
        )
        assert (done.returncode, done.stderr) == (0, b"")
        # The parser's library takes ASCII for a mistake of set-up and writes UTF-8 then.
        assert "Eb major" in done.stdout.decode("utf-8" if encoding == "ascii" else encoding).replace(
            "♭", "b"
        )
    assert Path("out/I-V/manifest.json").is_file()


# Narrow screens


@pytest.mark.parametrize("width", [30, 40, 60, 79])
def test_a_narrow_screen_loses_no_word(width: int) -> None:
    from tracks.cli.fitting import fitted
    from tracks.cli.table import in_key_list
    from tracks.drill.in_key import in_each_key
    from tracks.drill.request import request_of

    (drill,) = request_of({"progression": "I vi ii7 V7 I", "keys": ("Eb",)}).drills()
    (in_key,) = in_each_key(drill)
    told = fitted(in_key_list(in_key, drill.note_names), width)

    assert max(map(len, told.splitlines())) <= width
    words = " ".join(told.split())
    for voiced in in_key.chords:
        assert all(" ".join(move.split()) in words.replace("♭", "b") for move in voiced.moves)
    assert "fingers 1 3 5" in words


# Every command, on terminals of several widths

TOLD = (
    'show "I vi ii7 V7 I" --key Eb',
    'show "I vi ii7 V7 I" --key Eb --texture over-bass --left shells',
    "show two-five-one --key F --scales",
    'show "i iv V7 i" --key fis-Moll --note-names german',
    'show "C F G C" --key Bb',
    "show two-five-one --tune",
    "show --help",
    "make --help",
    "build --help",
    "students --help",
    "new --help",
    "term --help",
    "exam --help",
    "quiz --help",
    "check --help",
    "listen --help",
    "styles --help",
    "progressions --help",
    "--help",
    "styles",
    "progressions",
    "quiz --skills",
    "quiz --skill intervals --questions 2 --force",
    'make two-five-one --key "up to 2 sharps" --style swing --tempo 60 --name a --force',
    "students studio",
    "build studio --force",
    "term level.toml --out t --force",
    "exam level.toml --out e --force",
    "check take.mid --drill out/pack",
)
LABELS = frozenset("Bar Chord Right hand RH position Position Left What moves Scale to improvise on".split())
LESSON = 'student = "Wren"\n[[drill]]\nname = "a"\nprogression = "I IV V7 I"\nkeys = "Bb"\ntempos = 60\n'


class _Screen(io.StringIO):
    """A terminal without colors."""

    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


@pytest.fixture
def screen(monkeypatch: pytest.MonkeyPatch) -> Callable[[str, int], str]:
    """Return what a command prints on a terminal of a width."""
    Path("studio").mkdir()
    Path("studio/week-1.toml").write_text(LESSON, encoding="utf-8")
    assert run(("new", "level.toml")) == 0
    assert run(("make", "I V I", "--tempo", "60", "--name", "pack")) == 0
    next(Path("out/pack").rglob("*hands-together.mid")).rename("take.mid")
    monkeypatch.setenv("TERM", "dumb")

    def printed(typed: str, columns: int) -> str:
        terminal = _Screen()
        with monkeypatch.context() as patched:
            patched.setenv("COLUMNS", str(columns))
            patched.setattr(sys, "stdout", terminal)
            patched.setattr(sys, "stderr", terminal)
            assert run(shlex.split(typed)) == 0
        return terminal.getvalue()

    return printed


@pytest.mark.parametrize("typed", TOLD)
def test_no_line_is_wider_than_the_terminal_and_no_word_is_lost(
    typed: str, screen: Callable[[str, int], str]
) -> None:
    def words(text: str) -> Counter[str]:
        """Return the words, without what only lays them out; help may be broken at hyphens and |."""
        found = re.split(r"[\s|,;:]+", re.sub(r"([|-])\s+", r"\1", text))
        return Counter(word for word in found if re.search(r"\w", word))

    screen(typed, 200)  # what is made is said otherwise where it was made before
    wide = words(screen(typed, 200))
    for columns in (80, 60, 40):
        told = screen(typed, columns)
        too_wide = [line for line in told.splitlines() if len(line) > columns]
        # A command stays whole, to be copied, and a path cannot be broken.
        assert not [line for line in too_wide if "rungwise " not in line and len(line.split()) > 1]
        lost = wide - words(told)
        if typed.startswith("show ") and "--help" not in typed:  # a table becomes a list: its labels change
            assert not set(lost) - LABELS - set(words(told))
        else:
            assert not lost


@pytest.mark.parametrize("typed", TOLD)
def test_in_a_file_lines_are_a_hundred_wide_at_most(
    typed: str, screen: Callable[[str, int], str], capsys: pytest.CaptureFixture[str]
) -> None:
    screen("--help", 80)
    capsys.readouterr()
    assert run(shlex.split(typed)) == 0

    lines = capsys.readouterr().out.splitlines()
    assert not [line for line in lines if len(line) > 100 and "rungwise " not in line and " " in line.strip()]


def test_marking_that_lasts_shows_how_far_it_is_and_only_on_a_terminal(
    screen: Callable[[str, int], str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    screen("--help", 80)
    capsys.readouterr()
    monkeypatch.setattr("tracks.cli.waiting._PATIENCE_S", -1.0)
    words = ("check", "take.mid", "take.mid", "--drill", "out/pack")

    assert run(words) == 0
    assert "Marking takes" not in capsys.readouterr().err
    terminal = _Screen()
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(sys, "stderr", terminal)
    assert run(words) == 0
    assert "Marking takes" in terminal.getvalue()


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such terminals")
def test_a_real_terminal_is_measured() -> None:
    import fcntl
    import pty
    import struct
    import termios

    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 48, 0, 0))
    environment = {name: value for name, value in os.environ.items() if name != "COLUMNS"} | {"TERM": "dumb"}
    words = [sys.executable, "-m", "tracks", "show", "I V", "--key", "Eb"]
    told = b""
    with subprocess.Popen(words, stdin=theirs, stdout=theirs, stderr=theirs, env=environment) as process:
        os.close(theirs)
        with suppress(OSError):  # what a terminal says at its end
            while more := os.read(ours, 65536):
                told += more
    os.close(ours)

    lines = told.decode().splitlines()
    assert process.returncode == 0
    assert max(map(len, lines)) <= 48
    assert "where your teacher" in told.decode()
    assert len(lines) > 8
