"""Reading a file that somebody named: all of it, if it has an end.

A pipe or a device may never end, so nothing but a plain file is opened; and a path, which may come from
a file itself, may be none at all. Whoever reads says what is the fix.
"""

import os
from collections.abc import Iterator
from pathlib import Path
from stat import S_ISREG
from typing import NoReturn

from tracks.theory.errors import RequestError

MOST_BYTES = 32_000_000


def read_plain(path: Path, fix: str = "check the path", most: int = MOST_BYTES) -> bytes:
    """Return a file's bytes.

    Raises RequestError, naming the path, where there is no such file, we may not read it, it is no plain
    file, or it has more than `most` bytes.
    """
    try:
        status = path.stat()
        is_plain, size = S_ISREG(status.st_mode), status.st_size
        if is_plain and size <= most:
            return path.read_bytes()
    except FileNotFoundError:
        raise RequestError(f"{path}: there is no such file we can read", fix) from None
    except PermissionError:
        _forbidden(path)
    except OSError as error:
        raise RequestError(f"{path} cannot be read: {error.strerror}", fix) from None
    except ValueError:
        raise RequestError(f"{path}: no path has such letters in it", fix) from None
    if not is_plain:
        raise RequestError(f"{path}: this is no file with an end", fix)
    said = f"{size / 1e6:,.0f} MB are more than the {most / 1e6:.0f} MB we read"
    raise RequestError(f"{path}: {said}", "divide it")


def files_in(folder: Path, ending: str) -> Iterator[Path]:
    """Yield the files of a folder, and of those in it, whose names end so; what is hidden is passed over.

    Raises RequestError, naming it, where we may not read a folder.
    """

    def refuse(error: OSError) -> NoReturn:
        _forbidden(Path(error.filename))

    for above, folders, names in os.walk(folder, onerror=refuse):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        yield from (
            Path(above, name) for name in sorted(names) if name.endswith(ending) and not name.startswith(".")
        )


def _forbidden(path: Path) -> NoReturn:
    raise RequestError(f"{path}: we may not read it", "give yourself permission to read it") from None
