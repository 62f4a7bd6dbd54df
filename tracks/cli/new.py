"""`rungwise new`: a commented lesson or level to start from, and the schemas that editors check them by."""

import sys
from enum import Enum
from functools import partial
from pathlib import Path
from typing import Annotated

import typer

from tracks.cli import options
from tracks.cli.saying import say
from tracks.drill import kinds
from tracks.drill.options import Option
from tracks.pack.whole import check_writable, write_whole
from tracks.theory.errors import RequestError, read


class Starter(Enum):
    """What may be begun."""

    LESSON = "lesson"
    LEVEL = "level"


SCHEMA = Option("schema", kinds.choice(Starter), "Print the JSON schema that editors check by, and stop.")


def new(
    path: Annotated[
        Path | None,
        typer.Argument(
            metavar="FILE", readable=False, help="The file to write. [default: lesson.toml or level.toml]"
        ),
    ] = None,
    level: Annotated[
        bool, typer.Option("--level", help="Write a level, for rungwise term and rungwise exam.")
    ] = False,
    schema: Annotated[str | None, options.declared(SCHEMA)] = None,
    force: Annotated[bool, typer.Option("--force", help="Write over a file of that name.")] = False,
) -> None:
    """Write a lesson to start from: by a few questions on a terminal, else a commented one to edit."""
    if schema:
        kind = read(SCHEMA.name, partial(kinds.meaning, SCHEMA.kind), schema)
        typer.echo(starter(f"{kind.value}.schema.json"), nl=False)
        return
    level = level or (path is not None and path.stem == Starter.LEVEL.value)
    kind = Starter.LEVEL if level else Starter.LESSON
    place = path or Path(f"{kind.value}.toml")
    if place.suffix != ".toml":
        raise RequestError(f"{place}: lessons and levels are TOML files", "end the name in .toml")
    if kind is Starter.LESSON:
        from tracks.lessons.lesson import name_of

        name_of(place)
    asks = not (level or force) and sys.stdin.isatty() and sys.stderr.isatty()
    check_writable((place,), force)
    write_whole({place: (_asked() if asks else starter(f"{kind.value}.toml")).encode()}, force)
    follow = f"rungwise term {place}" if level else f"rungwise build {place}"
    say(f"Wrote {place}. {'Next' if asks else 'Edit it, then'}: {follow}{' --zip' if asks else ''}")


def _asked() -> str:
    from tracks.cli.asking import asked_lesson

    return asked_lesson()


def starter(name: str) -> str:
    """Return the text of a file that comes with Rungwise."""
    from importlib.resources import files

    return files("tracks.lessons").joinpath("starters", name).read_text(encoding="utf-8")
