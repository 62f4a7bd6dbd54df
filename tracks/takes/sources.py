"""What a take may be of: a pack's drill by its manifest, the drills of a lesson or an exam, or a request.

Conventions
- A path that holds `manifest.json` is a pack; a folder of packs is all of them; a `.toml` file is a lesson.
- A lesson whose drills are numbered (`01-cadences`, `02-...`) is an exam's: its takes come in that order.
- What is said besides, a texture or a style, goes before what the pack or the lesson says.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from tracks.drill.drill import Drill
from tracks.drill.options import BY_NAME, meaning
from tracks.drill.record import drill_from_record
from tracks.drill.request import request_of
from tracks.plain_file import read_plain
from tracks.style import Style
from tracks.takes.expected import Asked, asked_in_each_key
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key

_MANIFEST = "manifest.json"
_NUMBERED = re.compile(r"\d\d-.+")
_MOST_MANIFEST_BYTES = 1 << 26

Load = Callable[[str], Style]


@dataclass(frozen=True, slots=True)
class Candidates:
    """The drills that takes may be of, each in its keys; `in_order` where the first take is of the first."""

    drills: tuple[tuple[Drill, Style], ...]
    in_order: bool = False
    progression: str | None = None

    def asked(self, place: int) -> list[Asked]:
        """Return what may be asked of the take at a place, counted from 0."""
        if self.in_order and place >= len(self.drills):
            raise RequestError(
                f"there are more takes than the {len(self.drills)} that were called", place="drill"
            )
        chosen = self.drills[place : place + 1] if self.in_order else self.drills
        return [asked for drill, style in chosen for asked in asked_in_each_key(drill, style)]


def from_path(path: Path, said: Mapping[str, Any], load: Load) -> Candidates:
    """Return the candidates of a pack, a folder of packs, or a lesson's file.

    Raises RequestError where there is none, and where what is said besides does not go with it.
    """
    manifests = _manifests(path)
    if manifests:
        drills = [_of_manifest(manifest, load) for manifest in manifests]
    elif path.suffix == ".toml":
        from tracks.lessons.lesson import read_lesson

        drills = [(each.drill, each.style) for each in read_lesson(path, load).drills]
    else:
        raise RequestError(
            f"{path} is no pack and no lesson", "give a pack's folder, or a lesson's .toml file", "drill"
        )
    numbered = len(drills) > 1 and all(_NUMBERED.fullmatch(drill.name) for drill, _ in drills)
    return Candidates(tuple(_said_besides(*each, said, load) for each in drills), numbered)


def from_request(given: Mapping[str, Any], load: Load) -> Candidates:
    """Return the candidates of a progression and options; without a key, every key of its mode.

    Raises RequestError as a request does.
    """
    request = request_of(given)
    style = request.style(load)
    drills = request.drills(style)
    if "keys" not in given:
        drills = tuple(_in_every_key(drill) for drill in drills)
    return Candidates(tuple((drill, style) for drill in drills), progression=request.progression)


def _in_every_key(drill: Drill) -> Drill:
    home = drill.keys[0]
    others = (key for key in KEY_SETS[f"all-{home.mode.value}"] if key.tonic.chroma != home.tonic.chroma)
    every = replace(drill, keys=(home, *others))
    try:
        from tracks.drill.in_key import in_each_key

        in_each_key(every)
    except RequestError:
        return drill  # it has no room in some key; then it is the one that it is written in
    return every


def _manifests(path: Path) -> list[Path]:
    if path.name == _MANIFEST and path.is_file():
        return [path]
    if (path / _MANIFEST).is_file():
        return [path / _MANIFEST]
    return sorted(path.glob(f"*/{_MANIFEST}")) if path.is_dir() else []


def _of_manifest(path: Path, load: Load) -> tuple[Drill, Style]:
    import json

    content = read_plain(path, "make the pack again", _MOST_MANIFEST_BYTES)
    try:
        record = json.loads(content)["drill"]
        drill = drill_from_record(record)
    except RequestError as fault:
        raise fault.at(str(path)) from fault
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as error:
        raise RequestError("this is no manifest of a drill", "make the pack again", str(path)) from error
    return drill, load(drill.style)


def _said_besides(drill: Drill, style: Style, said: Mapping[str, Any], load: Load) -> tuple[Drill, Style]:
    """Return a drill with what was said besides."""
    fields: dict[str, Any] = {}
    for name, value in said.items():
        field = BY_NAME[name].drill_field
        if name == "keys":
            fields["keys"] = _keys(value)
        elif name == "start":
            fields["start"] = meaning(name, value)[0]
        elif name == "style":
            style = load(value)
            fields["style"] = style.info.name
        elif field:
            fields[field] = meaning(name, value)
        else:
            raise RequestError("the drill says this already", "leave it out", name)
    return replace(drill, **fields), style


def _keys(value: object) -> tuple[Key, ...]:
    keys: tuple[Key, ...] = meaning("keys", value)
    return keys
