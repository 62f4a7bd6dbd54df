"""The few shapes of our drawings, as SVG text.

Conventions
- Lengths are pixels from the top left. Words are escaped here and nowhere else.
- What a color says a shape says too, so that nobody needs to tell colors apart.
"""

from collections.abc import Iterable
from html import escape

from tracks.export.picture import FONT

INK, FAINT, LINE = "#222222", "#777777", "#cccccc"
GOOD, BAD, BAND = "#2c6e9e", "#b3401f", "#eaf1f6"


def drawing(width: float, height: float, shapes: Iterable[str], title: str) -> str:
    """Return a whole drawing on white, with a title for those who hear it read."""
    box = f"0 0 {_n(width)} {_n(height)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(width)}" height="{_n(height)}" viewBox="{box}" '
        f'role="img" font-family="{FONT}" font-size="11"><title>{escape(title)}</title>'
        f"{rect(0, 0, width, height, '#ffffff')}{''.join(shapes)}</svg>"
    )


def rect(
    x: float, y: float, width: float, height: float, fill: str, stroke: str = "none", dash: str = ""
) -> str:
    """Return a rectangle, its edge dashed where `dash` says so."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    size = f'width="{_n(max(width, 0))}" height="{_n(max(height, 0))}"'
    return f'<rect x="{_n(x)}" y="{_n(y)}" {size} fill="{fill}" stroke="{stroke}"{dashes}/>'


def line(x: float, y: float, to_x: float, to_y: float, stroke: str = INK, width: float = 1) -> str:
    """Return a line."""
    ends = f'x1="{_n(x)}" y1="{_n(y)}" x2="{_n(to_x)}" y2="{_n(to_y)}"'
    return f'<line {ends} stroke="{stroke}" stroke-width="{_n(width)}"/>'


def dot(x: float, y: float, fill: str = GOOD, size: float = 4) -> str:
    """Return a dot."""
    return f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(size)}" fill="{fill}"/>'


def cross(x: float, y: float, stroke: str = BAD, size: float = 4) -> str:
    """Return a cross."""
    return line(x - size, y - size, x + size, y + size, stroke, 2) + line(
        x - size, y + size, x + size, y - size, stroke, 2
    )


def text(x: float, y: float, words: str, anchor: str = "start", fill: str = INK) -> str:
    """Return words; `anchor` is start, middle or end."""
    return f'<text x="{_n(x)}" y="{_n(y)}" text-anchor="{anchor}" fill="{fill}">{escape(words)}</text>'


def _n(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0")
