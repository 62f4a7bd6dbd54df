"""The folder written for a drill: whole or not at all, with its manifest.

Conventions
- A pack is `out/<name>/`, its files and `manifest.json`: the drill, and a row for every file with its path
  (relative, `/` between parts), what its maker says of it, its size and its SHA-256. No time, no user, no
  place on a disk: the same drill gives the same folder.
- It is written into a hidden folder beside its place and moved there in one step. Where the system can
  exchange two folders at once, no moment lacks an earlier pack; elsewhere the next run puts it back.
- Packs that are asked for together are all written before the first is moved.
- One run at a time writes into `out` (`tracks.pack.lock`). So whatever hidden folder of ours a run finds is a
  leftover of a killed one, and it clears it.
- What stands in the place is looked at before the work and again before the move, and nothing is deleted that
  was not looked at (`tracks.pack.standing`).

A run that is killed leaves a whole pack, old or new. Against a power failure the system's own habits hold:
nothing is forced onto the disk, which would cost more than all the rest.
"""

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple, TypeAlias

from tracks.pack.lock import held
from tracks.pack.standing import MANIFEST, Standing, clear, look, look_again, ours_in
from tracks.pack.whole import NEW, OLD, WriteError, make_folder, write_file
from tracks.theory.errors import RequestError, read
from tracks.theory.names import check_portable

_AT_WORKING_FOLDER, _EXCHANGE = -100, 2


class PackFile(NamedTuple):
    """A file of a pack: its relative path, its bytes, and what the manifest says of it besides."""

    path: str
    content: bytes
    about: Mapping[str, object]


NO_RUNG: Mapping[str, object] = {"key": None, "mix": None, "bpm": None}
"""What the manifest says of a file that is no rung of a ladder; `key` may be told all the same."""

Files: TypeAlias = Iterable[PackFile | tuple[str, bytes, Mapping[str, object]]]


class Pack(NamedTuple):
    """A pack to be written: its folder's name, its files, and the drill as its manifest records it."""

    name: str
    files: Files
    drill: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class PackReport:
    """What was written, the manifest not counted; `replaced` tells whether a pack stood there before.

    `kept` are files that somebody saved into the old pack as it was replaced; they lie in the new one. `left`
    is where the old pack lies that could not be deleted.
    """

    folder: Path
    files: int
    size: int
    replaced: bool
    kept: tuple[str, ...] = ()
    left: Path | None = None

    @property
    def record(self) -> dict[str, object]:
        """What `--json` prints of it."""
        return {
            "folder": self.folder.as_posix(),
            "files": self.files,
            "bytes": self.size,
            "replaced": self.replaced,
        }

    @property
    def remarks(self) -> tuple[str, ...]:
        """What is to be told of the files that were kept, and of what is left."""
        kept = tuple(
            f"{path} was saved into {self.folder} while the pack was replaced, and is kept there"
            for path in self.kept
        )
        if not self.left:
            return kept
        return (*kept, f"the earlier pack lies in {self.left} and cannot be deleted; delete it yourself")


def write_pack(
    out: Path, name: str, files: Files, drill: Mapping[str, object], force: bool = False
) -> PackReport:
    """Write the pack `name` into the folder `out`, replacing an earlier one whole; see `write_packs`."""
    (report,) = write_packs(out, (Pack(name, files, drill),), force)
    return report


def write_packs(out: Path, packs: Sequence[Pack], force: bool = False) -> tuple[PackReport, ...]:
    """Write packs into the folder `out`, all of them or none, replacing earlier ones whole.

    The files are taken one at a time, so a pack of any size needs little memory. Raises RequestError, before
    any file is asked for, where something that is not ours stands in the way (with `force` only a file or a
    link in the folder's own place does), or later where it came while the files were made, and WriteError
    where the system refuses; then all is as it was.
    """
    at = out
    try:
        with _made(out), held(out):
            clear_leftovers(out)
            stood = [look(out / pack.name, force) for pack in packs]
            with _staged(out, packs) as written:
                for pack in packs:
                    at = out / pack.name
                    written.append(_write(out / f".{pack.name}{NEW}", pack))
                return _moved_in(out, packs, stood, written)
    except OSError as error:
        raise WriteError(f"cannot write the pack {at}: {error.strerror or error}") from error


@contextmanager
def _made(out: Path) -> Iterator[None]:
    """Make the folder; where the work fails, folders that were made for it go again."""
    for part in out.parts:
        read("out", check_portable, part)
    for folder in (out, *out.parents):
        if folder.exists() and not folder.is_dir():
            raise RequestError(
                f"{folder} is a file where a folder should be", "move it or choose another place"
            )
    made = make_folder(out)
    try:
        yield
    except BaseException:
        for folder in reversed(made):
            with suppress(OSError):
                folder.rmdir()
        raise


@contextmanager
def _staged(out: Path, packs: Sequence[Pack]) -> Iterator[list["_Written"]]:
    """Hold what is written until it is moved; where the work fails, what was not moved goes again."""
    try:
        yield []
    except BaseException:
        for pack in packs:
            new = out / f".{pack.name}{NEW}"
            if new.exists():
                clear(new, ours_in(new), out / pack.name)
        raise


def clear_leftovers(out: Path) -> None:
    """Delete what a killed run left in the folder, which must be held; a pack it had set aside is put back.

    Raises WriteError, naming it, for what cannot be deleted.
    """
    for path in sorted(path for path in out.iterdir() if path.name.startswith(".")):
        for ending in (OLD, NEW):
            if not path.name.endswith(ending):
                continue
            place = out / path.name[1 : -len(ending)]
            try:
                if ending == OLD and not place.exists():
                    path.rename(place)
                elif path.is_dir():
                    clear(path, ours_in(path), place)
                else:
                    path.unlink()
            except OSError as error:
                raise WriteError(
                    f"{path} is left from a run that was stopped, and cannot be deleted: "
                    f"{error.strerror or error}; delete it yourself"
                ) from error


# Writing.


class _Written(NamedTuple):
    """A pack that lies beside its place: how many files, and how large."""

    files: int
    size: int


def _write(new: Path, pack: Pack) -> _Written:
    """Write the files and the manifest into a new folder."""
    from hashlib import sha256

    new.mkdir()
    base, made, size = f"{new}/", {""}, 0
    rows: list[dict[str, object]] = []
    for path, content, about in pack.files:
        folder = path.rpartition("/")[0]
        if folder not in made:
            if path.startswith("/") or ".." in path.split("/"):
                raise ValueError(f"{path!r} leads out of the pack")
            (new / folder).mkdir(parents=True, exist_ok=True)
            made.add(folder)
        write_file(base + path, content)
        size += len(content)
        rows.append({"path": path, **about, "bytes": len(content), "sha256": sha256(content).hexdigest()})
        del content  # a long sound is let go of before the next is made
    write_file(base + MANIFEST, _manifest(pack.drill, rows))
    return _Written(len(rows), size)


def _manifest(drill: Mapping[str, object], rows: list[dict[str, object]]) -> bytes:
    """Return the manifest, a line for every file."""
    from json import dumps

    # One call for all rows is much the fastest. A quote inside a JSON string is escaped, so what is replaced
    # here stands between rows only.
    lines = dumps(rows).replace('}, {"path"', '},\n{"path"')
    return f'{{"drill": {dumps(drill)},\n"files": {lines}}}\n'.encode("ascii")


# Moving into place.


def _moved_in(
    out: Path, packs: Sequence[Pack], stood: Sequence[Standing | None], written: Sequence[_Written]
) -> tuple[PackReport, ...]:
    """Put the packs in their places and clear the earlier ones; where one cannot be put, none is."""
    stood = [look_again(out / pack.name, before) for pack, before in zip(packs, stood, strict=True)]
    moved: list[str] = []
    try:
        for pack, earlier in zip(packs, stood, strict=True):
            _move(out, pack.name, replacing=earlier is not None)
            moved.append(pack.name)
    except BaseException:
        for name, earlier in reversed(list(zip(moved, stood, strict=False))):
            _move_out(out, name, replaced=earlier is not None)
        raise
    reports = []
    for pack, earlier, what in zip(packs, stood, written, strict=True):
        folder, old = out / pack.name, out / f".{pack.name}{NEW}"
        kept, left = tuple[str, ...](), None
        if earlier:
            try:
                kept = clear(old, earlier, folder)
            except OSError:  # the new one stands all the same
                left = old
        reports.append(PackReport(folder, what.files, what.size, earlier is not None, kept, left))
    return tuple(reports)


def _move(out: Path, name: str, replacing: bool) -> None:
    """Put the new pack in its place, and the one that stood there where the new one lay."""
    new, target, old = out / f".{name}{NEW}", out / name, out / f".{name}{OLD}"
    if not replacing:
        new.rename(target)
    elif not _exchanged(new, target):
        target.rename(old)
        try:
            new.rename(target)
        except BaseException:
            if target.exists():  # somebody made a folder there, and saved into it
                clear(target, Standing({}), old)
            old.rename(target)
            raise
        old.rename(new)


def _move_out(out: Path, name: str, replaced: bool) -> None:
    """Undo `_move`."""
    if replaced:
        _move(out, name, replacing=True)
    else:
        (out / name).rename(out / f".{name}{NEW}")


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
