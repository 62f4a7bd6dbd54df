import json
import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tracks.cli.new import starter
from tracks.lessons.lesson import read_lesson_text
from tracks.lessons.level import read_level
from tracks.lessons.schema import lesson_schema, level_schema
from tracks.style.registry import load
from tracks.theory.errors import RequestError

LESSON = "[[drill]]\nprogression = 'I'\n"


def check(text: str, schema: dict[str, Any]) -> None:
    jsonschema.validate(tomllib.loads(text), schema)


def test_the_schemas_are_schemas() -> None:
    for schema in (lesson_schema(), level_schema()):
        jsonschema.Draft202012Validator.check_schema(schema)


def test_the_published_files_are_what_the_tables_say() -> None:
    again = "write them again: python -m tracks.lessons.schema"
    assert json.loads(starter("lesson.schema.json")) == lesson_schema(), again
    assert json.loads(starter("level.schema.json")) == level_schema(), again


def test_the_schema_and_the_reader_accept_the_starters(tmp_path: Path) -> None:
    check(starter("lesson.toml"), lesson_schema())
    assert len(read_lesson_text(starter("lesson.toml"), Path("lesson.toml"), load).drills) == 3

    check(starter("level.toml"), level_schema())
    (tmp_path / "level.toml").write_text(starter("level.toml"))
    assert len(read_level(tmp_path / "level.toml", load).requirements) == 4


def test_lines_that_the_starter_offers_as_notes_are_fields_too() -> None:
    text = starter("lesson.toml")
    offered = [line for line in text.splitlines() if line.startswith("# ") and " = " in line]

    assert len(offered) >= 5
    for line in offered:
        check(LESSON + line.removeprefix("# "), lesson_schema())


def test_the_studios_lessons_fit_the_schema() -> None:
    for path in sorted(Path(__file__).parent.glob("week/*.toml")):
        check(path.read_text(encoding="utf-8"), lesson_schema())


@pytest.mark.parametrize(
    "wrong",
    [
        "tempoes = 60", "keys = 3", "keys = []", "mixes = 'right'", "mixes = ['split', 3]",
        "texture = 'both'", "start = 'third'", "climb = true", "build-up = 'up'", "click = 'no'",
        "repeats = '2'", "repeats = 1.5", "tempos = [true]", "from = []", "stems = 1", "style = ['block']",
    ],
)  # fmt: skip
def test_the_schema_rejects_what_the_reader_rejects(wrong: str) -> None:
    with pytest.raises(jsonschema.ValidationError):
        check(LESSON + wrong, lesson_schema())
    with pytest.raises(RequestError):
        read_lesson_text(LESSON + wrong, Path("x.toml"), load)


@pytest.mark.parametrize(
    "wrong", ["drill = 3", "titel = 'x'\n" + LESSON, "title = 3\n" + LESSON, "title = 'x'"]
)
def test_both_reject_a_lesson_of_another_form(wrong: str) -> None:
    with pytest.raises(jsonschema.ValidationError):
        check(wrong, lesson_schema())
    with pytest.raises(RequestError):
        read_lesson_text(wrong, Path("x.toml"), load)
