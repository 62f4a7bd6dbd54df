"""Files of music: which ones we read, and the reader of each."""

from pathlib import Path
from typing import TYPE_CHECKING

from tracks.extras import need
from tracks.theory.errors import RequestError

if TYPE_CHECKING:
    from tracks.progression.lead_sheet import LeadSheet

ROMANTEXT = (".rntxt", ".rntext", ".romantext")
MUSICXML = (".musicxml", ".mxl", ".xml")


def names_a_file(text: str) -> bool:
    """Return whether a progression argument is the path of a file that we read, by its ending."""
    return "\n" not in text and text.strip().lower().endswith((*ROMANTEXT, *MUSICXML))


def read_file(path: Path) -> "LeadSheet":
    """Return the lead sheet of a file.

    Raises RequestError, naming file and line or measure, where it cannot.
    """
    try:
        if path.suffix.lower() in MUSICXML:
            from tracks.progression.musicxml import read_musicxml

            if not path.is_file():
                raise FileNotFoundError
            need("musicxml", "reading MusicXML")
            sheet = read_musicxml(path)
        else:
            from tracks.progression.romantext import parse_romantext

            sheet = parse_romantext(_decoded(path.read_bytes()))
    except OSError:
        raise RequestError(f"{path}: there is no such file we can read; check the path") from None
    except RequestError as fault:
        raise RequestError(f"{path.name}: {fault}") from fault
    return sheet


def _decoded(content: bytes) -> str:
    """Return a text file's words; older ones are no UTF-8 and differ only in their notes and names."""
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        return content.decode("latin-1")
