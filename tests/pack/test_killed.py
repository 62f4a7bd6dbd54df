"""A pack killed at any moment: the old one stands or the new one, never a mixture.

The writer's process kills itself at its n-th call to the system, as Python's audit events count them, so that
every moment can be met and none depends on a clock.

Source of the events: "Audit events table", Python library documentation.
"""

import json
import subprocess
import sys
from hashlib import sha256
from pathlib import Path
from shutil import copytree

import pytest

WRITER = """
import ctypes, hashlib, json, os, shutil, signal, sys
from pathlib import Path
from tracks.pack.folder import PackFile, write_pack

calls = 0

def write(out, text, fatal):
    def count(event, arguments):
        global calls
        if event == "open" or event.startswith(("os.", "shutil.", "ctypes.")):
            calls += 1
            if calls == fatal:
                os.kill(os.getpid(), signal.SIGKILL)

    files = [
        PackFile(f"{key}/{key}_{n}.mid", f"{text} {key} {n}".encode(), {"n": n})
        for key in "CG" for n in range(3)
    ]
    sys.addaudithook(count)
    write_pack(Path(out), "lantern", files, {"name": text})
    print(calls, flush=True)
    os._exit(0)

for place, text, fatal in zip(*[iter(sys.argv[1:])] * 3):
    child = os.fork()
    if not child:
        write(place, text, int(fatal))
    _, status = os.waitpid(child, 0)
    if int(fatal) and not (os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL):
        sys.exit(f"{place} was not killed")
"""


def write(*jobs: tuple[Path, str, int]) -> int:
    """Write packs, each in a process of its own that kills itself at a call; return what calls one took."""
    arguments = [str(word) for job in jobs for word in job]
    done = subprocess.run(
        [sys.executable, "-c", WRITER, *arguments], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return int(done.stdout.split()[-1]) if done.stdout else 0


def standing(out: Path) -> str | None:
    """Return the name of the pack that stands whole, None for no folder; fail for anything between."""
    folder = out / "lantern"
    if not folder.exists():
        return None
    manifest = json.loads((folder / "manifest.json").read_bytes())
    there = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*") if path.is_file()}
    assert set(there) == {"manifest.json", *(row["path"] for row in manifest["files"])}
    for row in manifest["files"]:
        assert sha256(there[row["path"]].read_bytes()).hexdigest() == row["sha256"]
    assert len(manifest["files"]) == 6
    return str(manifest["drill"]["name"])


@pytest.fixture(scope="module")
def old(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("old")
    write((out, "old", 0))
    return out


def test_a_pack_killed_at_any_call_leaves_the_old_or_the_new(old: Path, tmp_path: Path) -> None:
    copytree(old, tmp_path / "whole")
    calls = write((tmp_path / "whole", "new", 0))
    assert calls > 15

    places = {fatal: tmp_path / f"killed-{fatal}" for fatal in range(1, calls + 1)}
    for out in places.values():
        copytree(old, out)
    write(*((out, "new", fatal) for fatal, out in places.items()))

    seen = [standing(out) for out in places.values()]
    assert set(seen) == {"old", "new"}
    assert "old" not in seen[seen.index("new") :], "once the new pack stands, it stays"

    write(*((out, "newer", 0) for out in places.values()))
    assert {standing(out) for out in places.values()} == {"newer"}
    assert {path.name for out in places.values() for path in out.iterdir()} == {"lantern"}


def test_a_first_pack_killed_at_any_call_is_there_whole_or_not_at_all(tmp_path: Path) -> None:
    calls = write((tmp_path / "whole", "new", 0))

    places = {fatal: tmp_path / f"killed-{fatal}" for fatal in range(1, calls + 1)}
    write(*((out, "new", fatal) for fatal, out in places.items()))

    assert {standing(out) for out in places.values()} <= {None, "new"}
