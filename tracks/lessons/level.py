"""Levels: TOML files that say what a student must be able to play, and how fast.

Conventions
- `[defaults]` and `[[requirement]]` work as in a lesson. A requirement lists progressions, keys, textures,
  styles and starts: all of them are wanted, in every combination.
- `minimum-tempo` is what must be reached, `from` where a term begins; both in felt beats a minute.
- A level is the teacher's own. The one that comes with Rungwise is invented.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import product
from pathlib import Path

from tracks.drill.kinds import EVERY, WHOLE, Shape
from tracks.drill.options import BY_NAME, PROGRESSION, Option
from tracks.drill.request import slug
from tracks.lessons.heading import HEADING_FIELDS, heading_of
from tracks.lessons.lesson import checked_fields, drills_of
from tracks.lessons.toml import Document, Place, read_document
from tracks.model import Heading
from tracks.style import Style
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.note_names import NoteNames
from tracks.theory.tempo import SLOWEST, check_bpm

HEADINGS: Mapping[str, str] = {
    **HEADING_FIELDS,
    "defaults": "What every requirement shares.",
    "check": "What a recorded take may show and be called ready; the names are those of `rungwise check`.",
    "requirement": "Something to be able to play, one heading each.",
}

_LISTS = {option.in_level: option for option in BY_NAME.values() if option.in_level not in ("", option.name)}
"""The fields that list what is wanted, and the option of a drill that each fills in turn."""

_WAYS = {
    name: option
    for name, option in sorted(_LISTS.items(), key=lambda row: row[0] == "starts")
    if option is not PROGRESSION
}
"""Those whose combinations are wanted; the start changes fastest."""

_KEPT = {option.name: option for option in BY_NAME.values() if option.in_level == option.name}
"""What a requirement says as a drill does."""

_GOAL, _FIRST = "minimum-tempo", "from"


def _list_of(option: Option) -> Option:
    """Return the option of a level that lists the values of one of a drill's."""
    words = tuple(word for word in option.kind.words if word != EVERY)
    kind = option.kind._replace(shape=Shape.TEXTS, words=words)
    return option._replace(
        name=option.in_level, kind=kind, help=f"{option.help} All of a list are wanted.", usual=""
    )


REQUIREMENT_FIELDS: Mapping[str, Option] = {
    **{name: _list_of(option) for name, option in _LISTS.items()},
    _GOAL: Option(_GOAL, WHOLE, "The tempo to reach, in felt beats a minute."),
    _FIRST: Option(_FIRST, WHOLE, "The tempo to begin the term at.", usual="two thirds of the minimum"),
    **_KEPT,
}

_CALLED = {"to": _GOAL, **{option.name: name for name, option in _LISTS.items()}}
"""What a requirement calls the options of a drill."""


@dataclass(frozen=True, slots=True)
class Requirement:
    """One progression to be able to play in every key, every way, at `goal` felt beats a minute.

    `ways` are the combinations of texture, style and start, as fields of a lesson; `fields` are the fields
    that they share.
    """

    name: str
    progression: str
    keys: tuple[Key, ...]
    first: int
    goal: int
    ways: tuple[Mapping[str, object], ...]
    fields: Mapping[str, object]

    @property
    def note_names(self) -> NoteNames:
        """Whose names of notes and keys it is written in, and its papers are printed in."""
        return NoteNames(self.fields.get("note-names", NoteNames.ENGLISH))


@dataclass(frozen=True, slots=True)
class Level:
    """What a student must be able to play."""

    heading: Heading
    requirements: tuple[Requirement, ...]


def read_level(path: Path, load: Callable[[str], Style]) -> Level:
    """Return the level at a path.

    Raises RequestError with file, line and field for what cannot be read or played.
    """
    document = read_document(path)
    if "drill" in document.content and "requirement" not in document.content:
        raise document.fault((), "this is a lesson, not a level", f"make its files: rungwise build {path}")
    document.check_known((), document.content, HEADINGS)
    shared = checked_fields(document, ("defaults",), document.table("defaults"), REQUIREMENT_FIELDS)
    found: dict[str, Requirement] = {}
    for number, table in enumerate(document.tables("requirement")):
        place = ("requirement", number)
        fields = shared | checked_fields(document, place, table, REQUIREMENT_FIELDS)
        for requirement in _requirements(document, place, fields, load):
            if requirement.name in found:
                raise document.fault(
                    (*place, "name"),
                    f"two requirements are called {requirement.name}",
                    "give one another name",
                )
            found[requirement.name] = requirement
    return Level(heading_of(document, path.stem), tuple(found.values()))


def _requirements(
    document: Document, place: Place, fields: Mapping[str, object], load: Callable[[str], Style]
) -> list[Requirement]:
    """Return a requirement for each progression, having tried all its ways."""
    for needed in ("progressions", "keys", _GOAL):
        if needed not in fields:
            raise document.fault(place, f"the requirement has no {needed}", "every one needs it")
    first, goal = _tempos(document, place, fields)
    progressions = _texts(fields["progressions"])
    kept = {name: fields[name] for name in _KEPT if name in fields and name not in ("name", "keys")}
    found = []
    for progression in progressions:
        name = _name(str(fields.get("name", "")), progression, len(progressions))
        tried = {"name": name, "progression": progression, "keys": fields["keys"], "to": str(goal), **kept}
        ways = _ways(fields)
        made = [drills_of(document, place, {**tried, **way}, load, _CALLED) for way in ways]
        keys = made[0][0].drill.keys
        found.append(Requirement(name, progression, keys, first, goal, ways, kept))
    return found


def _tempos(document: Document, place: Place, fields: Mapping[str, object]) -> tuple[int, int]:
    """Return the tempo to begin at and the tempo to reach."""
    goal = int(str(fields[_GOAL]))
    first = int(str(fields.get(_FIRST, max(goal * 2 // 3, SLOWEST))))
    for name, bpm in ((_GOAL, goal), (_FIRST, first)):
        try:
            check_bpm(bpm)
        except RequestError as fault:
            raise document.fault((*place, name), fault.reason, fault.fix) from fault
    if first >= goal:
        raise document.fault((*place, _FIRST), f"{first} is not below the minimum tempo, {goal}")
    return first, goal


def _ways(fields: Mapping[str, object]) -> tuple[Mapping[str, object], ...]:
    lists = {name: option.name for name, option in _WAYS.items() if name in fields}
    return tuple(
        dict(zip(lists.values(), way, strict=True)) for way in product(*(_texts(fields[n]) for n in lists))
    )


def _name(given: str, progression: str, progressions: int) -> str:
    """Return a requirement's name: what it is called, its progression, or both where it has several."""
    named = slug(progression) if progressions > 1 or not given else ""
    return "-".join(word for word in (given, named) if word)


def _texts(value: object) -> tuple[str, ...]:
    if not isinstance(value, tuple):
        raise RequestError(f"{value!r} is not a list")
    return value
