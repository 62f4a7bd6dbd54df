"""Papers: what is handed out in words and boxes to tick, as PDF set by the typst library and as plain text.

Conventions
- A paper is a title, the student and the date, and blocks in order; both forms say the same in that order.
- BOX in any text is a box to tick. An empty cell of a table is a place to write in.
- The PDF is tagged as PDF/UA-1 (ISO 14289-1) asks: headings, lists and tables are such for a screen reader.
  It has no date and none but the typesetter's own fonts: the same paper gives the same bytes.
- Plain text is UTF-8, at most WIDTH columns; a form feed is a new page, as printers read it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from textwrap import wrap
from typing import TypeAlias

from tracks.export.typeset import SIZES, Form, typeset
from tracks.model import PaperSize

BOX = "☐"
WIDTH = 78
NEW_PAGE = "\f"

_TEMPLATE = Path(__file__).with_name("paper.typ")
_NO_BREAK = "\N{NO-BREAK SPACE}"
_TO_FILL_IN = 12
"""Columns that plain text leaves at least to write in."""
_GAP = 2
_NARROWEST = 10


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading of a part of the paper."""

    text: str


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph, in heavier letters where it is strong."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Item:
    """One entry of a list: what it is, in heavier letters where it is strong, and the lines under it."""

    text: str
    under: tuple[str, ...] = ()
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Items:
    """A list, numbered from 1; an entry is never torn apart between pages."""

    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table under its heads; rows are as long as the heads. An empty cell is a place to write in."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Fields:
    """A line of fields, each its name and what it says; what says nothing is a line to write on."""

    fields: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class PageBreak:
    """What follows begins a new page."""


Block: TypeAlias = Heading | Words | Items | Table | Fields | PageBreak


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper to hand out. `student` and `date` stand under the title; None leaves no place for them.

    An empty student or date is a line to write on.
    """

    title: str
    blocks: tuple[Block, ...]
    student: str | None = ""
    date: str | None = ""


def pdf(paper: Paper, *, large: bool = False, size: PaperSize = PaperSize.A4) -> bytes:
    """Return a paper as a tagged PDF, in large print (words of 17 points) where asked."""
    return _set(paper, large, size, "pdf")[0]


def png(paper: Paper, *, large: bool = False, size: PaperSize = PaperSize.A4) -> list[bytes]:
    """Return a paper as pictures of 150 pixels an inch, one a page."""
    return _set(paper, large, size, "png")


def text(paper: Paper) -> str:
    """Return a paper as plain text."""
    lines = [*wrap(paper.title, WIDTH), "=" * min(len(paper.title), WIDTH), ""]
    above = _above(paper)
    if above.fields:
        lines += [*_lines(above), ""]
    for block in paper.blocks:
        if isinstance(block, PageBreak):
            lines.append(NEW_PAGE)
        else:
            lines += [*_lines(block), ""]
    return "\n".join(line.rstrip(" ") for line in lines).rstrip("\n") + "\n"


def _lines(block: Heading | Words | Items | Table | Fields) -> Iterator[str]:
    match block:
        case Heading(words):
            yield from (words, "-" * min(len(words), WIDTH))
        case Words(words):
            yield from wrap(words, WIDTH)
        case Items(items):
            for number, item in enumerate(items, start=1):
                yield from _entry(number, item)
        case Table(heads, rows):
            yield from _table(heads, rows)
        case Fields(fields):
            yield from _fields(fields)


def _entry(number: int, item: Item) -> Iterator[str]:
    yield from wrap(f"{number:2d}. {item.text}", WIDTH, subsequent_indent="    ")
    for line in item.under:
        for part in wrap(_whole_choices(line), WIDTH, initial_indent="    ", subsequent_indent="    "):
            yield part.replace(_NO_BREAK, " ")


def _whole_choices(line: str) -> str:
    """Return a line whose choices are not torn apart: a box stays with its words."""
    before, *choices = line.split(BOX)
    whole = (f"{BOX} {each.strip()}".replace(" ", _NO_BREAK) for each in choices)
    return "  ".join(filter(None, (before.strip(), *whole)))


def _fields(fields: Sequence[tuple[str, str]]) -> list[str]:
    """Return fields in a line, its room shared by those to fill in; each in its own where they are long."""
    empty = [name for name, said in fields if not said]
    taken = sum(len(name) + 2 + len(said) for name, said in fields) + 3 * (len(fields) - 1)
    room = max((WIDTH - taken) // len(empty), _TO_FILL_IN) if empty else 0
    written = [f"{name}: {said or '_' * room}" for name, said in fields]
    line = "   ".join(written)
    return [line] if len(line) <= WIDTH else [part for each in written for part in wrap(each, WIDTH)]


def _table(heads: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> Iterator[str]:
    """Yield the lines of a table; cells wrap where it would be too wide, the widest column first."""
    widths = _widths(heads, rows)
    for row in (heads, tuple("-" * width for width in widths), *rows):
        cells = [wrap(cell or "_" * width, width) for cell, width in zip(row, widths, strict=True)]
        for line in range(max(map(len, cells))):
            parts = (cell[line] if line < len(cell) else "" for cell in cells)
            yield (" " * _GAP).join(part.ljust(width) for part, width in zip(parts, widths, strict=True))


def _widths(heads: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> list[int]:
    """Return the widths of a table's columns, the last as wide as there is room where it is written in."""
    filled = [tuple(cell or "_" * _TO_FILL_IN for cell in row) for row in rows]
    widths = [max(map(len, column)) for column in zip(heads, *filled, strict=True)]
    room = WIDTH - _GAP * (len(widths) - 1)
    if any(not row[-1] for row in rows):
        widths[-1] = max(room - sum(widths[:-1]), widths[-1])
    while sum(widths) > room and max(widths) > _NARROWEST:
        widths[widths.index(max(widths))] -= 1
    return widths


def _set(paper: Paper, large: bool, size: PaperSize, form: Form) -> list[bytes]:
    data = {
        "title": paper.title,
        "fields": _above(paper).fields,
        "large": large,
        "size": SIZES[size],
        "blocks": _plain(paper.blocks),
    }
    return typeset(_TEMPLATE, data, form)


def _above(paper: Paper) -> Fields:
    """Return what stands under the title: each field's name and what it says, if anything."""
    both = (("Student", paper.student), ("Date", paper.date))
    return Fields(tuple((name, said) for name, said in both if said is not None))


def _plain(blocks: Sequence[Block]) -> list[dict[str, object]]:
    """Return blocks as values for the template, each with its kind."""
    from dataclasses import asdict

    return [{"kind": type(block).__name__, **asdict(block)} for block in blocks]
