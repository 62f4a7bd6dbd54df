"""What stands in a pack's place: what of it is ours and may go, and what is somebody's work and stays.

Conventions
- A file is ours where the pack's manifest lists it, byte for byte. That is read once, before the work; from
  then on a file counts as unchanged while its identity is: its number on the disk, its size and its times.
- With force, what stood there when the run began may go as well; what comes later may not.
- Whoever saves into the folder while the old pack goes out and the new one comes in finds the file in the new
  one: nothing is deleted but what was looked at.
"""

import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from stat import S_ISREG
from time import time_ns
from typing import Any, TypeAlias

from tracks.drill.drill import Drill
from tracks.drill.record import drill_from_record
from tracks.theory.errors import RequestError

MANIFEST = "manifest.json"

Identity: TypeAlias = tuple[int, int, int, int, int]
"""A file's kind, its number on the disk, its size, and when its content and its entry last changed."""

_MOST_NAMED = 3
_ATTEMPTS = 5
_READ = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0)
_READ_AT_ONCE = 1 << 20
_CLOCK_STEP_NS = 20_000_000
"""A file system's clock may stand still for some milliseconds: what changed so lately is known by content."""


@dataclass(frozen=True, slots=True)
class Standing:
    """The files of a folder that may go, by relative path, each as it was when it was looked at.

    A file is known by its identity, or by its SHA-256 where it had changed only a moment before.
    """

    may_go: Mapping[str, Identity | str]


def look(target: Path, force: bool = False) -> Standing | None:
    """Return what stands in a pack's place, None where nothing does.

    Raises RequestError where it must stay: a file, a link, or a folder with files that are not ours as they
    are, unless forced.
    """
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        raise RequestError(
            f"{target} is a file or a link where the pack's folder should be", "move it or give another name"
        )
    if not target.exists():
        return None
    found = dict(_files_under(target))
    may_go = found if force else _ours(target, found)
    unlisted = found.keys() - may_go.keys()
    if unlisted:
        raise RequestError(
            f"{target} holds what we did not write as it is now: {_named(unlisted)}",
            "move it away, or use --force to delete it",
        )
    return Standing(may_go)


def check_same_drill(target: Path, drill: Drill) -> None:
    """Raise RequestError where the pack of another drill stands in a place that nobody chose by name."""
    try:
        recorded = _manifest(target / MANIFEST)["drill"]
    except (OSError, ValueError, TypeError, KeyError, RecursionError):
        return  # what is no pack of ours is looked at by `look`
    try:
        is_same = drill_from_record(recorded) == drill
    except (ValueError, TypeError, AttributeError):
        is_same = False
    if not is_same:
        raise RequestError(
            f"{target} holds the pack of another drill", "give this one a --name, or --force to replace it"
        )


def look_again(target: Path, before: Standing | None) -> Standing | None:
    """Return what stands there now; raise RequestError where something came since it was looked at.

    What only moved in time and is still ours, byte for byte, may go all the same.
    """
    if before is None or not target.is_dir() or target.is_symlink():
        return look(target)
    found = dict(_files_under(target))
    changed = {path: now for path, now in found.items() if before.may_go.get(path) != now}
    ours = _ours(target, changed) if changed else {}
    came = changed.keys() - ours.keys()
    if came:
        raise RequestError(
            f"{target}: while the new pack was made, somebody saved {_named(came)} there; all is as it was",
            "move it away and make the pack again",
        )
    return Standing(found | ours)


def ours_in(folder: Path) -> Standing:
    """Return what of a folder may go without asking: all of it where no manifest was written yet."""
    found = dict(_files_under(folder))
    return Standing(_ours(folder, found) if MANIFEST in found else found)


def clear(folder: Path, standing: Standing, keep_in: Path) -> tuple[str, ...]:
    """Delete what may go of a folder, wherever it lies by now, and the folder; move what else is in it.

    Return the relative paths of what was moved, as they are in `keep_in`. Raises OSError where something can
    be neither deleted nor moved.
    """
    base, manifest = f"{folder}{os.sep}", standing.may_go.get(MANIFEST)
    for path, known in standing.may_go.items():
        if path != MANIFEST:
            _delete(base + path, known)
    kept: list[str] = []
    for _ in range(_ATTEMPTS):  # somebody may save one more file while we look
        kept += _rest_moved(folder, keep_in, MANIFEST if manifest else "")
        if manifest:  # it goes last: it tells what is ours, should we be killed on the way
            _delete(base + MANIFEST, manifest)
        with suppress(OSError):
            folder.rmdir()
        if not folder.exists():
            return tuple(kept)
        manifest = None
    folder.rmdir()
    return tuple(kept)


def _delete(path: str, known: Identity | str) -> None:
    """Delete a file if it is still what was looked at."""
    with suppress(FileNotFoundError):
        if _is_still(path, known):
            os.unlink(path)  # noqa: PTH108 - half of what a Path costs


def _rest_moved(folder: Path, keep_in: Path, but: str) -> Iterator[str]:
    """Delete the folders in a folder; yield the name of each file that is still in them, once it is moved."""
    for above, below, files in os.walk(folder, topdown=False):
        links = (name for name in below if Path(above, name).is_symlink())
        for path in (Path(above, name) for name in (*files, *links)):
            inside = path.relative_to(folder)
            if inside.as_posix() != but:
                place = _free(keep_in / inside)
                place.parent.mkdir(parents=True, exist_ok=True)
                path.rename(place)
                yield place.relative_to(keep_in).as_posix()
        if above != str(folder):
            with suppress(OSError):
                Path(above).rmdir()


def _free(place: Path) -> Path:
    """Return a place, or the first like it that is free: `tune.mid`, `tune.kept.mid`, `tune.kept-2.mid`."""
    found, number = place, 1
    while os.path.lexists(found):
        found = place.with_name(f"{place.stem}.kept{f'-{number}' if number > 1 else ''}{place.suffix}")
        number += 1
    return found


def _ours(folder: Path, found: Mapping[str, Identity]) -> dict[str, Identity | str]:
    """Return those of the files that the folder's manifest lists as they are."""
    digests = _listed(folder / MANIFEST)
    base, now = f"{folder}{os.sep}", time_ns()
    ours: dict[str, Identity | str] = {}
    for path, identity in found.items():
        if path not in digests or not S_ISREG(identity[0]):
            continue
        content = _digest(base + path, identity[2])
        if digests[path] in (None, content):
            ours[path] = identity if max(identity[3:]) < now - _CLOCK_STEP_NS else content
    return ours


def _listed(manifest: Path) -> dict[str, str | None]:
    """Return the SHA-256 of every path in a manifest of ours, and None for its own; of another, nothing."""
    try:
        content = _manifest(manifest)
        rows = content["files"] if "drill" in content else ()
        digests: dict[str, str | None] = {str(row["path"]): str(row["sha256"]) for row in rows}
    except (OSError, ValueError, TypeError, KeyError, RecursionError):
        return {}
    return digests | {MANIFEST: None} if digests else {}


def _manifest(path: Path) -> Any:
    import json

    return json.loads(path.read_bytes())


def _files_under(folder: Path | str, above: str = "") -> Iterator[tuple[str, Identity]]:
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                yield from _files_under(entry.path, f"{above}{entry.name}/")
            else:
                yield above + entry.name, _identity(entry.stat(follow_symlinks=False))


def _is_still(path: str, known: Identity | str) -> bool:
    return _digest(path) == known if isinstance(known, str) else _identity(os.lstat(path)) == known


def _identity(status: os.stat_result) -> Identity:
    return status.st_mode, status.st_ino, status.st_size, status.st_mtime_ns, status.st_ctime_ns


def _digest(path: str, size: int = _READ_AT_ONCE) -> str:
    """Return the SHA-256 of a regular file; its size spares memory where it is small."""
    from hashlib import sha256

    found, at_once = sha256(), min(size, _READ_AT_ONCE) + 1
    handle = os.open(path, _READ)
    try:
        while part := os.read(handle, at_once):
            found.update(part)
            if len(part) < at_once:
                break
    finally:
        os.close(handle)
    return found.hexdigest()


def _named(paths: Iterable[str]) -> str:
    every = sorted(paths)
    more = f" and {len(every) - _MOST_NAMED} more" if len(every) > _MOST_NAMED else ""
    return ", ".join(repr(path) for path in every[:_MOST_NAMED]) + more
