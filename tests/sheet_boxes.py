"""The boxes of what stands on an engraved system: its words, and from its SVG note heads and accidentals.

Widths of text are measured by the typesetter that sets the page, in the very font; heights are the font's
for capitals and figures. Units are the drawing's, a hundred to a millimeter where a staff is 7.2 mm high.
"""

import json
import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple
from xml.etree.ElementTree import fromstring

import typst

from tracks.export.engrave import System, Word

FONT = "Libertinus Serif"
FIGURES_UP, FIGURE_WIDTH, SMALL = (0.42, -0.14), 0.31, 0.66
"""How the page sets a numeral's figures, in ems: each one's height, their width and size."""

SVG = "{http://www.w3.org/2000/svg}"
HREF = "{http://www.w3.org/1999/xlink}href"
SPACE = 180
"""From one line of the staff to the next."""

# Width, and reach above and below the place, in spaces (SMuFL 1.4, the glyphs' boxes in Bravura's metadata).
GLYPHS = {
    "E0A2": (1.69, 0.5, 0.5),  # whole
    "E0A3": (1.18, 0.5, 0.5),  # half
    "E0A4": (1.18, 0.5, 0.5),  # black
    "E260": (0.9, 1.76, 0.7),  # flat
    "E261": (0.67, 1.36, 1.34),  # natural
    "E262": (1.0, 1.4, 1.39),  # sharp
    "E263": (0.99, 0.51, 0.5),  # double sharp
    "E264": (1.64, 1.75, 0.7),  # double flat
}
CAPITALS, BELOW = 0.66, 0.02
"""How high figures and capitals of FONT reach, in ems, and how far they hang below the line."""


class Box(NamedTuple):
    """A box with its sides, and what it is."""

    left: float
    top: float
    right: float
    bottom: float
    what: str

    def overlaps(self, other: "Box") -> bool:
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


def texts(systems: Sequence[System]) -> list[list[Box]]:
    """Return the boxes of all words of each system, measured in one go."""
    said = {part for system in systems for word in system.words for part in (word.text, word.rest)}
    widths = _measured(said)
    return [[box for word in system.words for box in _boxes(word, widths)] for system in systems]


def glyphs(system: System) -> list[Box]:
    """Return the boxes of note heads and accidentals."""
    root = fromstring(system.drawing)
    margin = next(e for e in root.iter(f"{SVG}g") if e.get("class") == "page-margin")
    left, top = map(float, re.findall(r"-?[\d.]+", margin.get("transform", "")))
    boxes = []
    for use in root.iter(f"{SVG}use"):
        code = use.get(HREF, "").lstrip("#").split("-")[0]
        if code in GLYPHS and "scale(0.72" in use.get("transform", ""):
            x, y = map(float, re.findall(r"translate\((-?[\d.]+), (-?[\d.]+)\)", use.get("transform", ""))[0])
            width, above, below = (SPACE * part for part in GLYPHS[code])
            boxes.append(Box(left + x, top + y - above, left + x + width, top + y + below, code))
    return boxes


def _boxes(word: Word, widths: dict[tuple[str, str], float]) -> Iterator[Box]:
    """Yield a box for what stands before a numeral's figures, for the figures, and for what follows."""
    weight = "bold" if word.kind == "fing" else "regular"
    width = widths[word.text, weight] * word.size
    left = word.x - width / 2 if word.centered else word.x
    yield _box(left, word.y, width, word.size, word.text)
    left += width
    for figure, up in zip(word.figures, FIGURES_UP, strict=False):
        yield _box(left, word.y - up * word.size, FIGURE_WIDTH * word.size, SMALL * word.size, figure)
    left += FIGURE_WIDTH * word.size if word.figures else 0
    if word.rest:
        yield _box(left, word.y, widths[word.rest, "regular"] * word.size, word.size, word.rest)


def _box(left: float, baseline: float, width: float, size: float, what: str) -> Box:
    return Box(left, baseline - CAPITALS * size, left + width, baseline + BELOW * size, what)


def _measured(words: set[str]) -> dict[tuple[str, str], float]:
    """Return the width of each text in ems of FONT, regular and bold."""
    ordered = [(word, weight) for word in sorted(words) for weight in ("regular", "bold")]
    source = f"""
        #set text(font: "{FONT}", size: 100pt, fallback: false)
        #let words = json(bytes(sys.inputs.words))
        #let width(word, weight) = measure(text(word, weight: weight)).width / 1pt
        #context [#metadata(words.map(pair => width(..pair))) <widths>]
    """
    found = typst.query(
        source.encode(),
        "<widths>",
        field="value",
        one=True,
        ignore_system_fonts=True,
        sys_inputs={"words": json.dumps(ordered)},
    )
    measured = json.loads(found) if isinstance(found, str) else found
    return {each: width / 100 for each, width in zip(ordered, measured, strict=True)}
