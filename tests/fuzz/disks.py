"""A run that is killed, and a disk that is full: what stood stands, or the new stands whole.

A killed run is a process of its own that kills itself at one of its calls to the system, counted by Python's
audit events, so that no moment depends on a clock. A full disk is a small file system of its own where we
may mount one, else a limit on the length of files.

Sources: "Audit events table", Python library documentation; mount(2), unshare(2), setrlimit(2).
"""

import ctypes
import json
import os
import re
import signal
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from random import Random
from typing import NoReturn

from .ending import answer, check_words, states, unfinished
from .ground import lay

_MAKE = ["make", "I IV V7 I", "-k", "G", "--tempo", "60", "--name"]
_COMMANDS: tuple[list[str], ...] = (
    [*_MAKE, "lantern"],
    [*_MAKE, "fresh"],
    [*_MAKE, "lantern", "--start", "all"],
    [*_MAKE, "lantern", "--page"],
    [*_MAKE, "lantern", "--sheet", "--mix", "hands-together"],
    [*_MAKE, "lantern", "--audio", "flac", "--mix", "hands-together"],
    ["build", "lesson.toml"],
    ["build", "lesson.toml", "--zip"],
    ["build", "lesson.toml", "--jobs", "2"],
    ["term", "level.toml", "--weeks", "3"],
    ["term", "level.toml", "--weeks", "3", "--force"],
    ["exam", "level.toml", "--force"],
    ["new", "lesson.toml", "--force"],
    ["show", "I V", "--romantext", "page.rntxt"],
    ["show", "I V", "--sheet", "tune.musicxml", "--force"],
    ["quiz", "-n", "2"],
    ["quiz", "-n", "2", "--audio", "wav"],
    ["check", "take.mid", "--drill", "out/lantern", "--report", "notes.pdf"],
    ["check", "take.mid", "--drill", "out/lantern", "--picture", "notes.svg"],
    [
        "check",
        "take.mid",
        "--drill",
        "out/lantern",
        "--progress",
        ".",
        "--student",
        "Wren",
        "--date",
        "2026-03-20",
    ],
)
"""What is killed, or runs out of room: every command that writes, over what stands and where nothing does."""


def kill(rng: Random) -> bytes:
    """Return which command is killed, and how far on its way, as JSON."""
    return json.dumps([rng.randrange(len(_COMMANDS)), round(rng.random(), 4)]).encode()


def try_kill(content: bytes, folder: Path) -> None:
    """Kill a command on its way; then run it again, which must do all of it and leave nothing over."""
    which, how_far = json.loads(content)
    words = _COMMANDS[which % len(_COMMANDS)]
    whole, torn = folder / "whole", folder / "torn"
    lay(whole)
    lay(torn)
    before = states(whole)
    calls = _whole_run(words, whole)
    after = states(whole)

    fatal = 1 + int(how_far * calls)
    status, said = _in_child(lambda: str(_run(words, torn, fatal)))
    assert os.WIFSIGNALED(status) or said.isdecimal(), said  # it may end with a call or two less than before
    _check_standing(torn, before, after)

    _whole_run([*words, *(["--force"] if _refuses_what_stands(words, torn, before) else [])], torn)
    left = states(torn)
    assert left == after, sorted(path for path in {*left, *after} if left.get(path) != after.get(path))


def _refuses_what_stands(words: Sequence[str], folder: Path, before: dict[str, bytes]) -> bool:
    """Whether a command that asks before it writes over had written when it was killed."""
    asks = words[0] in ("term", "show") and "--force" not in words
    return asks and set(states(folder)) > set(before)


def _whole_run(words: Sequence[str], folder: Path) -> int:
    """Run a command whole; return how many calls to the system it makes."""
    status, said = _in_child(lambda: str(_run(words, folder)))
    assert said.isdecimal(), f"{words} ended with {status}: {said}"
    return int(said)


def _run(words: Sequence[str], folder: Path, fatal: int = 0) -> int:
    """Run a command, which kills itself at the call numbered `fatal`; return how many it made."""
    calls = 0

    def count(event: str, _: object) -> None:
        nonlocal calls
        if event == "open" or event.startswith(("os.", "shutil.", "ctypes.", "subprocess.")):
            calls += 1
            if calls == fatal:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(count)
    given = answer(words, folder)
    check_words(given)
    assert given.code == 0, given.err
    return calls


def _in_child(work: Callable[[], str]) -> tuple[int, str]:
    """Do work in a forked process; return how it ended, as waitpid tells it, and what it or its fault says.

    Every run has a process of its own, for what one starts (players of sound) must not be another's.
    """
    read, write = os.pipe()
    child = os.fork()
    if not child:
        _work(work, write)
    os.close(write)
    status = os.waitpid(child, 0)[1]
    with os.fdopen(read, "rb") as told:
        return status, told.read().decode("utf-8", "replace")


def _work(work: Callable[[], str], write: int) -> NoReturn:
    try:
        said = work()
    except BaseException as fault:
        said = f"{type(fault).__name__}: {fault}"
    os.write(write, said[:4000].encode("utf-8", "replace"))
    os._exit(0)


def _check_standing(folder: Path, before: dict[str, bytes], after: dict[str, bytes]) -> None:
    """Check that every file to be seen is the old one or the new one, and every pack all old or all new."""
    now = states(folder)
    hidden = set(unfinished(now)) | {
        path for path in now if any(part.startswith(".") for part in path.split("/"))
    }
    seen = {path: content for path, content in now.items() if path not in hidden}
    for path, content in seen.items():
        assert content in (before.get(path), after.get(path)), f"{path} is neither the old nor the new"
    assert set(seen) >= set(before) & set(after), f"lost: {set(before) & set(after) - set(seen)}"
    for pack in {path.rpartition("/")[0] for path in (*before, *after) if path.endswith("manifest.json")}:
        ways = [_under(pack, files) for files in (before, after)]
        assert _under(pack, seen) in (*ways, {}), f"{pack} is a mixture"
        assert _under(pack, seen) or not ways[0], f"{pack} is gone"


def _under(pack: str, files: dict[str, bytes]) -> dict[str, bytes]:
    return {path: content for path, content in files.items() if path.startswith(f"{pack}/")}


# Full disks.

_NEW_NAMESPACE, _RECURSIVE, _PRIVATE = 0x00020000, 0x4000, 1 << 18


def full_disk(rng: Random) -> bytes:
    """Return which command finds how many bytes of room, and what stands in its way, as JSON."""
    room = rng.choice((0, rng.randrange(4096), rng.randrange(40_000)))
    return json.dumps([rng.randrange(len(_COMMANDS)), room, rng.choice(("disk", "length"))]).encode()


def try_full_disk(content: bytes, folder: Path) -> None:
    """Run a command on a disk that has hardly any room: all of it or nothing, and one line."""
    which, room, way = json.loads(content)
    words = _COMMANDS[which % len(_COMMANDS)]
    own_disk = way == "disk" and hasattr(os, "geteuid") and os.geteuid() == 0
    run_there = _on_small_disk if own_disk else _under_a_limit
    _, told = _in_child(lambda: run_there(words, folder, room))
    assert not told, f"{words}: {told}"


def _on_small_disk(words: Sequence[str], folder: Path, room: int) -> str:
    """Mount a small file system that only this process sees, fill it but for some room, and run there."""
    libc = ctypes.CDLL(None, use_errno=True)
    _called(libc.unshare(_NEW_NAMESPACE))
    _called(libc.mount(None, b"/", None, _RECURSIVE | _PRIVATE, None))
    _called(libc.mount(b"none", bytes(folder), b"tmpfs", 0, b"size=1m"))
    desk = folder / "desk"
    lay(desk)
    status = os.statvfs(folder)
    (folder / "filler").write_bytes(bytes(max(0, status.f_bavail * status.f_frsize - room)))
    _all_or_nothing(words, desk, "No space left on device")
    return ""


def _called(result: int) -> None:
    if result:
        raise OSError(ctypes.get_errno(), os.strerror(ctypes.get_errno()))


def _under_a_limit(words: Sequence[str], folder: Path, room: int) -> str:
    import resource

    desk = folder / "desk"
    lay(desk)
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)  # as Python has it where it starts
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))
    _all_or_nothing(words, desk, "File too large")
    return ""


_MADE = re.compile(r"^  made +(.+): (?:new|.*), \d+ files$", re.M)


def _all_or_nothing(words: Sequence[str], desk: Path, told: str) -> None:
    """Run a command that fails for want of room; a build keeps whole packs, which it names."""
    before = states(desk)
    given = answer(words, desk)
    check_words(given)
    if given.code:
        assert given.code == 1, given.err
        assert told in given.err, given.err
        assert given.err.startswith("rungwise: "), given.err
        assert given.err.count("\n") == 1, given.err
        after = states(desk)
        whole = tuple(f"{named}/" for named in _MADE.findall(given.out))
        changed = sorted(
            path
            for path in {*before, *after}
            if before.get(path) != after.get(path) and not path.startswith(whole) and "/." not in path
        )
        assert not changed, f"changed: {changed}; {given.err}"
