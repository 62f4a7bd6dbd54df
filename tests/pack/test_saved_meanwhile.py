"""Somebody saves into a pack while it is replaced: at whatever moment, the file is there afterwards.

The writer's process plays the student too: at its n-th call to the system, as Python's audit events count
them, a file is saved into the pack. Every moment is met, and none depends on a clock.

Source of the events: "Audit events table", Python library documentation.
"""

import subprocess
import sys
from pathlib import Path
from shutil import copytree

import pytest

from tracks.pack import folder
from tracks.pack.folder import PackFile, write_pack
from tracks.pack.whole import WriteError
from tracks.theory.errors import RequestError

RUN = """
import ctypes, hashlib, json, os, sys
from pathlib import Path
import filelock
from tracks.pack import folder
from tracks.pack.folder import PackFile, write_pack

how, exchanges, force = sys.argv[1], sys.argv[2] == "exchange", sys.argv[3] == "force"
moment = None

def save(name):
    with open(name, "w") as opened:
        opened.write("the student's")

def saved(out, inside):
    place = out / "lantern"
    try:
        if how == "from inside":
            handle = os.open("take.mid", os.O_WRONLY | os.O_CREAT, dir_fd=inside)
            os.write(handle, b"the student's")
            os.close(handle)
        elif how == "over a file of ours":
            with open(place / "C" / "C_0.mid", "r+") as opened:
                opened.write("the student's")
        elif how == "by a new file moved over ours":
            save(out / ".tmp")
            os.replace(out / ".tmp", place / "C" / "C_0.mid")
        elif how == "into a folder of its own":
            os.makedirs(place / "mine", exist_ok=True)
            save(place / "mine" / "take.mid")
        else:
            save(place / "C" / "take.mid")
    except FileNotFoundError:
        (out / ".tmp").unlink(missing_ok=True)
        return False  # the student's program is told so: there is no pack, or its folder has gone
    return True

def run(out, moment):
    calls, busy, was_saved = 0, False, False
    inside = os.open(out / "lantern" / "C", os.O_RDONLY)

    def count(event, arguments):
        nonlocal calls, busy, was_saved
        if busy or not (event == "open" or event.startswith(("os.", "shutil.", "ctypes."))):
            return
        calls += 1
        if calls == moment:
            busy = True
            was_saved = saved(out, inside)
            busy = False

    if not exchanges:
        folder._exchanged = lambda *_: False
    files = [PackFile(f"{key}/{key}_{n}.mid", f"new {key} {n}".encode(), {}) for key in "CG" for n in (0, 1)]
    sys.addaudithook(count)
    end = "made"
    try:
        write_pack(out, "lantern", files, {"name": "new"}, force)
    except Exception as error:
        end = f"{type(error).__name__}: {error}"
    busy = True
    os.write(1, f"{calls}|{was_saved}|{end}\\n".encode())
    os._exit(0)

for place, moment in zip(*[iter(sys.argv[4:])] * 2):
    child = os.fork()
    if not child:
        run(Path(place), int(moment))
    os.waitpid(child, 0)
"""


def old(out: Path) -> Path:
    files = [
        PackFile(f"{key}/{key}_{n}.mid", f"old {key} {n}".encode(), {}) for key in "CG" for n in range(2)
    ]
    write_pack(out, "lantern", files, {"name": "old"})
    return out


def runs(how: str, exchange: str, force: str, *jobs: tuple[Path, int]) -> list[tuple[int, bool, str]]:
    words = [str(word) for job in jobs for word in job]
    done = subprocess.run(
        [sys.executable, "-c", RUN, how, exchange, force, *words], capture_output=True, text=True, check=True
    )
    assert not done.stderr
    rows = [line.split("|", 2) for line in done.stdout.splitlines()]
    return [(int(calls), was_saved == "True", end) for calls, was_saved, end in rows]


@pytest.mark.skipif(sys.platform == "win32", reason="a process cannot fork there")
@pytest.mark.parametrize(
    ("how", "exchange", "force"),
    [
        ("beside the files", "exchange", ""),
        ("beside the files", "renames", ""),
        ("beside the files", "exchange", "force"),
        ("into a folder of its own", "renames", ""),
        ("from inside", "exchange", ""),
        ("from inside", "renames", ""),
        ("over a file of ours", "exchange", ""),
        ("over a file of ours", "renames", "force"),
        ("by a new file moved over ours", "exchange", ""),
        ("by a new file moved over ours", "renames", ""),
    ],
)
def test_what_is_saved_at_any_moment_is_there_afterwards(
    how: str, exchange: str, force: str, tmp_path: Path
) -> None:
    template = old(tmp_path / "template")
    copytree(template, tmp_path / "whole")
    ((calls, _, end),) = runs(how, exchange, force, (tmp_path / "whole", 0))
    assert end == "made"
    assert calls > 15

    jobs = [(tmp_path / str(moment), moment) for moment in range(1, calls + 1)]
    for out, _ in jobs:
        copytree(template, out)
    ends, survived = set(), []
    for (out, moment), (_, was_saved, end) in zip(jobs, runs(how, exchange, force, *jobs), strict=True):
        pack = out / "lantern"
        ends.add(end.partition(":")[0])
        texts = {path.relative_to(pack).as_posix(): path.read_text() for path in pack.rglob("*.mid")}
        if was_saved:
            survived.append(any(text.startswith("the student's") for text in texts.values()))
            assert survived[-1] or force, (moment, end, texts)
        ours = {text.partition(" ")[0] for text in texts.values() if not text.startswith("the")}
        assert ours <= ({"new"} if end == "made" else {"old"}), (moment, end, texts)
        assert [path.name for path in out.iterdir()] == ["lantern"], (moment, end)
    # Force deletes what stood there as the run began, and nothing that came after it had looked.
    assert survived == sorted(survived)
    assert sum(survived) > len(survived) / 2
    assert ends <= {"made", "RequestError", "WriteError"}
    assert "made" in ends
    assert "RequestError" in ends


def test_a_run_tells_what_was_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    old(tmp_path)
    real = folder._move

    def move(out: Path, name: str, replacing: bool) -> None:
        (out / name / "take.mid").write_text("the student's")
        real(out, name, replacing)

    monkeypatch.setattr(folder, "_move", move)
    report = write_pack(tmp_path, "lantern", [PackFile("C/C_0.mid", b"new", {})], {"name": "new"})

    assert report.kept == ("take.mid",)
    assert (tmp_path / "lantern" / "take.mid").read_text() == "the student's"


def test_what_came_while_the_pack_was_made_is_named_even_where_force_was_given(tmp_path: Path) -> None:
    old(tmp_path)

    def files() -> list[PackFile]:
        (tmp_path / "lantern" / "take.mid").write_text("the student's")
        return [PackFile("C/C_0.mid", b"new", {})]

    lazily = (file for make in (files,) for file in make())
    with pytest.raises(RequestError, match=r"somebody saved 'take.mid' there.*make the pack again"):
        write_pack(tmp_path, "lantern", lazily, {"name": "new"}, force=True)
    assert (tmp_path / "lantern" / "C" / "C_1.mid").read_text() == "old C 1"


def test_a_leftover_keeps_what_somebody_saved_and_goes(tmp_path: Path) -> None:
    old(tmp_path)
    copytree(tmp_path / "lantern", tmp_path / ".lantern.rungwise-new")
    (tmp_path / ".lantern.rungwise-new" / "take.mid").write_text("the student's")

    with pytest.raises(RequestError, match=r"holds what we did not write as it is now: 'take.mid'"):
        old(tmp_path)

    assert {path.name for path in tmp_path.iterdir()} == {"lantern"}
    assert (tmp_path / "lantern" / "take.mid").read_text() == "the student's"


def test_a_leftover_that_cannot_go_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    old(tmp_path)
    (tmp_path / ".harbor.rungwise-new").mkdir()

    def refuse(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(folder, "clear", refuse)
    with pytest.raises(WriteError, match=r"\.harbor\.rungwise-new is left .*Permission denied; delete it"):
        old(tmp_path)
