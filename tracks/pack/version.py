"""Versions: what made a pack, told by all that its bytes follow from.

Conventions
- A version names our own sources, the style's, and the libraries that write what the drill asks for, each by
  a digest of its content or by its release. Clocks and places on a disk say nothing; an uncommitted change
  counts like any other.
- Sources are whole packages: nobody needs to know which of its modules a style reaches.
"""

import os
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from tracks.drill.drill import Drill
from tracks.extras import EXTRAS
from tracks.style.registry import sources

OURS = (Path(__file__).parents[1], Path(__file__).parents[2] / "styles")
"""The folders of our own sources."""

SHEET_LIBRARIES = EXTRAS["sheets"]
PAGE_LIBRARIES = ("verovio",)
AUDIO_LIBRARIES = EXTRAS["audio"]
"""What writes a sheet, and what makes sound. MIDI is all ours."""

_SHORT = 12


def version_of(drill: Drill, style_name: str) -> str:
    """Return what makes a drill's pack as things are now, in the words `rungwise 1f0c..., verovio 6.4.1`.

    `style_name` is the style's name, or the path of its `.py` file.
    """
    paper = SHEET_LIBRARIES if drill.sheet else PAGE_LIBRARIES if drill.page else ()
    libraries = paper + (AUDIO_LIBRARIES if drill.is_heard else ())
    styles = _style(style_name) | (_style(drill.band) if drill.band else {})
    made_by = {"rungwise": own_digest(), **styles, **{name: _release(name) for name in libraries}}
    return ", ".join(f"{name} {value}" for name, value in made_by.items())


@lru_cache(maxsize=1)
def own_digest() -> str:
    """Return twelve digits that tell our own sources, with our styles, from any other state of them."""
    return digest(*OURS)


def digest(*places: Path) -> str:
    """Return twelve digits of the content of files, and of folders with all that they hold but caches."""
    from hashlib import sha256

    found = sha256()
    for place in places:
        for name, content in _contents(place):
            found.update(f"{name}\0{len(content)}\0".encode("utf-8", "surrogateescape"))
            found.update(content)
    return found.hexdigest()[:_SHORT]


def _contents(place: Path) -> Iterator[tuple[str, bytes]]:
    """Yield the relative name and the bytes of every file, in one order on every system."""
    if place.is_file():
        yield place.name, place.read_bytes()
    for folder, below, files in os.walk(place):
        below[:] = sorted(name for name in below if name != "__pycache__")
        inside = folder[len(str(place)) + 1 :].replace(os.sep, "/")
        for name in sorted(files):
            if not name.endswith(".pyc"):
                with open(f"{folder}{os.sep}{name}", "rb", buffering=0) as opened:  # noqa: PTH123 - 3 x as fast
                    yield f"{inside}/{name}", opened.readall()


@lru_cache(maxsize=64)
def _style(name: str) -> dict[str, str]:
    """Return the digest of a style's sources under its name, nothing for one of ours."""
    places = [place for place in sources(name) if place not in OURS]
    return {f"style {Path(name).name}": digest(*places)} if places else {}


@lru_cache(maxsize=16)
def _release(library: str) -> str:
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version(library)
    except PackageNotFoundError:
        return "missing"
