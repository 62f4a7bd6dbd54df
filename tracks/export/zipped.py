"""Files in a zip: the same files always give the same bytes.

Conventions
- Files keep the order given. Where no folder is given they have their own names only, so that they
  unpack side by side; else their paths in that folder.
- Files are stored uncompressed: how bytes are packed changes from one system's library to the next, and MIDI
  files are small. Every date is the format's first, 1 January 1980.
"""

import io
from collections.abc import Iterable


def to_zip(files: Iterable[tuple[str, bytes]], folder: str = "") -> bytes:
    """Return a zip of files, each a path and its bytes."""
    from zipfile import ZIP_STORED, ZipFile, ZipInfo

    written = io.BytesIO()
    with ZipFile(written, "w", ZIP_STORED) as opened:
        for path, content in files:
            entry = ZipInfo(f"{folder}/{path}" if folder else path.rpartition("/")[2])
            entry.create_system = 3  # so that the bytes are alike on every system
            entry.external_attr = 0o644 << 16
            opened.writestr(entry, content)
    return written.getvalue()
