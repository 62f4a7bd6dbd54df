"""Files of music: which ones we read, and the reader of each."""

from pathlib import Path
from stat import S_ISREG
from typing import TYPE_CHECKING

from tracks.extras import need
from tracks.theory.errors import RequestError

if TYPE_CHECKING:
    from tracks.progression.lead_sheet import LeadSheet

ROMANTEXT = (".rntxt", ".rntext", ".romantext")
MUSICXML = (".musicxml", ".mxl", ".xml")
MOST_BYTES = 32_000_000


def names_a_file(text: str) -> bool:
    """Return whether a progression argument is the path of a file that we read, by its ending."""
    return "\n" not in text and text.strip().lower().endswith((*ROMANTEXT, *MUSICXML))


def read_file(path: Path) -> "LeadSheet":
    """Return the lead sheet of a file.

    Raises RequestError, naming file and line or measure, where it cannot.
    """
    content = _content(path)
    try:
        if path.suffix.lower() in MUSICXML:
            from tracks.progression.musicxml import read_musicxml

            need("musicxml")
            return read_musicxml(content, is_zipped=path.suffix.lower() == ".mxl")
        from tracks.progression.romantext import parse_romantext

        return parse_romantext(_decoded(content))
    except RequestError as fault:
        raise fault.at(path.name) from fault


def _content(path: Path) -> bytes:
    """Return a file's bytes; raise RequestError where it has none, or no end (a pipe, a device)."""
    try:
        status = path.stat()
        is_plain, size = S_ISREG(status.st_mode), status.st_size
        content = path.read_bytes() if is_plain and size <= MOST_BYTES else b""
    except FileNotFoundError:
        raise RequestError(f"{path}: there is no such file we can read", "check the path") from None
    except PermissionError:
        raise RequestError(f"{path}: we may not read it", "give yourself permission to read it") from None
    except OSError as error:
        raise RequestError(f"{path}: it cannot be read ({error.strerror})", "check the path") from None
    except ValueError:
        raise RequestError(f"{path}: no path has such letters in it", "check it") from None
    if not is_plain:
        raise RequestError(f"{path}: this is no file with an end", "give the path of a file")
    if size > MOST_BYTES:
        said = f"{size / 1e6:,.0f} MB are more than the {MOST_BYTES / 1e6:.0f} MB we read"
        raise RequestError(f"{path}: {said}", "divide it")
    return content


def _decoded(content: bytes) -> str:
    """Return a text file's words; older ones are no UTF-8 and differ only in their notes and names."""
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        return content.decode("latin-1")
