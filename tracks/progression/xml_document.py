"""A MusicXML document out of a file's bytes: unzipped, decoded and parsed, within bounds.

Conventions
- A text is decoded as its mark or its declaration says, in any encoding that Python knows, else as UTF-8.
- In a zipped file (.mxl) the score is the first `rootfile` of its container, else the first XML file.
- What unpacks to more than MOST_BYTES, or has more than MOST_TAGS tags, is refused before it is read.

Source: MusicXML 4.0, W3C Music Notation Community Group, June 2021, on compressed files and their container.
"""

import codecs
import io
import lzma
import re
import struct
import zlib
from xml.etree import ElementTree as Tree
from zipfile import BadZipFile, ZipFile

from tracks.theory.errors import RequestError

MOST_BYTES = 32_000_000
MOST_TAGS = 2_000_000

_CONTAINER = "META-INF/container.xml"
_MARKS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))
_DECLARATION = re.compile(r"\ufeff?\s*<\?xml[^>]*\?>")
_ENCODING = re.compile(rb"<\?xml[^>]*?encoding\s*=\s*[\"']([^\"'>]{1,60})[\"']")
_DAMAGE = (BadZipFile, lzma.LZMAError, struct.error, zlib.error)
_DAMAGE_INSIDE = (EOFError, KeyError, OSError, RuntimeError, ValueError)


def document(content: bytes, is_zipped: bool) -> Tree.Element:
    """Return the root element of a MusicXML file.

    Raises RequestError, in one line, for a damaged or empty zip, an unknown encoding, what is no XML (with
    its line), and a document past our bounds.
    """
    return _parsed(_text(_unzipped(content) if is_zipped else content))


def _unzipped(content: bytes) -> bytes:
    try:
        with ZipFile(io.BytesIO(content)) as zipped:
            names = [name for name in zipped.namelist() if name.lower().endswith((".xml", ".musicxml"))]
            root = _root_named(_member(zipped, _CONTAINER)) if _CONTAINER in names else None
            scores = [root] if root in names else [n for n in names if not n.startswith("META-INF/")]
            return _member(zipped, scores[0]) if scores and scores[0] else _no_score()
    except RequestError:
        raise
    except (*_DAMAGE, *_DAMAGE_INSIDE):
        raise RequestError("it is no .mxl file (a zip of MusicXML) or not whole", "export it again") from None


def _no_score() -> bytes:
    raise RequestError("it is a zip without a score", "export the piece again")


def _member(zipped: ZipFile, name: str) -> bytes:
    info = zipped.getinfo(name)
    if info.file_size > MOST_BYTES:
        raise RequestError(_too_large(info.file_size))
    with zipped.open(info) as member:
        return member.read(MOST_BYTES)


def _too_large(size: int) -> str:
    return (
        f"it unpacks to {size / 1e6:,.0f} MB, and {MOST_BYTES / 1e6:.0f} MB are the most we read; "
        "export only the part with the chord symbols"
    )


def _root_named(container: bytes) -> str | None:
    root = _parsed(_text(container)).find(".//{*}rootfile")
    return root.get("full-path") if root is not None else None


def _text(content: bytes) -> str:
    declared = _ENCODING.match(content.lstrip()[:200])
    usual = declared[1].decode("latin-1") if declared else "utf-8"
    encoding = next((name for mark, name in _MARKS if content.startswith(mark)), usual)
    try:
        return content.decode(encoding)
    except LookupError:
        raise RequestError(f"its encoding {encoding!r} is none we know", "save it as UTF-8") from None
    except ValueError:
        raise RequestError(
            f"it is not in the encoding {encoding} that it names", "save it as UTF-8"
        ) from None


def _without_declaration(text: str) -> str:
    declaration = _DECLARATION.match(text)
    return re.sub(r"\S", " ", declaration[0]) + text[declaration.end() :] if declaration else text


def _parsed(text: str) -> Tree.Element:
    tags = text.count("<")
    if tags > MOST_TAGS:
        raise RequestError(
            f"it has {tags:,} tags, and {MOST_TAGS:,} are the most we read",
            "export only the part with the chord symbols",
        )
    try:
        # The declaration goes, for the text is decoded; its room stays, so that columns are the file's.
        return Tree.fromstring(_without_declaration(text))  # noqa: S314
    except Tree.ParseError as error:
        line, column = error.position
        raise RequestError(
            f"line {line}, column {column + 1}: it is no XML", "export the piece again"
        ) from None
    except ValueError:
        raise RequestError("it is no XML", "export the piece again") from None
