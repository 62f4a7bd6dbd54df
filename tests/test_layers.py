"""The architecture drawing, held: which room may see which.

A room is a module of `tracks`, or a package of it with all that is inside, or `styles`. SEES lists the
rooms from the ground up; each sees those beside it, which all stand above it in the list, and the rooms of
its own package. A room that is not in the list fails until someone says where it belongs.
"""

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]

SEES = {
    "theory": "",
    "model": "theory",
    "safety": "",
    "extras": "theory",
    "plain_file": "theory",
    # text to voiced chords
    "progression": "theory model extras plain_file",
    "hands": "theory model",
    # what a style is, and what styles are made of
    "style": "theory model plain_file hands",
    "patterns": "theory model hands style",
    "melody": "theory model hands style patterns",
    "styles": "theory model style patterns melody",
    "testing": "style",
    # what is asked, worked out, arranged and made ready to practice
    "drill": "theory model progression hands style",
    "practice": "theory model style patterns drill",
    # a piece to files
    "notation": "theory model hands",
    "export": "theory model safety notation",
    "pack": "theory model safety extras hands style drill practice notation export progression",
    # a teacher's files, and ear drills
    "lessons": "theory model safety extras progression style drill practice notation export pack plain_file",
    "door": "theory model extras progression drill style practice export pack",
    # a student's recorded takes
    "takes": "theory model safety extras plain_file progression hands style patterns drill practice export "
    "pack lessons",
    "quiz": "theory model safety extras progression style drill practice notation export pack",
}
"""Every room but the command line, which sees them all but `styles` and is seen by none."""

HOMES = {
    "filelock": {"tracks.pack.lock"},
    "mido": {"tracks.export.midi", "tracks.takes.read", "tracks.takes.saving"},
    "music21": {"tracks.progression.musicxml"},
    "midirenderer": {"tracks.export.audio"},
    "lameenc": {"tracks.export.audio"},
    "soundfile": {"tracks.export.audio", "tracks.export.page.recorded"},
    "typer": {"tracks.cli"},
    "typst": {"tracks.export.typeset"},
    "verovio": {"tracks.export.engrave"},
}
"""The only modules, or packages, that may import a library."""

HEAVY = {
    "filelock",
    "lameenc",
    "midirenderer",
    "mido",
    "music21",
    "numpy",
    "pretty_midi",
    "pyloudnorm",
    "scipy",
    "soundfile",
    "symusic",
    "typst",
    "verovio",
}
"""What is imported only inside the function that needs it."""

MODULES = sorted([*ROOT.glob("tracks/**/*.py"), *ROOT.glob("styles/**/*.py")])


def module_name(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def room_of(module: str) -> str:
    """The room of a module of ours: `tracks.export.midi` lies in `export`; `tracks` itself is the door."""
    first, *rest = module.split(".")
    return "styles" if first == "styles" else rest[0] if rest else "tracks"


def imports(path: Path, everywhere: bool = True) -> Iterator[str]:
    """Every module that a file imports, in full; only as it is itself imported, unless everywhere."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree) if everywhere else _run_at_import(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            package = module_name(path).split(".")[: -node.level + (path.name == "__init__.py") or None]
            base = ".".join([*(package if node.level else ()), *([node.module] if node.module else ())])
            # `from tracks import drill` names a module, `from tracks.drill.drill import Drill` does not.
            names = (f"{base}.{alias.name}" for alias in node.names)
            yield from names if base in ("tracks", "styles") else (base,)


def _run_at_import(node: ast.AST) -> Iterator[ast.AST]:
    for child in ast.iter_child_nodes(node):
        is_checking_only = isinstance(child, ast.If) and ast.unparse(child.test) == "TYPE_CHECKING"
        if (
            not isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
            and not is_checking_only
        ):
            yield child
            yield from _run_at_import(child)


def is_in(module: str, homes: set[str]) -> bool:
    return any(module == home or module.startswith(f"{home}.") for home in homes)


def test_there_are_modules_to_check() -> None:
    assert len(MODULES) > 20


def test_each_room_sees_only_rooms_above_it_in_the_list() -> None:
    above: list[str] = []
    for room, sees in SEES.items():
        assert set(sees.split()) <= set(above), room
        above.append(room)


def test_the_list_names_no_room_that_is_gone() -> None:
    assert set(SEES) <= {room_of(module_name(path)) for path in MODULES}


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_module_sees_only_what_its_room_may(path: Path) -> None:
    room = room_of(module_name(path))
    if room == "tracks":
        allowed = {"tracks", *SEES} - {"styles"}
    elif room == "__main__":
        allowed = {"tracks", "cli"}
    elif room == "cli":
        allowed = {"tracks", "cli", *SEES} - {"styles"}
    else:
        assert room in SEES, f"{room} is a new room; say in SEES what it sees"
        allowed = {"tracks", room, *SEES[room].split()}

    seen = {room_of(name) for name in imports(path) if name.split(".")[0] in ("tracks", "styles")}

    assert seen <= allowed


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_library_is_imported_at_home_only(path: Path) -> None:
    for name in imports(path):
        library = name.split(".")[0]
        assert library not in HOMES or is_in(module_name(path), HOMES[library]), library


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_heavy_library_is_imported_inside_the_function_that_needs_it(path: Path) -> None:
    assert not HEAVY & {name.split(".")[0] for name in imports(path, everywhere=False)}


@pytest.mark.parametrize("path", sorted(ROOT.glob("tracks/theory/*.py")), ids=module_name)
def test_theory_needs_nothing_but_the_standard_library(path: Path) -> None:
    outside = {name for name in imports(path) if not name.startswith("tracks.theory")}

    assert {name.split(".")[0] for name in outside} <= sys.stdlib_module_names


def test_what_the_checks_read_is_what_a_file_imports(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys.modules[__name__], "ROOT", tmp_path)
    path = tmp_path / "tracks" / "export" / "odd.py"
    path.parent.mkdir(parents=True)
    path.write_text(
        "import os.path\nfrom tracks import drill\nfrom tracks.model import Note\n"
        "from . import midi\nfrom ..plan import jobs\n"
        "try:\n    import numpy\nexcept ImportError:\n    pass\n"
        "def write():\n    import mido\n"
    )

    assert list(imports(path)) == [
        "os.path",
        "tracks.drill",
        "tracks.model",
        "tracks.export",
        "tracks.plan",
        "numpy",
        "mido",
    ]
    assert "mido" not in list(imports(path, everywhere=False))
    assert "numpy" in list(imports(path, everywhere=False))
