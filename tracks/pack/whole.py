"""Files written whole or not at all, one or a set: what stands there stays until all the new is on the disk.

Conventions
- Each file is written under a hidden name beside its place; only when all are, they move in. Where one cannot
  be moved, those that have are put back.
- What stands in a file's place is replaced only with `force`, and never where it is what the command reads
  from. A link is never written through.
"""

import os
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from tracks.theory.errors import RequestError

NEW, OLD = ".rungwise-new", ".rungwise-old"
"""Endings of hidden names: of what is not moved in yet, and of what stood in its place."""
_NEW_FILE = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)


class WriteError(RuntimeError):
    """The system refused to write; the message is one line that names the file or the pack."""


def check_writable(places: Sequence[Path], force: bool = False, sources: Sequence[Path] = ()) -> None:
    """Raise RequestError where a file must not be written: it is there already, or is one of the sources."""
    for place in places:
        if any(_same(place, source) for source in sources):
            raise RequestError(f"{place} is what this is made from", "choose another file")
        if place.is_symlink() or place.is_dir():
            raise RequestError(f"{place} is a folder or a link", "choose another file")
        if place.exists() and not force:
            raise RequestError(f"{place} is there already", "choose another, or add --force to write over it")
        for above in place.parents:
            if above.exists() and not above.is_dir():
                raise RequestError(f"{above} is a file where a folder should be", "choose another place")


def write_whole(
    files: Mapping[Path, bytes], force: bool = False, sources: Sequence[Path] = ()
) -> tuple[Path, ...]:
    """Write all of the files, making their folders, or none; return their places.

    Raises RequestError as `check_writable` does, and WriteError, naming the file, where the system refuses;
    then all is as it was.
    """
    check_writable(tuple(files), force, sources)
    at, made = next(iter(files), Path()), []
    try:
        for at, content in files.items():
            made += make_folder(at.parent)
            _beside(at, NEW).unlink(missing_ok=True)  # what a killed run left
            write_file(str(_beside(at, NEW)), content)
        _move_in(files)
    except BaseException as error:
        for place in files:
            _forget(_beside(place, NEW))
        for folder in reversed(made):
            with suppress(OSError):
                folder.rmdir()
        if isinstance(error, OSError):
            raise WriteError(f"cannot write {at}: {error.strerror or error}") from error
        raise
    return tuple(files)


def make_folder(folder: Path) -> list[Path]:
    """Make a folder and those above it; return those that are new, the outermost first."""
    missing = [each for each in (folder, *folder.parents) if not each.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    return missing[::-1]


def write_file(path: str, content: bytes) -> None:
    """Write a new file with as few calls to the system as it takes; a full disk may take a part at a time."""
    handle = os.open(path, _NEW_FILE, 0o666)
    try:
        written = os.write(handle, content)
        while written < len(content):
            written += os.write(handle, content[written:])
    finally:
        os.close(handle)


def _move_in(places: Iterable[Path]) -> None:
    """Put every new file in its place; where one cannot be put there, those before it go out again."""
    moved: list[tuple[Path, Path | None]] = []
    try:
        for place in places:
            moved.append((place, _kept(place)))
            _beside(place, NEW).replace(place)
    except BaseException:
        for place, old in reversed(moved):
            if old:
                old.replace(place)
            else:
                place.unlink(missing_ok=True)
        raise
    finally:
        for _, old in moved:
            if old:
                _forget(old)


def _kept(place: Path) -> Path | None:
    """Return a second name for the file that stands in a place, None where there is none."""
    if not place.exists():
        return None
    old = _beside(place, OLD)
    old.unlink(missing_ok=True)
    try:
        os.link(place, old)
    except OSError:  # some file systems give a file one name only
        from shutil import copy2

        copy2(place, old)
    return old


def _forget(path: Path) -> None:
    with suppress(OSError):
        path.unlink()


def _beside(place: Path, ending: str) -> Path:
    return place.with_name(f".{place.name}{ending}")


def _same(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return False
