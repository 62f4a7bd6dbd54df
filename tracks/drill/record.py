"""A drill as plain values, as a manifest keeps it, and back again.

Conventions
- A record has the drill's own field names. Keys, meters and pitches are their ASCII names, choices their
  words, tuples lists: whatever JSON can hold, and a person can read.
- A field left out takes the drill's default. A field or a word that has another name now is still read.
"""

from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields
from enum import Enum
from functools import cache
from typing import Any, TypeAlias, get_args, get_origin

from tracks.drill.drill import Drill
from tracks.drill.options import OPTIONS
from tracks.progression.lead_sheet import LeadSheet
from tracks.progression.sheet_record import sheet_from_record, sheet_record
from tracks.theory.errors import RequestError

_Reader: TypeAlias = Callable[[object], object]

_ONCE = {option.once.replace("-", "_"): option.drill_field for option in OPTIONS if option.once}
_ONCE_WORDS = {option.drill_field: option.kind.once for option in OPTIONS if option.kind.once}
"""Former names of fields, and former words in them, which the manifests of older packs have."""


def drill_record(drill: Drill) -> dict[str, object]:
    """Return the record of a drill."""
    return {field.name: _plain(getattr(drill, field.name)) for field in fields(drill)}


def drill_from_record(record: Mapping[str, object]) -> Drill:
    """Return the drill of a record; raise RequestError naming the field that is unknown, missing or wrong."""
    record = {_ONCE.get(name, name): value for name, value in record.items()}
    for name in record:
        if name not in _readers():
            raise RequestError(f"field {name!r} is none of a drill's", "leave it out")
    for field in fields(Drill):
        if field.name not in record and field.default is MISSING:
            raise RequestError(f"field {field.name} is missing", "a drill needs it")
    given: dict[str, Any] = {}
    for name, value in record.items():
        try:
            given[name] = _readers()[name](_today(value, _ONCE_WORDS.get(name, {})))
        except RequestError as fault:
            raise fault.at(f"field {name}") from None
    return Drill(**given)


def _today(value: object, once: Mapping[str, str]) -> object:
    """Return a record's value in today's words."""
    if isinstance(value, list):
        return [_today(each, once) for each in value]
    return once.get(value, value) if isinstance(value, str) else value


def _plain(value: object) -> object:
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, LeadSheet):
        return sheet_record(value)
    if isinstance(value, Enum):
        return value.value
    return value if value is None or isinstance(value, int) else str(value)


def _of(kind: type, called: str) -> _Reader:
    def read(value: object) -> object:
        if type(value) is not kind:  # a bool is an int, but no number of bars
            raise RequestError(f"{value!r} is not {called}")
        return value

    return read


_PLAIN = {str: "text", int: "a whole number", bool: "true or false"}
_text = _of(str, _PLAIN[str])


def _parsed(parse: Callable[[str], object]) -> _Reader:
    return lambda value: parse(str(_text(value)))


def _choice(choices: type[Enum]) -> _Reader:
    words = [choice.value for choice in choices]

    def read(value: object) -> object:
        word = _text(value)
        try:
            return choices(word)
        except ValueError:
            raise RequestError(f"{value!r} is not one of {', '.join(words)}") from None

    return read


def _many(read: _Reader) -> _Reader:
    def read_all(value: object) -> object:
        if not isinstance(value, list | tuple):
            raise RequestError(f"{value!r} is not a list")
        return tuple(map(read, value))

    return read_all


def _or_none(read: _Reader) -> _Reader:
    return lambda value: None if value is None else read(value)


def _music(value: object) -> object:
    return sheet_from_record(value) if isinstance(value, Mapping) else _text(value)


@cache
def _readers() -> Mapping[str, _Reader]:
    """Return how each field of a record is read: as the type that the Drill has it in."""
    return {field.name: _reader(field.type) for field in fields(Drill)}


def _reader(kind: Any) -> _Reader:
    held = get_args(kind)
    if get_origin(kind) is tuple:
        return _many(_reader(held[0]))
    if LeadSheet in held:
        return _music
    if held:
        return _or_none(_reader(held[0]))
    if kind in _PLAIN:
        return _of(kind, _PLAIN[kind])
    return _choice(kind) if issubclass(kind, Enum) else _parsed(kind.parse)
