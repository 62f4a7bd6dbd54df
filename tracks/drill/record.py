"""A drill as plain values, as a manifest keeps it, and back again.

Conventions
- A record has the drill's own field names. Keys, meters and pitches are their ASCII names, choices their
  words, tuples lists: whatever JSON can hold, and a person can read.
- A field left out takes the drill's default.
"""

from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields
from enum import Enum
from typing import Any, TypeAlias

from tracks.drill.drill import BuildUp, Climb, Drill, Form, Left, Mix, Sevenths, Start
from tracks.model import AudioFormat, Role, Texture
from tracks.progression.lead_sheet import LeadSheet
from tracks.progression.sheet_record import sheet_from_record, sheet_record
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import Meter
from tracks.theory.pitch import Pitch

_Reader: TypeAlias = Callable[[object], object]


def drill_record(drill: Drill) -> dict[str, object]:
    """Return the record of a drill."""
    return {field.name: _plain(getattr(drill, field.name)) for field in fields(drill)}


def drill_from_record(record: Mapping[str, object]) -> Drill:
    """Return the drill of a record; raise RequestError naming the field that is unknown, missing or wrong."""
    for name in record:
        if name not in _READERS:
            raise RequestError(f"field {name!r} is none of a drill's; leave it out")
    for field in fields(Drill):
        if field.name not in record and field.default is MISSING:
            raise RequestError(f"field {field.name} is missing; a drill needs it")
    given: dict[str, Any] = {}
    for name, value in record.items():
        try:
            given[name] = _READERS[name](value)
        except RequestError as fault:
            raise RequestError(f"field {name}: {fault}") from None
    return Drill(**given)


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


_text, _whole, _yes_or_no = _of(str, "text"), _of(int, "a whole number"), _of(bool, "true or false")


def _parsed(parse: Callable[[str], object]) -> _Reader:
    return lambda value: parse(str(_text(value)))


def _choice(choices: type[Enum]) -> _Reader:
    words = {choice.value: choice for choice in choices}

    def read(value: object) -> object:
        if _text(value) not in words:
            raise RequestError(f"{value!r} is not one of {', '.join(words)}")
        return words[value]

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


_READERS: dict[str, _Reader] = {
    "name": _text,
    "progression": _music,
    "keys": _many(_parsed(Key.parse)),
    "meter": _parsed(Meter.parse),
    "tempos": _many(_whole),
    "style": _text,
    "level": _whole,
    "texture": _choice(Texture),
    "start": _choice(Start),
    "sevenths": _choice(Sevenths),
    "low": _parsed(Pitch.parse),
    "high": _parsed(Pitch.parse),
    "mixes": _many(_choice(Mix)),
    "count_in": _whole,
    "click": _yes_or_no,
    "repeats": _whole,
    "seed": _whole,
    "midi_type": _whole,
    "written_in": _or_none(_parsed(Key.parse)),
    "feel": _or_none(_yes_or_no),
    "without": _many(_choice(Role)),
    "lead_in": _yes_or_no,
    "climb": _or_none(_choice(Climb)),
    "build_up": _or_none(_choice(BuildUp)),
    "key_cycle": _yes_or_no,
    "stems": _yes_or_no,
    "short_names": _yes_or_no,
    "sheet": _yes_or_no,
    "large_print": _yes_or_no,
    "audio": _or_none(_choice(AudioFormat)),
    "hand": _whole,
    "left": _choice(Left),
    "spread": _yes_or_no,
    "form": _choice(Form),
    "turn": _or_none(_whole),
}
