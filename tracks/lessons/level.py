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

from tracks.drill.fields import FIELDS, Field, Shape
from tracks.drill.request import slug
from tracks.lessons.lesson import checked_fields, drills_of, words
from tracks.lessons.toml import Document, Place, read_document
from tracks.style import Style
from tracks.theory.errors import RequestError
from tracks.theory.key import Key, parse_keys
from tracks.theory.tempo import SLOWEST, check_bpm

HEADINGS: Mapping[str, str] = {
    "title": "What the level is called.",
    "notes": "Words for the student or the teacher.",
    "defaults": "What every requirement shares.",
    "requirement": "Something to be able to play, one heading each.",
}

_KEPT = ("name", "keys", "written-in", "meter", "sevenths", "range", "level", "count-in", "click", "repeats")

REQUIREMENT_FIELDS: Mapping[str, Field] = {
    "progressions": Field("Progressions, each as in a lesson: chords, or a name.", Shape.TEXTS),
    "textures": Field("What the hands must be able to do.", Shape.TEXTS, FIELDS["texture"].words),
    "styles": Field("Styles to play along with.", Shape.TEXTS),
    "starts": Field(
        "Inversions to be able to start in.",
        Shape.TEXTS,
        tuple(word for word in FIELDS["start"].words if word != "all"),
    ),
    "minimum-tempo": Field("The tempo to reach, in felt beats a minute.", Shape.WHOLE),
    "from": Field("The tempo to begin the term at. Left out, two thirds of the minimum.", Shape.WHOLE),
    **{name: FIELDS[name] for name in _KEPT},
}

_LISTS = {"textures": "texture", "styles": "style", "starts": "start"}
"""The lists whose combinations are wanted, and the field of a lesson that each fills."""

_CALLED = {
    "progression": "progressions",
    "to": "minimum-tempo",
    **{field: name for name, field in _LISTS.items()},
}
"""What a requirement calls the fields of a lesson."""


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


@dataclass(frozen=True, slots=True)
class Level:
    """What a student must be able to play."""

    title: str
    notes: str
    requirements: tuple[Requirement, ...]


def read_level(path: Path, load: Callable[[str], Style]) -> Level:
    """Return the level at a path.

    Raises RequestError with file, line and field for what cannot be read or played.
    """
    document = read_document(path)
    document.check_known((), document.content, HEADINGS)
    shared = checked_fields(document, ("defaults",), document.table("defaults"), REQUIREMENT_FIELDS)
    found: dict[str, Requirement] = {}
    for number, table in enumerate(document.tables("requirement")):
        place = ("requirement", number)
        fields = shared | checked_fields(document, place, table, REQUIREMENT_FIELDS)
        for requirement in _requirements(document, place, fields, load):
            if requirement.name in found:
                raise document.fault(
                    (*place, "name"), f"two requirements are called {requirement.name}; give one another name"
                )
            found[requirement.name] = requirement
    return Level(words(document, "title") or path.stem, words(document, "notes"), tuple(found.values()))


def _requirements(
    document: Document, place: Place, fields: Mapping[str, object], load: Callable[[str], Style]
) -> list[Requirement]:
    """Return a requirement for each progression, having tried all its ways."""
    for needed in ("progressions", "keys", "minimum-tempo"):
        if needed not in fields:
            raise document.fault(place, f"the requirement has no {needed}; every one needs it")
    first, goal = _tempos(document, place, fields)
    progressions = _texts(fields["progressions"])
    kept = {name: fields[name] for name in _KEPT[2:] if name in fields}
    found = []
    for progression in progressions:
        name = _name(str(fields.get("name", "")), progression, len(progressions))
        tried = {"name": name, "progression": progression, "keys": fields["keys"], "to": str(goal), **kept}
        ways = _ways(fields)
        for way in ways:
            drills_of(document, place, {**tried, **way}, load, _CALLED)
        keys = parse_keys(_texts(fields["keys"]))
        found.append(Requirement(name, progression, keys, first, goal, ways, kept))
    return found


def _tempos(document: Document, place: Place, fields: Mapping[str, object]) -> tuple[int, int]:
    """Return the tempo to begin at and the tempo to reach."""
    goal = int(str(fields["minimum-tempo"]))
    first = int(str(fields.get("from", max(goal * 2 // 3, SLOWEST))))
    for name, bpm in (("minimum-tempo", goal), ("from", first)):
        try:
            check_bpm(bpm)
        except RequestError as fault:
            raise document.fault((*place, name), str(fault)) from fault
    if first >= goal:
        raise document.fault((*place, "from"), f"{first} is not below the minimum tempo, {goal}")
    return first, goal


def _ways(fields: Mapping[str, object]) -> tuple[Mapping[str, object], ...]:
    lists = {name: field for name, field in _LISTS.items() if name in fields}
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
