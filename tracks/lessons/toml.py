"""Documents: the TOML files that teachers write, read so that every fault names file, line and field.

Conventions
- A *place* is where a value stands: `("title",)`, `("defaults", "keys")`, `("drill", 2, "keys")` for that of
  the third `[[drill]]`, `("drill", 2)` for its heading. Lines count from 1.
- Field names are words with hyphens, as options have them: `count-in`.

The TOML reader knows no lines once a file is well formed, so the few forms that a heading and a field can
have are looked for again, line by line; a field written in another form costs the fault its line, no more.

Source: TOML 1.0.0 (toml.io), read by the standard library's `tomllib`.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import TypeAlias

from tracks.lessons.toml_slips import mend
from tracks.plain_file import read_plain
from tracks.theory.errors import RequestError, correction

MOST_BYTES = 4_000_000
_LARGEST = 10**12
"""No number of ours is larger, and Python writes out none of more than 4,300 digits."""

NO_WORDS: Mapping[str, str] = MappingProxyType({})
Place: TypeAlias = tuple[str | int, ...]

_HEADING = re.compile(r"\s*(\[\[?)\s*([A-Za-z0-9_-]+)\s*\]\]?\s*(?:#.*)?")
_FIELD = re.compile(r"\s*(?:\"([^\"]+)\"|'([^']+)'|([A-Za-z0-9_-]+))\s*=")
_AT_LINE = re.compile(r"(.*) \(at (line \d+, column \d+|end of document)\)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Document:
    """A file's content, and the line of every heading and field that could be found."""

    path: Path
    content: Mapping[str, object]
    lines: Mapping[Place, int]

    def fault(self, place: Place, reason: str, fix: str = "") -> RequestError:
        """Return the fault of a place: file, line and field, then the reason and the fix."""
        return RequestError(reason, fix, self.where(place))

    def where(self, place: Place) -> tuple[str, ...]:
        """Return a place in words: the file, the line, and the field."""
        line = self.lines.get(place) or self.lines.get(place[:-1])
        field = str(place[-1]) if place and isinstance(place[-1], str) else ""
        return tuple(filter(None, (str(self.path), f"line {line}" if line else "", field)))

    def table(self, name: str) -> Mapping[str, object]:
        """Return the table of a heading `[name]`, empty where there is none.

        Raises RequestError for no table.
        """
        found = self.content.get(name, {})
        if not isinstance(found, Mapping):
            raise self.fault((name,), f"write it as a heading, [{name}]")
        return found

    def tables(self, name: str) -> tuple[Mapping[str, object], ...]:
        """Return the tables of the headings `[[name]]`.

        Raises RequestError where there is none or another thing.
        """
        found = self.content.get(name)
        if found is None:
            raise RequestError(f"it has no [[{name}]]", "write one for each", str(self.path))
        if not isinstance(found, list) or not all(isinstance(each, Mapping) for each in found):
            raise self.fault((name,), f"write every one under a heading of its own, [[{name}]]")
        return tuple(found)

    def check_known(
        self,
        place: Place,
        given: Mapping[str, object],
        known: Mapping[str, object],
        spoken: Mapping[str, str] = NO_WORDS,
    ) -> None:
        """Raise RequestError for a field that is none of those known, with the nearest of them.

        `spoken` are what people call some of them.
        """
        for name in given:
            if name not in known:
                meant = correction(spoken.get(name, name), known)
                raise self.fault((*place, name), "there is no such field", meant)


def read_document(path: Path) -> Document:
    """Return the document at a path; raise RequestError where it cannot be read or is no TOML."""
    if path.suffix != ".toml":
        raise _no_document(path)
    try:
        text = read_plain(path, "give the path of a TOML file", MOST_BYTES).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise RequestError(
            "this is not UTF-8", "save the file as UTF-8", (str(path), f"byte {error.start + 1}")
        ) from error
    return document_of(text, path)


def _no_document(path: Path) -> RequestError:
    beside = path.with_name(f"{path.name}.toml")
    fix = f"did you mean {beside}?" if beside.is_file() else "give the path of one"
    return RequestError(f"{path}: lessons and levels are files that end in .toml", fix)


def document_of(text: str, path: Path) -> Document:
    """Return the document of a text that lies, or is to lie, at a path.

    Raises RequestError where it is no TOML.
    """
    import tomllib

    try:
        content = tomllib.loads(text.replace("\r\n", "\n"))
        beyond = next(_beyond(content), None)
    except (ValueError, RecursionError) as error:
        raise _not_toml(path, str(error), text) from error
    found = Document(path, content, _lines(text))
    if beyond:
        raise found.fault(*beyond)
    return found


def _beyond(content: Mapping[str, object]) -> Iterator[tuple[Place, str, str]]:
    """Yield the place of every value that nothing here can mean, with the reason and the fix."""
    open_places: list[tuple[Place, object]] = [((), content)]
    while open_places:
        place, value = open_places.pop()
        if isinstance(value, Mapping):
            open_places += [((*place, name), each) for name, each in value.items()]
        elif isinstance(value, list):
            of_tables = all(isinstance(each, Mapping) for each in value)
            open_places += [((*place, at) if of_tables else place, each) for at, each in enumerate(value)]
        elif isinstance(value, int) and abs(value) > _LARGEST:
            yield place, "this number is too large for anything here", "check it"
        elif isinstance(value, str) and "\0" in value:
            yield place, "it holds a NUL, which no text has", "leave it out"


def _not_toml(path: Path, message: str, text: str) -> RequestError:
    # The library's fault has no field for the line, which it tells in its message only.
    match = _AT_LINE.fullmatch(message)
    if "sys.set_int_max_str_digits" in message:  # what Python says there is for programmers
        return RequestError("a number in it has too many digits", "check its numbers", (str(path),))
    reason, where = (match[1], (match[2],)) if match else (message, ())
    number = re.match(r"line (\d+)", where[0]) if where else None
    fix = mend(reason, text, int(number[1]) if number else None)
    return RequestError(f"this is not TOML: {reason}", fix, (str(path), *where))


def _lines(text: str) -> dict[Place, int]:
    lines: dict[Place, int] = {}
    place: Place = ()
    counted: dict[str, int] = {}
    quotes = ""
    for number, line in enumerate(text.splitlines(), 1):
        if not quotes:
            if heading := _HEADING.fullmatch(line):
                place = _place_of(heading, counted)
                lines.setdefault(place, number)
            elif field := _FIELD.match(line):
                lines.setdefault((*place, field[1] or field[2] or field[3]), number)
        quotes = _still_open(line, quotes)
    return lines


def _place_of(heading: re.Match[str], counted: dict[str, int]) -> Place:
    brackets, name = heading.groups()
    if brackets == "[":
        return (name,)
    counted[name] = counted.get(name, -1) + 1
    return name, counted[name]


def _still_open(line: str, quotes: str) -> str:
    """Return the triple quotes that text is still inside of after a line, given those before it."""
    for mark in re.findall(r'"""|\'\'\'', line):
        if not quotes:
            quotes = mark
        elif quotes == mark:
            quotes = ""
    return quotes
