"""One writer at a time: a run holds the folder it writes into, and a killed run lets go of it.

Conventions
- Where folders can be opened, the folder itself is locked and nothing is left in it. On Windows a hidden file
  in it is, which the system deletes with its last holder.
- A second writer is refused at once, as a first may take many minutes; only runs that know of each other
  wait in turn.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tracks.pack.whole import WriteError

LOCK_FILE = ".rungwise.lock"


@contextmanager
def held(folder: Path, wait: bool = False) -> Iterator[None]:
    """Hold a folder while the work goes on; raise WriteError where another run does, or wait for its end.

    A file system that cannot lock (some networks' cannot) is written into all the same.
    """
    from filelock import lock_descriptor

    try:
        handle = _opened(folder)
    except PermissionError:
        if os.name != "nt":
            raise
        raise _busy(folder) from None
    try:
        try:
            locked = lock_descriptor(handle, blocking=wait)
        except OSError:
            locked = True
        if not locked:
            raise _busy(folder)
        yield
    finally:
        os.close(handle)


def _opened(folder: Path) -> int:
    if os.name == "nt":
        flags = os.O_RDWR | os.O_CREAT | getattr(os, "O_TEMPORARY", 0)
        return os.open(folder / LOCK_FILE, flags)
    return os.open(folder, os.O_RDONLY)


def _busy(folder: Path) -> WriteError:
    return WriteError(
        f"another run is writing into {folder}; wait until it is done, or write elsewhere with --out"
    )
