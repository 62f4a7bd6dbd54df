"""The page that a student opens first, `start-here.html`: one file of HTML that needs no script and no net.

Conventions
- What is shown is values (`StartHere`), worked out elsewhere; here they become escaped text. Links are paths
  relative to the page, with `/` between their parts.
- Sounds play where they stand; nothing is loaded before it is asked for. Colors have a contrast of 4.5 to 1
  at least in light and dark (WCAG 2.2, 1.4.3); everything fits a width of 320 pixels (1.4.10).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape
from importlib.resources import files
from urllib.parse import quote

from tracks.model import Heading
from tracks.notation.days import with_weekday

NAME = "start-here.html"


@dataclass(frozen=True, slots=True)
class Link:
    """A file to open: its words, and its path from the page; `sound` where a browser plays it."""

    words: str
    path: str
    sound: bool = False


@dataclass(frozen=True, slots=True)
class InKey:
    """A drill in one key: its sheets, today's tempo and what to play along with, then all the rest."""

    key: str
    tempo: str
    sheets: tuple[Link, ...]
    today: tuple[Link, ...]
    rest: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class ToPractice:
    """A drill as it is practiced: what it is, today's tempo and the goal in words, and every key."""

    title: str
    about: str
    today: str
    goal: str
    pages: tuple[Link, ...]
    keys: tuple[InKey, ...]


@dataclass(frozen=True, slots=True)
class StartHere:
    """A lesson's page: its heading, its drills in the order of practice, how to practice, and the caution.

    `elsewhere` is what else the lesson has, and comes in other files: each file's name, and what is in it.
    """

    heading: Heading
    drills: tuple[ToPractice, ...]
    order: tuple[str, ...]
    caution: str
    elsewhere: tuple[tuple[str, str], ...] = ()


def start_here(page: StartHere) -> bytes:
    """Return the page as HTML."""
    title = page.heading.title or "Practice"
    name = f"{title}, {page.heading.student}" if page.heading.student else title
    style = files(__name__).joinpath("page.css").read_text(encoding="utf-8")
    parts = (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        '<meta name="color-scheme" content="light dark">',
        f"<title>{escape(name)}</title>\n<style>\n{style}</style>\n</head>\n<body>",
        *_header(page.heading, title),
        "<main>",
        *_order(page),
        *(line for number, drill in enumerate(page.drills, 1) for line in _drill(number, drill)),
        "</main>",
        f'<footer><p class="caution">{escape(page.caution)}</p></footer>',
        "</body>\n</html>\n",
    )
    return "\n".join(parts).encode("utf-8")


def _header(heading: Heading, title: str) -> Iterator[str]:
    yield f"<header>\n<h1>{escape(title)}</h1>"
    rows = [("For", escape(heading.student))] if heading.student else []
    rows += [
        (word, f'<time datetime="{day.isoformat()}">{with_weekday(day)}</time>')
        for word, day in (("Lesson", heading.date), ("Due", heading.due))
        if day
    ]
    if rows:
        yield "<dl>" + "".join(f"<div><dt>{word}</dt><dd>{said}</dd></div>" for word, said in rows) + "</dl>"
    if heading.notes:
        lines = [line.strip() for line in heading.notes.splitlines() if line.strip()]
        yield '<section aria-label="From your teacher" class="notes">'
        yield "<h2>From your teacher</h2>" + "".join(f"<p>{escape(line)}</p>" for line in lines)
        yield "</section>"
    yield "</header>"


def _order(page: StartHere) -> Iterator[str]:
    yield '<section aria-labelledby="order">\n<h2 id="order">In this order</h2>\n<ol class="order">'
    for number, drill in enumerate(page.drills, 1):
        yield (
            f'<li><a href="#drill-{number}">{escape(drill.title)}</a>'
            f" <span>{escape(drill.today)}; {escape(drill.goal)}</span></li>"
        )
    yield "</ol>"
    yield from (f"<p>{escape(line)}</p>" for line in page.order)
    yield "</section>"
    if page.elsewhere:
        yield '<section aria-labelledby="elsewhere">\n<h2 id="elsewhere">In the other parts</h2>\n<ul>'
        yield from (f"<li><b>{escape(name)}</b>: {escape(said)}</li>" for name, said in page.elsewhere)
        yield "</ul>\n</section>"


def _drill(number: int, drill: ToPractice) -> Iterator[str]:
    yield f'<section class="drill" aria-labelledby="drill-{number}">'
    yield f'<h2 id="drill-{number}">{number}. {escape(drill.title)}</h2>'
    yield f'<p class="about">{escape(drill.about)}</p>'
    yield f'<p class="tempo"><strong>{escape(drill.today)}</strong> <span>{escape(drill.goal)}</span></p>'
    yield from _links(drill.pages)
    for in_key in drill.keys:
        yield f"<h3>{escape(_now(in_key))}</h3>"
        yield from _links(in_key.sheets)
        yield from _sounds(in_key, drill)
        if in_key.rest:
            yield f"<details><summary>Everything else in {escape(in_key.key)}</summary>"
            yield from _links(in_key.rest)
            yield "</details>"
    yield "</section>"


def _now(in_key: InKey) -> str:
    return ", ".join(filter(None, (in_key.key, in_key.tempo)))


def _links(links: tuple[Link, ...]) -> Iterator[str]:
    if links:
        yield '<ul class="links">' + "".join(f"<li>{_link(link)}</li>" for link in links) + "</ul>"


def _link(link: Link) -> str:
    return f'<a href="{quote(link.path)}">{escape(link.words)}</a>'


def _sounds(in_key: InKey, drill: ToPractice) -> Iterator[str]:
    """Yield today's steps: a player for each, or a link where a browser plays no such file."""
    if not in_key.today:
        return
    yield '<ol class="today">'
    for link in in_key.today:
        if link.sound:
            label = escape(f"{drill.title}, {_now(in_key)}, {link.words}")
            yield (
                f"<li><span>{escape(link.words)}</span> "
                f'<audio controls preload="none" src="{quote(link.path)}" aria-label="{label}"></audio></li>'
            )
        else:
            yield f"<li>{_link(link)}</li>"
    yield "</ol>"
