"""A score drawn for the page: bars that the browser sets in rows as wide as its window.

Conventions
- Lengths are the engraver's, hundredths of a staff's half space or so; only their proportions matter.
- The score is engraved as one line, so that all its bars share their heights. A row of the page is the head
  (brace, clefs), the signature that holds there, and some bars; the browser puts them side by side.
- What is drawn stays in the engraver's own place; whoever sets a row moves it.
- Signs of music are drawn once for the whole page, by the name of their place in the SMuFL standard (E0A4
  is a notehead), and only referred to here.
- Notes carry the names that the score gives them, `b3s1v1e2` for bar, staff, voice and event, so that they
  can be lit. Words carry the chord that they belong to.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from html import escape
from xml.etree.ElementTree import Element, fromstring

from tracks.export.engrave import in_one_line, word
from tracks.notation.score import Score

_SVG = "{http://www.w3.org/2000/svg}"
_LINK = "{http://www.w3.org/1999/xlink}href"
_NAME = re.compile(r"b\d+s\d+v\d+e\d+")
_MOVED = re.compile(r"translate\((-?\d+), (-?\d+)\) scale\(([\d.]+), [\d.]+\)")
_LINE = re.compile(r"M(-?\d+) (-?\d+) L(-?\d+) \2")
_ACROSS = re.compile(r"(-?\d+),-?\d+")
_FONT_SCALE = "0.72"
_AFTER_SIGN, _AFTER_METER, _BEFORE_SIGNATURE = 230, 420, 90
"""Room from where an accidental, or a digit of the meter, is placed to what follows; before the signature."""
_ABOVE, _BELOW, _PAGE_BELOW = 120, 160, 600
"""Room above and below what is drawn, and what the engraver leaves below it."""
_KEPT = {"x", "y", "cx", "cy", "rx", "ry", "width", "height", "d", "points", "transform"}
_STROKES = {"stroke-width", "stroke-linecap", "stroke-linejoin", "fill", "fill-opacity"}


@dataclass(frozen=True, slots=True)
class DrawnBar:
    """One bar: its markup, from where to where it stands, and the signature that holds from it on.

    `head` is where its own clefs and signature end: what follows is the bar's music. `ties` leave it.
    """

    markup: str
    start: int
    end: int
    head: int
    ties: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A key's score: its height, where its staff lines run, what heads a row, and its bars.

    `signatures` are the key signatures by the number of the bar (counted from 0) where each begins; each
    begins at x 0.
    """

    top: int
    height: int
    lines: tuple[int, ...]
    head: str
    head_width: int
    signatures: dict[int, tuple[str, int]]
    bars: tuple[DrawnBar, ...]


@dataclass(slots=True)
class Glyphs:
    """The signs of music that drawings have used so far, as SVG groups to put in a page once."""

    drawn: dict[str, str] = field(default_factory=dict)

    def markup(self) -> str:
        """Return them all as markup."""
        return "".join(self.drawn.values())


def draw(score: Score, glyphs: Glyphs) -> Drawing:
    """Return a score drawn bar by bar, its signs added to the glyphs."""
    root = fromstring(in_one_line(score))  # noqa: S314, the engraver's own
    for sign in root.iterfind(f"{_SVG}defs/{_SVG}g"):
        name = _glyph(sign.get("id", ""))
        glyphs.drawn.setdefault(name, f'<g id="{name}">{"".join(map(_markup, sign))}</g>')
    system = _first(root, "system")
    measures = [group for group in system if _kind(group) == "measure"]
    words = _Words(score)
    lines = _staff_lines(measures[0])
    signatures: dict[int, tuple[str, int]] = {}
    bars = []
    for number, measure in enumerate(measures):
        if signature := _signature(measure):
            signatures[number] = signature
        bars.append(_bar(measure, words))
    heads = [child for child in system if child.tag.endswith("path") or _kind(child) == "grpSym"]
    clefs = [clef for staff in _all(measures[0], "staff") for clef in staff if _kind(clef) == "clef"]
    top, height = _frame(root)
    return Drawing(
        top=top,
        height=height,
        lines=lines,
        head="".join(map(_markup, (*heads, *clefs))),
        head_width=_after_clefs(measures[0]),
        signatures=signatures,
        bars=tuple(bars),
    )


class _Words:
    """Gives each word of the drawing the chord that it belongs to: they come in the chords' order."""

    def __init__(self, score: Score) -> None:
        numbers = range(len(score.chords))
        self._of = {
            "symbol": iter(numbers),
            "numeral": iter([number for number in numbers if score.numerals[number]]),
        }

    def markup(self, group: Element, kind: str) -> Iterator[str]:
        chord = next(self._of[kind], None) if kind in self._of else None
        for text in group.findall(f"{_SVG}text"):
            for said in word(text, kind):
                belongs = "" if chord is None else f' data-c="{chord}"'
                place = f'x="{said.x:g}" y="{said.y:g}"'
                figures = f'<tspan class="f" dy="-130">{said.figures}</tspan>' if said.figures else ""
                rest = f'<tspan dy="130">{escape(said.rest)}</tspan>' if said.rest else ""
                yield f'<text class="{kind}" {place}{belongs}>{escape(said.text)}{figures}{rest}</text>'


def _bar(measure: Element, words: _Words) -> DrawnBar:
    start, end = _span(measure)
    kept: list[str] = []
    leaving: list[str] = []
    for child in measure:
        kind, *more = child.get("class", "").split()
        if kind in ("harm", "fing"):
            kept += words.markup(child, more[0] if more else kind)
        elif kind != "mNum":
            kept.append(_markup(child))
            if kind == "tie" and _reaches(child) > end:
                leaving.append(kept[-1])
    return DrawnBar("".join(kept), start, end, _head_end(measure, start), "".join(leaving))


def _reaches(tie: Element) -> int:
    """Return how far to the right a tie goes."""
    return max(
        int(across) for path in tie.iter(f"{_SVG}path") for across in _ACROSS.findall(path.get("d", ""))
    )


def _markup(element: Element) -> str:
    """Return an element with only what a page draws, "" where it draws nothing."""
    tag = element.tag.removeprefix(_SVG)
    kept = {name: value for name, value in element.attrib.items() if name in _KEPT | _STROKES}
    if tag == "use":
        kept = {"href": f"#{_glyph(element.get(_LINK, '')[1:])}", **kept}
        if (moved := _MOVED.fullmatch(kept.get("transform", ""))) and moved[3] == _FONT_SCALE:
            kept["transform"] = f"translate({moved[1]} {moved[2]})scale(.72)"
    name = element.get("id", "")
    if _NAME.fullmatch(name):
        kept = {"id": name, **kept}
    written = "".join(f' {key}="{escape(value)}"' for key, value in kept.items())
    drawn = iter(element) if _kind(element) != "staff" else (e for e in element if not e.tag.endswith("path"))
    inner = "".join(map(_markup, drawn))  # a row draws its own staff lines
    if tag == "g":
        if not inner or element.get("class", "").startswith("section"):
            return ""
        return f"<g{written}>{inner}</g>" if written else inner
    return f"<{tag}{written}>{inner}</{tag}>" if inner else f"<{tag}{written}/>"


def _glyph(name: str) -> str:
    return name.partition("-")[0]


def _kind(element: Element) -> str:
    return element.get("class", "").partition(" ")[0]


def _all(root: Element, kind: str) -> Iterator[Element]:
    return (group for group in root.iter(f"{_SVG}g") if _kind(group) == kind)


def _first(root: Element, kind: str) -> Element:
    return next(_all(root, kind))


def _frame(root: Element) -> tuple[int, int]:
    """Return where the drawing begins, from the place that its lengths count from, and its height."""
    margin = _first(root, "page-margin")
    _, down = (int(number) for number in re.findall(r"-?\d+", margin.get("transform", "")))
    scale = next(e for e in root.iter(f"{_SVG}svg") if e.get("class") == "definition-scale")
    height = int(float(scale.get("viewBox", "").split()[3]))
    return -_ABOVE, height - down - _PAGE_BELOW + _ABOVE + _BELOW


def _own_lines(staff: Element) -> list[tuple[int, int, int]]:
    """Return the start, height and end of a staff's lines."""
    lines = (_LINE.fullmatch(path.get("d", "")) for path in staff.findall(f"{_SVG}path"))
    return [(int(line[1]), int(line[2]), int(line[3])) for line in lines if line]


def _staff_lines(measure: Element) -> tuple[int, ...]:
    return tuple(y for staff in _all(measure, "staff") for _, y, _ in _own_lines(staff))


def _span(measure: Element) -> tuple[int, int]:
    start, _, end = _own_lines(_first(measure, "staff"))[0]
    return start, end


def _places(groups: Iterable[Element]) -> list[int]:
    """Return where the signs of some groups are placed, from left to right."""
    moves = (use.get("transform", "") for group in groups for use in group.iter(f"{_SVG}use"))
    return sorted(int(match[1]) for match in map(_MOVED.match, moves) if match)


def _own(measure: Element, kind: str) -> list[Element]:
    return [group for staff in _all(measure, "staff") for group in staff if _kind(group) == kind]


def _signature(measure: Element) -> tuple[str, int] | None:
    """Return the signature that a bar shows, moved to x 0, and its width; None where it shows none."""
    signs = _own(measure, "keySig")
    if not signs:
        return None
    places = _places(signs)
    if not places:
        return "", 0
    inner = "".join(map(_markup, signs))
    return f'<g transform="translate({-places[0]} 0)">{inner}</g>', places[-1] - places[0] + _AFTER_SIGN


def _after_clefs(measure: Element) -> int:
    """Return where the signature begins after the clefs."""
    signs = _places(_own(measure, "keySig")) or _places(_own(measure, "meterSig"))
    return signs[0] if signs else _places(_own(measure, "clef"))[-1] + 600


def _head_end(measure: Element, start: int) -> int:
    """Return where the bar's clefs and signatures end, its start where it has none."""
    meter = _places(_own(measure, "meterSig"))
    if meter:
        return meter[-1] + _AFTER_METER
    signs = _places(_own(measure, "keySig")) + _places(_own(measure, "clef"))
    return max(signs) + _AFTER_SIGN if signs else start
