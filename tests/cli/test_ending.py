"""How a run ends: Ctrl-C, streams that are closed or full, and what nobody foresaw."""

import os
import signal
import subprocess
import sys
from pathlib import Path
from random import Random
from subprocess import DEVNULL, PIPE, Popen

import pytest

from tracks.cli.ending import STOPPED
from tracks.cli.main import run

BROKEN = "from tracks.cli import main\nimport tracks.progression.library\n{}\nmain()\n"
RUN = "from tracks.cli import main; main()"


def ended(*words: str, script: str = RUN, **how: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", script, *words]
    return subprocess.run(command, capture_output=True, text=True, **how)  # type: ignore[call-overload,no-any-return]


def raising(what: str) -> str:
    return BROKEN.format(f"def fails(words): raise {what}\ntracks.progression.library.search = fails")


@pytest.mark.parametrize(
    "error", ["KeyError('lost')", "LookupError('x' * 5000)", "RecursionError('a\\nb\\x1b[31m')"]
)
def test_what_nobody_foresaw_is_one_line_that_says_where_to_report_it(error: str) -> None:
    done = ended("progressions", script=raising(error))

    assert done.returncode == 1
    assert done.stderr.startswith(f"rungwise: internal error: {error.partition('(')[0]}: ")
    assert "report it to the project's list of issues" in done.stderr
    assert done.stderr.count("\n") == 1
    assert done.stderr[:-1].isprintable()
    assert len(done.stderr) < 500


@pytest.mark.parametrize("words", [("--debug", "progressions"), ("progressions", "--debug")])
def test_debug_shows_the_trace_before_the_line(words: tuple[str, ...]) -> None:
    done = ended(*words, script=raising("KeyError('lost')"))

    assert done.returncode == 1
    assert "Traceback" in done.stderr
    assert done.stderr.splitlines()[-1].startswith("rungwise: internal error: KeyError")


def test_too_little_memory_is_told() -> None:
    done = ended("progressions", script=raising("MemoryError"))

    assert (done.returncode, done.stderr.count("\n")) == (1, 1)
    assert "not enough memory" in done.stderr


def test_what_the_system_refuses_is_told_with_its_place() -> None:
    done = ended("progressions", script=raising("PermissionError(13, 'Permission denied', 'notes.txt')"))

    assert (done.returncode, done.stderr) == (1, "rungwise: notes.txt: Permission denied\n")


@pytest.mark.parametrize("words", [("progressions",), ("show", "I V")])
def test_ctrl_c_is_answered_with_what_it_promises(words: tuple[str, ...]) -> None:
    script = BROKEN.format(
        "import tracks.progression.library as library, tracks.drill.request as request\n"
        "def stop(*_): raise KeyboardInterrupt\nlibrary.search = stop\nrequest.source = stop"
    )
    done = ended(*words, script=script)

    assert (done.returncode, done.stderr) == (130, f"rungwise: {STOPPED}\n")


@pytest.mark.parametrize("module", ["tracks.cli.main", "typer", "tracks.cli.show"])
def test_ctrl_c_while_the_program_is_loaded_is_answered_too(module: str) -> None:
    script = (
        "import sys\nclass Stop:\n    def find_spec(self, name, *_):\n"
        f"        if name == {module!r}: raise KeyboardInterrupt\n"
        "sys.meta_path.insert(0, Stop())\nfrom tracks.cli import main\nmain()"
    )
    done = ended("show", "I V", script=script)

    assert (done.returncode, done.stderr) == (130, f"rungwise: {STOPPED}\n")


NO_SIGNAL = pytest.mark.skipif(sys.platform == "win32", reason="a process of Windows is not sent it alone")
HEARING = "import signal\nsignal.signal(signal.SIGINT, signal.default_int_handler)\n"
"""What runs in the background is started deaf to Ctrl-C, and so would be what it starts."""


@NO_SIGNAL
def test_a_real_ctrl_c_leaves_nothing_half_written(tmp_path: Path) -> None:
    # The signal comes as the first file of the pack is written.
    script = (
        f"{HEARING}import os, tracks.pack.folder as folder\nwrite = folder.write_file\n"
        "def stop(*given): write(*given); os.kill(os.getpid(), signal.SIGINT)\n"
        "folder.write_file = stop\nfrom tracks.cli import main\nmain()"
    )
    done = ended("make", "I V", "--out", str(tmp_path / "out"), script=script)

    assert (done.returncode, done.stderr) == (130, f"rungwise: {STOPPED}\n")
    assert list(tmp_path.rglob("*")) == []


@NO_SIGNAL
@pytest.mark.parametrize("stood", [False, True])
@pytest.mark.parametrize("seed", range(3))
def test_ctrl_c_at_any_moment_of_an_audio_pack_leaves_the_earlier_one_or_none(
    seed: int, stood: bool, tmp_path: Path
) -> None:
    """As a terminal sends it: to the program and its players, once so many files lie beside the place."""
    out = tmp_path / "out"
    make = ["make", "I IV V7 I", "-k", "C", "--tempo", "60", "--name", "lantern", "--out", str(out)]
    if stood:
        assert run(make) == 0
    before = contents(out)
    files = Random(seed).randrange(6)

    with Popen(
        [sys.executable, "-c", HEARING + RUN, *make, "--audio", "flac", "--mix", "all", "--repeats", "6"],
        stdout=DEVNULL, stderr=PIPE, text=True, start_new_session=True,
    ) as maker:  # fmt: skip
        beside = out / ".lantern.rungwise-new"
        while maker.poll() is None and not (beside.exists() and len(list(beside.rglob("*.*"))) >= files):
            continue
        os.killpg(maker.pid, signal.SIGINT)
        _, told = maker.communicate()

    assert (maker.returncode, told.splitlines()[-1]) == (130, f"rungwise: {STOPPED}")
    assert "Traceback" not in told
    assert contents(out) == before
    assert sorted(out.glob(".*")) == sorted(out.glob(".rungwise.lock"))
    assert out.exists() == stood


def contents(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file() and path.name != ".rungwise.lock")
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


CLOSED = pytest.mark.skipif(sys.platform == "win32", reason="the shell is needed")


def shell(line: str, folder: Path) -> subprocess.CompletedProcess[str]:
    rungwise = f"{sys.executable} -c '{RUN}'"
    return subprocess.run(
        ["sh", "-c", line.replace("rungwise", rungwise)],
        capture_output=True, text=True, cwd=folder, env={**os.environ, "PYTHONPATH": str(Path.cwd())},
    )  # fmt: skip


@CLOSED
@pytest.mark.parametrize("closed", ["2>&-", ">&-", "<&-", "<&- >&- 2>&-"])
def test_a_closed_stream_stops_nothing(closed: str, tmp_path: Path) -> None:
    done = shell(f"rungwise make 'I V' --tempo 60 --name mine {closed}", tmp_path)

    assert (done.returncode, done.stderr) == (0, "")
    assert (tmp_path / "out/mine/manifest.json").exists()


@CLOSED
@pytest.mark.parametrize("words", ["show Q", "make I --tempo 0", "sing", "show I --zzz"])
def test_a_wrong_request_needs_no_stream_to_be_one(words: str, tmp_path: Path) -> None:
    done = shell(f"rungwise {words} 2>&-", tmp_path)

    assert (done.returncode, done.stdout, done.stderr) == (2, "", "")


@CLOSED
@pytest.mark.parametrize("words", ["progressions", "show 'I V' --json", "--help", "make --help"])
def test_a_reader_that_left_hears_no_complaint(words: str, tmp_path: Path) -> None:
    done = shell(f"rungwise {words} | true", tmp_path)

    assert done.stderr == ""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="there is no full device")
def test_a_full_disk_behind_the_answer_is_told(tmp_path: Path) -> None:
    done = shell("rungwise progressions > /dev/full", tmp_path)

    assert (done.returncode, done.stderr) == (1, "rungwise: No space left on device\n")


@pytest.mark.parametrize(
    "words",
    [
        ("show", "I\x1b[31m V"),
        ("show", "I", "--key", "\x1b]0;x\x07"),
        ("show", "I", "--zz\x1b[2Jz"),
        ("show", "I", "V\x1b[2J"),
        ("\x1b[2J",),
        ("make", "I", "--name", "\x07" * 5000),
        ("make", "I", "--name", "CON"),
        ("make", "I", "--name", "lpt1"),
        ("make", "I", "--out", "packs/nul/mine"),
        ("build", "aux.toml"),
        ("show", "Q" * 100_000),
        ("show", "I", "--" + "q" * 50_000),
        ("show", "I", "--key", "C" * 50_000),
        ("build", "x" * 5000 + ".toml"),
        ("build", "a\x00b.toml"),
        ("build", "a\x1b[2J\nb.toml"),
        ("show", "a\x00b.rntxt"),
        ("show", "x" * 5000 + ".musicxml"),
        ("make", "I", "--style", "a\x00b.py"),
        ("make", "I", "--out", "a\x00b"),
        ("make", "I", "--out", "x" * 5000),
        ("new", "a\x00b.toml"),
        ("show", "I", "--romantext", "a\x00b.rntxt"),
        ("show", "I", "--sheet", "a\x00b.svg"),
        ("term", "a\x00b.toml"),
        ("students", "a\x00b"),
        ("make", "I", "--repeats", "9" * 5000),
        ("make", "I", "--tempo", "9" * 5000),
        ("make", "I", "--hand", "9" * 5000),
        ("make", "I", "--from", "9" * 5000),
        ("make", "I", "--seed", "9" * 5000),
        ("make", "I", "--meter", "9" * 5000 + "/4"),
        ("make", "I", "--range", "C" + "9" * 5000 + "-C6"),
        ("show", "C" + "9" * 5000),
        ("show", "I" + "9" * 5000),
        ("show", "9" * 5000),
        ("quiz", "--seed", "9" * 5000),
        ("quiz", "--level", "9" * 5000),
        ("quiz", "--tempo", "9" * 5000),
        ("build", "I", "--jobs", "9" * 5000),
    ],
    ids=lambda words: ascii(" ".join(words))[:40],
)
def test_an_error_is_one_short_line_that_steers_no_terminal(
    words: tuple[str, ...],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)

    code = run(words)

    said = capsys.readouterr().err
    assert code in (1, 2), said[:300]
    assert said[:-1].isprintable()
    assert len(said) <= 620
    assert "internal error" not in said
    assert list(tmp_path.iterdir()) == []
