"""Engraving: a score drawn as SVG, one drawing a system, by the verovio library.

Conventions
- Lengths are the engraver's units, tenths of a millimeter where a staff is 7.2 mm high; the page scales the
  drawing, so large print is simply a narrower system. Inside a drawing they are tenths of units.
- Bars are set so many to a system (four where they fit), by the width each takes when nothing presses it.
- Where a stem points at a chord's fingers, they stand beside it; the engraver looks at note heads only.
- The words are taken out of the drawing and handed over beside it: whoever sets the page sets them too, in
  its own font, so that no font of the system plays a part and all words can be searched.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import groupby
from pathlib import Path
from typing import NamedTuple
from xml.etree.ElementTree import Element, fromstring, register_namespace, tostring

from tracks.export.mei import mei
from tracks.notation.score import Score
from tracks.theory.meter import QUARTER, Time

_SVG = "http://www.w3.org/2000/svg"
_MOST_BARS = 4
_COMFORT = 1.2
_LEFT_MARGIN, _RIGHT_MARGIN = 60, 4
_CLEF, _ACCIDENTAL = 70, 18
_OPTIONS = {
    "header": "none",
    "footer": "none",
    "smuflTextFont": "none",
    "svgViewBox": True,
    "xmlIdSeed": 1,
    "pageHeight": 60_000,
    "adjustPageHeight": True,
    "pageMarginLeft": _LEFT_MARGIN,
    "pageMarginRight": _RIGHT_MARGIN,
    "pageMarginTop": 50,
    "pageMarginBottom": 60,
    "spacingStaff": 13,
    "tieMinLength": 4.0,  # between the pushed-aside notes of seconds a tie is else a speck
    "minLastJustification": 0.35,
}
_HALF_DIGIT, _DIGIT_UP, _GAP = 0.27, 0.66, 40
"""A finger's half width and its height in its own size, and what is kept between it and a stem."""
BEAT_HEIGHT, BEAT_DEPTH = 840, 140
_BEATS = {
    4 * QUARTER: ("ECA2", 414),
    2 * QUARTER: ("ECA3", 308),
    QUARTER: ("ECA5", 302),
    QUARTER // 2: ("ECA7", 500),
    QUARTER // 4: ("ECA9", 514),
}
"""The glyph of each note of a metronome mark and its width (SMuFL 1.4, metronome marks)."""
_DOT = "ECB7"
_FIGURES = re.compile(r"(\D+)(\d{1,2})((?:[/(s].*)?)")
_ACCIDENTALS = str.maketrans({"\uea64": "♭", "\uea65": "♮", "\uea66": "♯"})


@dataclass(frozen=True, slots=True)
class Word:
    """A text on the drawing: its kind, where its baseline begins (or is centered), its size, what it says.

    `kind` is the engraver's: `symbol`, `numeral`, `fing` or `mNum`, a bar's number. A numeral comes in three:
    what stands before its figures, the figures, what follows.
    """

    kind: str
    x: float
    y: float
    size: float
    centered: bool
    text: str
    figures: str = ""
    rest: str = ""


@dataclass(frozen=True, slots=True)
class System:
    """One system: its notes as an SVG document without any text, its size in tenths of units, its words.

    What the page needs of it reaches from `top` to `bottom`: chord symbols stand highest, numerals lowest.
    `bars` are the places of its bars in the score, counted from 0.
    """

    drawing: str
    width: float
    height: float
    top: float
    bottom: float
    words: tuple[Word, ...]
    bars: range


@lru_cache(maxsize=64)
def systems(score: Score, width: int) -> tuple[System, ...]:
    """Return the systems of a score, each `width` units wide, or wider for one wide bar.

    Raises RuntimeError where the engraver refuses the score, which is a fault of ours.
    """
    bars = [round(_COMFORT * bar) for bar in _bar_widths(in_one_line(score))]
    head = _CLEF + _ACCIDENTAL * abs(score.bars[0].key.signature)
    bars[0] = max(0, bars[0] - head)
    around = _LEFT_MARGIN + _RIGHT_MARGIN + head
    width = max(width, around + max(bars))
    room = width - around
    starts = breaks(bars, room)
    drawn = _drawn(mei(score, starts), {"breaks": "encoded", "pageWidth": width})
    ends = (*starts, len(bars))
    return tuple(
        _system(page, range(first, end)) for page, first, end in zip(drawn, (0, *starts), ends, strict=True)
    )


def beat_note(plain: Time, dotted: bool) -> str:
    """Return the note of a metronome mark as an SVG document of the height BEAT_HEIGHT, in the font's units.

    Its head is BEAT_DEPTH over the lower edge, to hang that much below a line of words.
    """
    glyphs = _glyphs()
    code, advance = _BEATS[plain]
    shapes = [glyphs(code)]
    if dotted:
        shapes.append(f'<g transform="translate({advance + 60}, -30)">{glyphs(_DOT)}</g>')
        advance += 180
    box = f"0 {BEAT_DEPTH - BEAT_HEIGHT} {advance} {BEAT_HEIGHT}"
    return f'<svg xmlns="{_SVG}" viewBox="{box}">{"".join(shapes)}</svg>'


def _glyphs() -> Callable[[str], str]:
    """Return what reads a glyph of the engraver's font, by its code, as an SVG element."""
    import verovio

    font = Path(verovio.__file__).parent / "data" / "Leipzig"
    return lambda code: (font / f"{code}.xml").read_text(encoding="ascii")


def in_one_line(score: Score) -> str:
    """Return a score as one system that is as wide as it needs to be: an SVG document with its words.

    Raises RuntimeError where the engraver refuses the score, which is a fault of ours.
    """
    return _drawn(mei(score), {"breaks": "none", "adjustPageWidth": True})[0]


def breaks(bars: list[int], width: int) -> tuple[int, ...]:
    """Return which bars begin a new system, given what width each bar asks for and what a system has.

    As many bars as fit everywhere, up to four (or five where that is all), stand in each; where half
    a system or less would be left over, the systems are evened out.
    """
    count = len(bars)
    most = 5 if count == 5 else _MOST_BARS
    while most > 1 and any(sum(bars[start : start + most]) > width for start in range(0, count, most)):
        most -= 1
    rows = -(-count // most)
    if 0 < count % most <= most / 2:
        fewer, longer = divmod(count, rows)
        sizes = [fewer + (row < longer) for row in range(rows)]
    else:
        sizes = [most] * rows
    starts, place = [], 0
    for size in sizes[:-1]:
        place += size
        starts.append(place)
    return tuple(starts)


def _drawn(document: str, options: dict[str, object]) -> list[str]:
    """Return the pages of an MEI document as the engraver draws them."""
    from verovio import LOG_ERROR, enableLog, toolkit

    enableLog(LOG_ERROR)  # it warns of a score that fits on one system
    engraver = toolkit()
    # A document that is refused leaves the engraver with the one before: ask, never assume.
    if not engraver.setOptions(_OPTIONS | options) or not engraver.loadData(document):
        raise RuntimeError(f"the engraver refused the score: {' '.join(engraver.getLog().split())}")
    return [engraver.renderToSVG(page) for page in range(1, engraver.getPageCount() + 1)]


def _bar_widths(drawing: str) -> list[int]:
    """Return the width of each bar in units, read from the first line of its first staff."""
    root = fromstring(drawing)  # noqa: S314, the engraver's own
    widths = []
    for group in root.iter(f"{{{_SVG}}}g"):
        if group.get("class") == "measure":
            line = next(group.iter(f"{{{_SVG}}}path")).get("d", "")
            start, end = (int(x) for x in re.findall(r"[ML](-?\d+) ", line))
            widths.append((end - start) // 10)
    return widths


# Words.


def _system(drawing: str, bars: range) -> System:
    """Return a drawing with its words taken out of it."""
    register_namespace("", _SVG)
    register_namespace("xlink", "http://www.w3.org/1999/xlink")
    root = fromstring(drawing)  # noqa: S314, the engraver's own
    scale = next(e for e in root.iter(f"{{{_SVG}}}svg") if e.get("class") == "definition-scale")
    *_, width, height = (float(number) for number in scale.get("viewBox", "").split())
    margin = next(e for e in root.iter(f"{{{_SVG}}}g") if e.get("class") == "page-margin")
    left, top = (float(number) for number in re.findall(r"-?[\d.]+", margin.get("transform", "")))
    words: list[Word] = []
    for group in root.iter(f"{{{_SVG}}}g"):
        name, *more = (group.get("class") or "").split(" ")
        kind = more[0] if name == "harm" else name
        for text in group.findall(f"{{{_SVG}}}text"):
            group.remove(text)
            words += word(text, kind, left, top)
    stems = list(_stems(root, left, top))
    placed = tuple(_beside_stems(words, stems))
    top = max(0.0, min((word.y - word.size for word in words if word.kind == "symbol"), default=0.0))
    bottom = min(
        height, max((word.y + word.size for word in words if word.kind == "numeral"), default=height)
    )
    return System(tostring(root, encoding="unicode"), width, height, top, bottom, placed, bars)


class _Stem(NamedTuple):
    """A stem: where it stands, from what height to what, which is the larger number."""

    x: float
    top: float
    bottom: float


def _stems(root: Element, left: float, top: float) -> Iterator[_Stem]:
    for group in root.iter(f"{{{_SVG}}}g"):
        if group.get("class") == "stem":
            for path in group.findall(f"{{{_SVG}}}path"):
                x, start, _, end = (float(n) for n in re.findall(r"-?[\d.]+", path.get("d", "")))
                yield _Stem(x + left, min(start, end) + top, max(start, end) + top)


def _beside_stems(words: Sequence[Word], stems: Sequence[_Stem]) -> Iterator[Word]:
    """Yield the words, the fingers of a chord moved aside together where a stem would cross one of them."""
    for _, group in groupby(words, key=lambda word: (word.kind, word.x) if word.kind == "fing" else word):
        stack = list(group)
        aside = next((dx for word in stack for stem in stems if (dx := _aside(word, stem))), 0.0)
        yield from (replace(word, x=word.x + aside) for word in stack)


def _aside(word: Word, stem: _Stem) -> float:
    """Return how far a finger must move to stand clear of a stem, away from it; 0 where it does."""
    clear = _HALF_DIGIT * word.size + _GAP
    meets = stem.top < word.y and word.y - _DIGIT_UP * word.size < stem.bottom
    off = word.x - stem.x
    if word.kind != "fing" or not meets or abs(off) >= clear:
        return 0.0
    return clear - off if off > 0 else -clear - off


def word(text: Element, kind: str, left: float = 0, top: float = 0) -> Iterator[Word]:
    """Yield what a text element of a drawing says, where it says anything."""
    spans = [span for span in text.iter(f"{{{_SVG}}}tspan") if len(span) == 0]
    said = "".join(span.text or "" for span in spans).translate(_ACCIDENTALS).strip()
    if said:
        size = min(float((span.get("font-size") or "0px")[:-2]) for span in spans)
        x, y = float(text.get("x", 0)) + left, float(text.get("y", 0)) + top
        centered = text.get("text-anchor") == "middle"
        degree, figures, rest = split_numeral(said) if kind == "numeral" else (said, "", "")
        yield Word(kind, x, y, size, centered, degree, figures, rest)


def split_numeral(numeral: str) -> tuple[str, str, str]:
    """Return what stands before a numeral's figures, the figures, and what follows: V, 65 and /V."""
    match = _FIGURES.fullmatch(numeral)
    return (match[1], match[2], match[3]) if match else (numeral, "", "")
