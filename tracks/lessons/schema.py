"""JSON schemas of lessons and levels, so that an editor completes and checks them as they are written.

Conventions
- They are made from the tables that the readers use, and published as
  `tracks/lessons/starters/*.schema.json`; `python -m tracks.lessons.schema` writes those again after a table
  has changed.
- A schema sees shapes and words; whether a key exists or a chord can be played only the reader knows.

Source: JSON Schema, draft 2020-12 (json-schema.org).
"""

from collections.abc import Mapping
from typing import Any

from tracks.drill.kinds import Shape
from tracks.drill.options import Option, former
from tracks.lessons import lesson, level
from tracks.lessons.heading import HEADING_FIELDS
from tracks.lessons.tolerances import TOLERANCES

_DRAFT = "https://json-schema.org/draft/2020-12/schema"
_TEXT: Mapping[str, object] = {"type": "string"}
_WHOLE: Mapping[str, object] = {"type": "integer"}
_SHAPES: Mapping[Shape, Mapping[str, object]] = {
    Shape.TEXT: _TEXT,
    Shape.WHOLE: _WHOLE,
    Shape.YES_NO: {"type": "boolean"},
    Shape.TEXTS: _TEXT,
    Shape.TEMPO: {"type": ["integer", "string"]},
    Shape.TEMPOS: {"type": ["integer", "string"]},
}


def lesson_schema() -> dict[str, object]:
    """Return the JSON schema of a lesson file."""
    # Whether the defaults give the progression that a drill lacks, a schema of this kind does not ask.
    shared = {name: field for name, field in lesson.FIELDS.items() if name != "name"}
    return _document("A Rungwise lesson", lesson.HEADINGS, "drill", lesson.FIELDS, shared)


def level_schema() -> dict[str, object]:
    """Return the JSON schema of a level file."""
    fields = level.REQUIREMENT_FIELDS
    schema = _document("A Rungwise level", level.HEADINGS, "requirement", fields, fields)
    check = {"type": "object", "properties": _tolerances(), "additionalProperties": False}
    properties: dict[str, object] = {"check": {"description": level.HEADINGS["check"], **check}}
    return {**schema, "properties": {**schema["properties"], **properties}}


def _tolerances() -> dict[str, object]:
    """Return the schema of every tolerance, with its usual value."""
    return {
        name: {"type": "integer" if type(usual) is int else "number", "minimum": 0, "default": usual}
        for name, usual in TOLERANCES.items()
    }


def _document(
    title: str,
    headings: Mapping[str, str],
    each: str,
    fields: Mapping[str, Option],
    shared: Mapping[str, Option],
) -> dict[str, Any]:
    properties: dict[str, object] = {
        name: {**_TEXT, "description": words} for name, words in HEADING_FIELDS.items()
    }
    properties["defaults"] = {"description": headings["defaults"], **_table(shared)}
    properties[each] = {
        "description": headings[each],
        "type": "array",
        "minItems": 1,
        "items": _table(fields),
    }
    return {
        "$schema": _DRAFT,
        "title": title,
        "type": "object",
        "properties": properties,
        "required": [each],
        "additionalProperties": False,
    }


def _table(fields: Mapping[str, Option]) -> dict[str, object]:
    properties = {name: {"description": field.described, **_field(field)} for name, field in fields.items()}
    for name, field in former(fields).items():
        properties[name] = {"description": f"Now called {field.name}.", "deprecated": True, **_field(field)}
    return {"type": "object", "properties": properties, "additionalProperties": False}


def _field(field: Option) -> dict[str, object]:
    shape, words = field.kind.shape, [*field.kind.words, *field.kind.once]
    one = {**_SHAPES[shape], **({"enum": words} if words else {})}
    if shape.is_many:
        return {"anyOf": [one, {"type": "array", "items": one, "minItems": 1}]}
    return one


def _publish() -> None:
    import json
    from pathlib import Path

    for name, schema in (("lesson", lesson_schema()), ("level", level_schema())):
        path = Path(__file__).parent / "starters" / f"{name}.schema.json"
        path.write_text(
            json.dumps(schema, indent=1, ensure_ascii=False) + "\n", encoding="utf-8", newline="\n"
        )


if __name__ == "__main__":
    _publish()
