"""The folder written for a drill: whole or not at all, with its manifest.

Conventions
- A pack is `out/<name>/`, its files and `manifest.json`: the drill, and a row for every file with its path
  (relative, `/` between parts), what its maker says of it, its size and its SHA-256. No time, no user, no
  place on a disk: the same drill gives the same folder.
- It is written into a hidden folder beside its place and moved there in one step. Where the system can
  exchange two folders at once, no moment lacks an earlier pack; elsewhere the next run puts it back.
- One run at a time writes into `out`: it holds a lock on that folder, which a killed run lets go of; a second
  one is refused. So whatever hidden folder of ours a run finds is a leftover, and it clears it.
- A file that the pack's manifest does not list, byte for byte, is somebody's work and is not deleted
  unless forced.

A run that is killed leaves a whole pack, old or new. Against a power failure the system's own habits hold:
nothing is forced onto the disk, which would cost more than all the rest.
"""

import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from operator import itemgetter
from pathlib import Path
from typing import NamedTuple

from tracks.theory.errors import RequestError

MANIFEST = "manifest.json"

_NEW, _OLD = ".rungwise-new", ".rungwise-old"
_MOST_NAMED = 3
_NEW_FILE = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
_AT_WORKING_FOLDER, _EXCHANGE = -100, 2


class PackError(RuntimeError):
    """The system refused to write a pack; the message is one line."""


class PackFile(NamedTuple):
    """A file of a pack: its relative path, its bytes, and what the manifest says of it besides."""

    path: str
    content: bytes
    about: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class PackReport:
    """What was written, the manifest not counted; `replaced` tells whether a pack stood there before."""

    folder: Path
    files: int
    size: int
    replaced: bool


def write_pack(
    out: Path,
    name: str,
    files: Iterable[PackFile | tuple[str, bytes, Mapping[str, object]]],
    drill: Mapping[str, object],
    force: bool = False,
) -> PackReport:
    """Write the pack `name` into the folder `out`, replacing an earlier one whole.

    The files are taken one at a time, so a pack of any size needs little memory. Raises RequestError, before
    any file is asked for, where something that is not ours stands in the way (with `force` only a file or a
    link in the folder's own place does), and PackError where the system refuses; then all is as it was.
    """
    target = out / name
    try:
        with _locked(out):
            _clear_leftovers(out)
            replaced = _check_place(target, force)
            new = out / f".{name}{_NEW}"
            try:
                rows, size = _write_all(new, files)
                _write_manifest(new, drill, rows)
                _move_in(new, target, out / f".{name}{_OLD}")
            except BaseException:
                _delete(new)
                raise
    except OSError as error:
        raise PackError(f"cannot write the pack {target}: {error.strerror or error}") from error
    return PackReport(target, len(rows), size, replaced)


# One writer at a time, and what a killed one left.


@contextmanager
def _locked(out: Path) -> Iterator[None]:
    """Make the folder and hold it; where the work fails, folders that were made for it go again."""
    for folder in (out, *out.parents):
        if folder.exists() and not folder.is_dir():
            raise RequestError(
                f"{folder} is a file where a folder should be; move it or choose another place"
            )
    made = [folder for folder in (out, *out.parents) if not folder.exists()]
    out.mkdir(parents=True, exist_ok=True)
    lock = _lock(out)
    try:
        yield
    except BaseException:
        for folder in made:
            with suppress(OSError):
                folder.rmdir()
        raise
    finally:
        if lock is not None:
            os.close(lock)


def _lock(out: Path) -> int | None:
    """Take the folder's lock and return it, or None where the system has none to give.

    Raises PackError where another run holds it: a long one may hold it for many minutes.
    """
    try:
        import fcntl
    except ImportError:
        return None
    lock = os.open(out, os.O_RDONLY)
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        os.close(lock)
        raise PackError(
            f"another run is writing into {out}; wait until it is done, or write elsewhere with --out"
        ) from None
    except OSError:
        pass  # some network file systems cannot lock
    return lock


def _clear_leftovers(out: Path) -> None:
    for path in [path for path in out.iterdir() if path.name.startswith(".")]:
        if path.name.endswith(_OLD):
            place = out / path.name[1 : -len(_OLD)]
            if not place.exists():
                path.rename(place)
        if path.name.endswith((_NEW, _OLD)):
            _delete(path)


def _delete(folder: Path) -> None:
    from shutil import rmtree

    rmtree(folder, ignore_errors=True)


# What may be replaced.


def _check_place(target: Path, force: bool) -> bool:
    """Return whether a folder stands in the pack's place; raise RequestError where it must stay."""
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        raise RequestError(
            f"{target} is a file or a link where the pack's folder should be; move it or give another name"
        )
    if not target.exists():
        return False
    unlisted = [] if force else _unlisted(target)
    if unlisted:
        named = ", ".join(repr(path) for path in unlisted[:_MOST_NAMED])
        more = f" and {len(unlisted) - _MOST_NAMED} more" if len(unlisted) > _MOST_NAMED else ""
        raise RequestError(
            f"{target} holds what we did not write as it is now: {named}{more}; "
            "move it away, or use --force to delete it"
        )
    return True


def _unlisted(target: Path) -> list[str]:
    """Return the relative paths of files that the folder's manifest does not list as they are."""
    listed_digests = _listed(target / MANIFEST)
    return [
        path
        for path, entry in sorted(_files_under(target), key=itemgetter(0))
        if path not in listed_digests or listed_digests[path] not in (None, _digest(entry))
    ]


def _files_under(folder: Path, above: str = "") -> Iterator[tuple[str, "os.DirEntry[str]"]]:
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                yield from _files_under(Path(entry), f"{above}{entry.name}/")
            else:
                yield above + entry.name, entry


def _listed(manifest: Path) -> dict[str, str | None]:
    """Return the SHA-256 of every path in a manifest of ours, and None for its own; of another, nothing."""
    import json

    try:
        content = json.loads(manifest.read_bytes())
        rows = content["files"] if "drill" in content else ()
        digests: dict[str, str | None] = {str(row["path"]): str(row["sha256"]) for row in rows}
    except (OSError, ValueError, TypeError, KeyError, RecursionError):
        return {}
    return digests | {MANIFEST: None} if digests else {}


def _digest(entry: "os.DirEntry[str]") -> str:
    """Return a file's SHA-256; nothing for a link or another thing that is no file of ours."""
    from hashlib import sha256

    if not entry.is_file(follow_symlinks=False):
        return ""
    with Path(entry).open("rb", buffering=0) as opened:
        return sha256(opened.readall()).hexdigest()


# Writing.


def _write_all(
    new: Path, files: Iterable[PackFile | tuple[str, bytes, Mapping[str, object]]]
) -> tuple[list[dict[str, object]], int]:
    """Write the files and return their rows and their size in all."""
    from hashlib import sha256

    new.mkdir()
    base, made, rows, size = f"{new}/", {""}, [], 0
    for path, content, about in files:
        folder = path.rpartition("/")[0]
        if folder not in made:
            if path.startswith("/") or ".." in path.split("/"):
                raise ValueError(f"{path!r} leads out of the pack")
            (new / folder).mkdir(parents=True, exist_ok=True)
            made.add(folder)
        _write(base + path, content)
        size += len(content)
        rows.append({"path": path, **about, "bytes": len(content), "sha256": sha256(content).hexdigest()})
    return rows, size


def _write(path: str, content: bytes) -> None:
    """Write a new file with as few calls to the system as it takes; a full disk may take a part at a time."""
    handle = os.open(path, _NEW_FILE, 0o666)
    try:
        written = os.write(handle, content)
        while written < len(content):
            written += os.write(handle, content[written:])
    finally:
        os.close(handle)


def _write_manifest(new: Path, drill: Mapping[str, object], rows: list[dict[str, object]]) -> None:
    """Write the manifest, a line for every file."""
    from json import dumps

    # One call for all rows is much the fastest. A quote inside a JSON string is escaped, so what is replaced
    # here stands between rows only.
    lines = dumps(rows).replace('}, {"path"', '},\n{"path"')
    _write(f"{new}/{MANIFEST}", f'{{"drill": {dumps(drill)},\n"files": {lines}}}\n'.encode("ascii"))


# Moving into place.


def _move_in(new: Path, target: Path, old: Path) -> None:
    """Put the new folder in its place and delete the one that stood there."""
    if not target.exists():
        new.rename(target)
    elif _exchanged(new, target):
        _delete(new)
    else:
        target.rename(old)
        try:
            new.rename(target)
        except BaseException:
            old.rename(target)
            raise
        _delete(old)


def _exchanged(one: Path, other: Path) -> bool:
    """Exchange two folders in one step, as Linux can; return False where the system cannot."""
    import ctypes
    import errno

    try:
        rename = ctypes.CDLL(None, use_errno=True).renameat2
    except (OSError, AttributeError, TypeError):
        return False
    paths = _AT_WORKING_FOLDER, os.fsencode(one), _AT_WORKING_FOLDER, os.fsencode(other)
    if rename(*paths, _EXCHANGE) == 0:
        return True
    code = ctypes.get_errno()
    if code in (errno.ENOSYS, errno.EINVAL):
        return False
    raise OSError(code, os.strerror(code), str(other))
