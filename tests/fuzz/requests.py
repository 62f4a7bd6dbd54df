"""Options of every command in every combination, right and wrong; packs whose manifest is damaged."""

import json
from collections.abc import Iterator
from copy import deepcopy
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import typer

from tracks.cli.main import COMMANDS, app

from . import texts
from .ending import judge
from .ground import PACK, TAKE, lay

_SLOW = 0.03
"""How often what takes long (engraving, sound) is asked for all the same."""
_SLOW_OPTIONS = frozenset(
    "--sheet --page --audio --audio-only --audio-stems --soundfont --picture --report --chart --zip".split()
)
_NONE = ("--help", "-h", "--debug", "--version")

_PROGRESSIONS = (
    "I V", "I IV V7 I", "axis", "twelve-bar-blues", "| C | F G7 |", "i iv V i", "tune.rntxt", "tune.musicxml",
    "| I / vi / | ii / V7 / |", "IM7 vi7 ii7 V7", "1 4 57 1", "", "Q", "I C", "missing.rntxt", "lesson.toml",
)  # fmt: skip
_KEYS = "C Eb F# b f# Cb a# all all-major all-minor all-30 H G# c,d Bb-minor".split()
_KEYS += ["F# minor", "up to 3 sharps", "fourths from Eb", ""]
_NUMBERS = "0 1 2 3 4 5 7 8 60 72 100 300 301 -1 1.5 99999999999 x".split()
_TEMPOS = "60 72 120 20 300 19 301 half=60 dotted-quarter=50 eighth=200 fast".split()
_VALUES: dict[str, tuple[str, ...] | list[str]] = {
    "KEY": _KEYS,
    "METER": "4/4 3/4 2/4 6/8 12/8 5/4 2/2 7/8 9/16 1/1 4/3 0/4 99/4 x".split(),
    "FIRST-LAST": "1 2 1-2 2-3 0 9-1 1-99 x".split(),
    "LOW-HIGH": "F3-C6 C4-C5 C2-C7 C4 C6-C3 A0-C8 x".split(),
    "SPAN": "octave 9th 8th 10th 7th 12 20 0 x".split(),
    "STYLE": "block root-bass swing waltz improvise rock own.py missing.py x".split(),
    "NUMBER": _NUMBERS,
    "BARS": _NUMBERS,
    "BPM": _TEMPOS,
    "NAME": ["lantern", "mine", "a b", "../x", "CON", "Wren", ""],
    "FOLDER": ["out", "packs", "deep/er", "notes.txt", ".", "out/lantern"],
    "DAY": "2026-03-09 2026-02-30 today x".split(),
    "DATE": "2026-03-09 2026-02-30 x".split(),
    "PACK": [PACK, "out", "lesson.toml", "level.toml", "missing", TAKE],
    "LEVEL": ["level.toml", "level.toml#cadences", "lesson.toml", "missing.toml"],
    "PATH": ["own.py", "missing.py", "."],
    "DRILL": ["cadence", "drill-2", "x"],
}
_FILES = [
    "page.svg",
    "page.png",
    "page.pdf",
    "tune.rntxt",
    "notes.txt",
    "deep/page.musicxml",
    "x.html",
    ".",
    "x",
]
_JUNK_WORDS = ("\x1b[2J", "é", "9" * 5000, "b" * 20_000)
_ARGUMENTS = {
    "show": _PROGRESSIONS,
    "make": _PROGRESSIONS,
    "check": (TAKE, "notes.txt", "missing.mid"),
    "build": ("lesson.toml", "level.toml", ".", "missing.toml"),
    "students": (".", "out", "missing"),
    "new": ("fresh.toml", "lesson.toml", "deep/new.toml", "x"),
    "term": ("level.toml", "lesson.toml", "missing.toml"),
    "exam": ("level.toml", "lesson.toml", "missing.toml"),
    "progressions": ("", "blues", "minor cadence", "zzz"),
}


@cache
def _options(command: str) -> tuple[Any, ...]:
    """Return the options of a command, as its parser has them."""
    group: Any = typer.main.get_command(app)
    return tuple(each for each in group.get_command(None, command).params if each.param_type_name == "option")


def request(rng: Random) -> bytes:
    """Return the words of a command as a JSON list."""
    command = rng.choice(("make", "make", "make", "show", "check", *COMMANDS))
    words = [command]
    if command in _ARGUMENTS and rng.random() < 0.97:
        words.append(_argument(command, rng))
    if command == "make":
        words += ["--tempo", "60"] if rng.random() < 0.7 else ["--rungs", "2"]
        words += ["-k", rng.choice(("C", "Eb", "f#"))] if rng.random() < 0.7 else []
    for option in rng.choices(_options(command), k=rng.choice((0, 1, 2, 2, 3, 3, 4, 6))):
        words += _said(option, rng)
    return json.dumps(words).encode()


def _argument(command: str, rng: Random) -> str:
    if command in ("show", "make") and rng.random() < 0.3:
        return texts.progression(rng).decode("utf-8", "replace")
    return rng.choice(_ARGUMENTS[command])


def _said(option: Any, rng: Random) -> Iterator[str]:
    name = rng.choice([*option.opts, *option.secondary_opts])
    if name in _NONE or (name in _SLOW_OPTIONS and rng.random() > _SLOW):
        return
    yield name
    if option.is_flag:
        return
    shape = option.metavar or ""
    choices = shape.split("|") if "|" in shape else list(_VALUES.get(shape, _FILES))
    values = choices if rng.random() < 0.85 else [*_KEYS, *_NUMBERS, *_FILES, *_JUNK_WORDS]
    yield rng.choice(values)


def try_request(content: bytes, folder: Path) -> None:
    """Do what the words ask for at a desk."""
    lay(folder)
    judge(json.loads(content), folder)


_JUNK: tuple[Any, ...] = (
    None, True, 0, -1, 1.5, 10**30, "", "x", "\0", "../../etc/passwd", "/dev/zero", [], {}, [[]], {"path": {}}
)  # fmt: skip
_READERS = (
    ["check", TAKE, "--drill", PACK],
    ["check", TAKE, "--drill", PACK, "--json"],
    ["make", "I V", "-k", "C", "--tempo", "60", "--name", "lantern"],
    ["make", "I V", "-k", "C", "--tempo", "60", "--name", "lantern", "--force"],
    ["make", "I IV V7 I", "-k", "C", "--tempo", "60", "--name", "lantern"],
    ["build", PACK],
    ["students", "."],
)  # fmt: skip


def manifest(rng: Random) -> bytes:
    """Return what is changed in a pack's manifest, and what then reads it, as a JSON list."""
    changes = [[rng.getrandbits(30), rng.randrange(len(_JUNK) + 2)] for _ in range(rng.choice((1, 1, 2, 4)))]
    return json.dumps([*changes, rng.randrange(len(_READERS))]).encode()


def try_manifest(content: bytes, folder: Path) -> None:
    """Damage the manifest of the desk's pack, and run a command that reads it."""
    *changes, reader = json.loads(content)
    lay(folder)
    file = folder / PACK / "manifest.json"
    held = json.loads(file.read_bytes())
    for place, way in changes:
        held = _damaged(held, place, way)
    text = json.dumps(held)
    file.write_text(text[: len(text) // 2] if changes and changes[0][1] == len(_JUNK) + 1 else text)
    judge(_READERS[reader % len(_READERS)], folder)


def _damaged(held: Any, place: int, way: int) -> Any:
    """Return a value with one of those in it changed or taken out."""
    within = [each for each in _nodes(held) if each]
    if not within:
        return deepcopy(_JUNK[way % len(_JUNK)])
    node = within[place % len(within)]
    keys: list[Any] = list(node) if isinstance(node, dict) else list(range(len(node)))
    key = keys[place // 7 % len(keys)]
    if way == len(_JUNK):
        del node[key]
    else:
        node[key] = deepcopy(_JUNK[way % len(_JUNK)])
    return held


def _nodes(value: Any) -> Iterator[Any]:
    if isinstance(value, dict | list):
        yield value
        for each in value.values() if isinstance(value, dict) else value:
            yield from _nodes(each)
