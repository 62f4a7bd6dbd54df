"""Files of music: which ones we read, and the reader of each."""

from pathlib import Path
from typing import TYPE_CHECKING

from tracks.extras import need
from tracks.plain_file import read_plain
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
    content = read_plain(path, "give the path of a file")
    try:
        if path.suffix.lower() in MUSICXML:
            from tracks.progression.musicxml import read_musicxml

            need("musicxml")
            return read_musicxml(content, is_zipped=path.suffix.lower() == ".mxl")
        from tracks.progression.romantext import parse_romantext

        return parse_romantext(_decoded(content))
    except RequestError as fault:
        raise fault.at(path.name) from fault


def _decoded(content: bytes) -> str:
    """Return a text file's words; older ones are no UTF-8 and differ only in their notes and names."""
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        return content.decode("latin-1")
