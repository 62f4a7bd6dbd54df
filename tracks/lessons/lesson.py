"""Lessons: TOML files of several drills that share defaults.

Conventions
- `[defaults]` holds what every `[[drill]]` shares; a drill's own field goes before it.
- A lesson's name is its file's, without `.toml`; it is the folder that its packs go into. Its title and notes
  are words for people, never a path.
- Paths in a lesson are read from the lesson's own folder.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType

from tracks.drill.drill import Drill, numbered
from tracks.drill.kinds import shaped
from tracks.drill.options import BY_NAME, Option, former, remarks_on, today
from tracks.drill.request import request_of, with_defaults
from tracks.lessons.heading import HEADING_FIELDS, fields_of, heading_of
from tracks.lessons.toml import Document, Place, document_of, read_document
from tracks.model import Heading
from tracks.progression.files import names_a_file
from tracks.style import Style
from tracks.theory.errors import RequestError, read_all
from tracks.theory.names import check_portable

HEADINGS: Mapping[str, str] = {
    **HEADING_FIELDS,
    "defaults": "What every drill shares.",
    "drill": "A drill, one heading each.",
}
"""What may stand at the top of a lesson."""

FIELDS: Mapping[str, Option] = {name: option for name, option in BY_NAME.items() if option.lesson}
"""What a drill of a lesson may say, in the words of the table of options."""


@dataclass(frozen=True, slots=True)
class LessonDrill:
    """A drill of a lesson, its style, what the lesson calls the style, and remarks on what it asks."""

    drill: Drill
    style: Style
    style_name: str
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Lesson:
    """A lesson read and checked, every drill once for each of its starting inversions.

    `remarks` are what is written in a former name or word, each with its place and what to write now.
    """

    path: Path
    name: str
    heading: Heading
    drills: tuple[LessonDrill, ...]
    remarks: tuple[str, ...] = ()


def read_lesson(path: Path, load: Callable[[str], Style]) -> Lesson:
    """Return the lesson at a path; `load` finds a style by its name or by the path of its file.

    Raises RequestError with file, line and field for whatever cannot be read, played or told apart.
    """
    return _lesson(read_document(path), load)


def read_lesson_text(text: str, path: Path, load: Callable[[str], Style]) -> Lesson:
    """Return the lesson of a text that is to lie at a path; raise RequestError as `read_lesson` does."""
    return _lesson(document_of(text, path), load)


def _lesson(document: Document, load: Callable[[str], Style]) -> Lesson:
    if "requirement" in document.content and "drill" not in document.content:
        raise document.fault(
            (), "this is a level, not a lesson", f"plan a term: rungwise term {document.path}"
        )
    for name in document.content:
        if name in FIELDS and name not in HEADINGS:
            raise document.fault((name,), "this is said of a drill", "write it under a heading [[drill]]")
    document.check_known((), document.content, HEADINGS)
    shared = checked_fields(document, ("defaults",), document.table("defaults"), FIELDS)
    if "name" in shared:
        raise document.fault(("defaults", "name"), "every drill needs a name of its own", "write it there")

    def read(numbered_table: tuple[int, Mapping[str, object]]) -> list[LessonDrill]:
        number, table = numbered_table
        place = ("drill", number)
        fields = with_defaults(checked_fields(document, place, table, FIELDS), shared)
        if "progression" not in fields:
            raise document.fault(place, "the drill has no progression", 'write progression = "I IV V7 I"')
        return drills_of(document, place, fields, load)

    drills: dict[str, LessonDrill] = {}
    for number, every in enumerate(read_all(read, enumerate(document.tables("drill")))):
        for made in every:
            if made.drill.name.lower() in drills:  # case-insensitive file systems tell no capitals apart
                raise document.fault(
                    ("drill", number, "name"),
                    f"two drills are called {made.drill.name}",
                    "give one another name",
                )
            drills[made.drill.name.lower()] = made
    in_order = _numbered(document, list(drills.values()))
    return Lesson(
        document.path,
        name_of(document.path),
        heading_of(document),
        in_order,
        tuple(_remarks(document)),
    )


def _numbered(document: Document, made: Sequence[LessonDrill]) -> tuple[LessonDrill, ...]:
    try:
        drills = numbered(each.drill for each in made)
    except RequestError as fault:
        raise fault.at(str(document.path)) from fault
    return tuple(replace(each, drill=drill) for each, drill in zip(made, drills, strict=True))


def lesson_text(heading: Heading, drills: Iterable[Mapping[str, object]]) -> str:
    """Return the text of a lesson; the fields of a drill are plain values, lists of them tuples."""
    blocks = [_block("", fields_of(heading))]
    blocks += [_block("[[drill]]\n", drill) for drill in drills]
    return "\n".join(blocks)


def moved(fields: Mapping[str, object], old: Path, new: Path) -> dict[str, object]:
    """Return a drill's fields as a file in the folder `new` says them, where one in `old` says `fields`."""
    import os.path

    def from_new(path: str) -> str:
        if Path(path).anchor:
            return path
        try:
            return os.path.relpath(old / path, new).replace(os.sep, "/")
        except ValueError:  # two drives of Windows have no way from one to the other
            return str((old / path).absolute())

    return _with_paths(fields, from_new)


def _read_beside(fields: Mapping[str, object], folder: Path) -> dict[str, object]:
    """Return a drill's fields with its paths read from the folder of the file that says them.

    They are worked out as words, so that no link leads elsewhere than is said, and no disk is asked.
    """
    import os.path

    return _with_paths(fields, lambda path: os.path.normpath(folder / path))


def _with_paths(fields: Mapping[str, object], change: Callable[[str], str]) -> dict[str, object]:
    """Return the fields with those changed that are paths: a progression's, and a style's."""
    said = dict(fields)
    for name, is_path in (("progression", names_a_file), ("style", _names_a_style_file)):
        if is_path(str(fields.get(name, ""))):
            said[name] = change(str(fields[name]).strip())
    return said


def _names_a_style_file(name: str) -> bool:
    return name.endswith(".py")


def checked_fields(
    document: Document, place: Place, table: Mapping[str, object], known: Mapping[str, Option]
) -> dict[str, object]:
    """Return a table's fields with their shapes checked, in today's names.

    Raises RequestError for one unknown or of another shape.
    """
    read_too = {**known, **former(known)}
    for name in table:
        if name in HEADING_FIELDS and name not in read_too:
            fix = "write it at the top of the file, above every heading in brackets"
            raise document.fault((*place, name), "this is said of the whole file", fix)
        if name in BY_NAME and name not in read_too and not BY_NAME[name].in_level:
            raise document.fault((*place, name), "the term chooses this, week by week", "leave it out")
    spoken = {word: name for name, option in known.items() for word in option.spoken}
    document.check_known(place, table, read_too, spoken)
    fields = {}
    for name, value in table.items():
        try:
            fields[name] = shaped(read_too[name].kind, value)
        except RequestError as fault:
            raise document.fault((*place, name), fault.reason, fault.fix) from fault
    return today(fields)


def drills_of(
    document: Document,
    place: Place,
    fields: Mapping[str, object],
    load: Callable[[str], Style],
    called: Mapping[str, str] = MappingProxyType({}),
) -> list[LessonDrill]:
    """Return the drills that checked fields ask for; raise RequestError at the field that cannot be met.

    `called` is what the document calls a lesson's fields where it has another word.
    """
    from tracks.practice.arrange import check_plays

    request = request_of(_read_beside(fields, document.path.parent))
    try:
        style = request.style(load)
    except RequestError as fault:
        raise _placed(document, place, called, fault) from fault
    try:
        made = request.drills(style)
        for drill in made:
            check_plays(style, drill)
            _check_playable(drill)
    except RequestError as fault:
        raise _placed(document, place, called, fault) from fault
    return [LessonDrill(drill, style, request.style_name, request.remarks) for drill in made]


def _check_playable(drill: Drill) -> None:
    """Raise the fault that a drill would have once it is made, as far as a key of each mode can tell."""
    from tracks.drill.in_key import in_each_key

    in_each_key(
        replace(drill, keys=tuple({key.mode: key for key in reversed(drill.keys)}.values()), key_cycle=False)
    )


def _placed(document: Document, place: Place, called: Mapping[str, str], fault: RequestError) -> RequestError:
    """Return the fault at its field, which may stand among the defaults."""
    name, *rest = fault.place if fault.place and fault.place[0] in BY_NAME else ("", *fault.place)
    field = called.get(name, name)
    own, shared = (*place, field), ("defaults", field)
    where = document.where(shared if own not in document.lines and shared in document.lines else own)
    return RequestError(fault.reason, fault.fix, (*where, *rest))


def _remarks(document: Document) -> Iterator[str]:
    """Yield what is said in a former name or word, each with its place."""
    tables: list[tuple[Place, Mapping[str, object]]] = [(("defaults",), document.table("defaults"))]
    tables += [(("drill", number), table) for number, table in enumerate(document.tables("drill"))]
    for place, table in tables:
        for name, remark in remarks_on(table):
            yield f"{', '.join(document.where((*place, name)))}: {remark}"


def name_of(path: Path) -> str:
    """Return the name of the lesson that a file holds; raise RequestError where it cannot be a folder's."""
    if not re.fullmatch(r"[A-Za-z0-9_-]{1,80}", path.stem):
        meant = re.sub(r"[^A-Za-z0-9_-]+", "-", path.stem).strip("-")[:80] or "lesson"
        raise RequestError(
            f"{path}: a lesson's file name becomes a folder's",
            f"use letters, digits, - and _ only, like {meant}.toml",
        )
    return check_portable(path.stem)


def _block(heading: str, fields: Mapping[str, object]) -> str:
    return heading + "".join(f"{name} = {_toml(value)}\n" for name, value in fields.items())


def _toml(value: object) -> str:
    """Return a value as TOML; its basic strings, numbers and lists are written as JSON's are."""
    import json

    return json.dumps(value, ensure_ascii=False)
