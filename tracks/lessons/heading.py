"""What stands at the head of a lesson or a level: whose it is, from when, due when, and words for people.

Dates are TOML's own (`date = 2026-03-02`), or the same in quotes (ISO 8601, RFC 3339's full-date).
"""

from collections.abc import Mapping
from datetime import date, datetime

from tracks.lessons.toml import Document
from tracks.model import Heading

HEADING_FIELDS: Mapping[str, str] = {
    "title": "What it is called.",
    "student": "Whose it is; it stands on the page and on the sheets.",
    "date": "The day of the lesson, like 2026-03-02.",
    "due": "The day by which it should be played.",
    "notes": "Words for the student.",
}
"""What may stand at the top, and what it is for."""


def heading_of(document: Document, title: str = "") -> Heading:
    """Return the heading of a document, `title` where it has none.

    Raises RequestError for what is no text or no date, and where it is due before its day.
    """
    found = Heading(
        student=" ".join(_words(document, "student").split()),
        title=" ".join(_words(document, "title").split()) or title,
        date=_day(document, "date"),
        due=_day(document, "due"),
        notes=_words(document, "notes"),
    )
    if found.date and found.due and found.due < found.date:
        raise document.fault(("due",), f"{found.due} comes before the day of the lesson, {found.date}")
    return found


def fields_of(heading: Heading) -> dict[str, str]:
    """Return a heading as a lesson writes it, without what is empty."""
    said = {name: getattr(heading, name) for name in HEADING_FIELDS}
    return {name: str(value) for name, value in said.items() if value}


def _words(document: Document, name: str) -> str:
    """Return a line or more for people; raise RequestError for what is no text, or would steer a terminal."""
    text = document.content.get(name, "")
    if not isinstance(text, str):
        raise document.fault((name,), f"{text!r} is not text in quotes")
    if not all(character.isprintable() or character == "\n" for character in text):
        raise document.fault((name,), "it holds a control character", "leave it out")
    return text.strip()


def _day(document: Document, name: str) -> date | None:
    value = document.content.get(name)
    if value is None or (isinstance(value, date) and not isinstance(value, datetime)):
        return value
    try:
        return date.fromisoformat(value) if isinstance(value, str) else _no_day(value)
    except ValueError:
        raise document.fault((name,), f"{value!s} is no day", "write one like 2026-03-02") from None


def _no_day(value: object) -> date:
    raise ValueError(value)
