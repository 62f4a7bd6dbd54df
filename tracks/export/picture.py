"""A drawing in SVG made a PNG, by the typst library; in its own fonts, so that it is the same everywhere."""

from pathlib import Path

from tracks.export.typeset import typeset

FONT = "DejaVu Sans Mono, monospace"
"""The typesetter's font that has the signs of music."""

_TEMPLATE = Path(__file__).parent / "picture.typ"
_PPI = 144.0


def png(svg: str) -> bytes:
    """Return a drawing as a PNG of 144 pixels an inch, two for each pixel of its own."""
    return typeset(_TEMPLATE, {"svg": svg}, "png", ppi=_PPI)[0]
