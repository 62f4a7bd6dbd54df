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
    # text to changes
    "library": "theory",
    "written": "theory",
    "lead_sheet": "theory written",
    "beat_marks": "theory",
    "importers": "theory written lead_sheet beat_marks",
    "progression": "theory written lead_sheet importers",
    "changes": "theory model written",
    # changes to voiced chords
    "search": "",
    "motion": "theory model",
    "fingering": "theory model",
    "line_fingering": "theory",
    "close_position": "theory model",
    "bass_line": "theory model motion search fingering",
    "left_pairs": "theory model motion search close_position bass_line",
    "voicing_request": "theory model",
    "voicing": "theory model motion search close_position left_pairs voicing_request",
    "tendency": "theory",
    "part_writing": "theory tendency",
    "doubling": "theory close_position tendency part_writing",
    "four_part": "theory model search bass_line voicing_request voicing part_writing doubling",
    "hands": (
        "theory model motion fingering line_fingering voicing_request voicing bass_line left_pairs four_part"
    ),
    # what is asked
    "drill": "theory model voicing_request",
    "record": "theory model drill",
    "ladder": "theory",
    # voiced chords to a piece
    "style": "theory model",
    "registers": "theory model",
    "drum_kit": "theory model",
    "figures": "theory model fingering style registers",
    "walking": "theory model style registers figures",
    "band": "theory model style drum_kit figures",
    "patterns": "theory model style registers drum_kit figures walking band",
    "touch": "theory model style figures",
    "melody": "theory model line_fingering style patterns",
    "styles": "theory model style patterns melody",
    "registry": "theory style",
    "testing": "theory model voicing_request drill hands style",
    "arrange": "theory model drill style drum_kit figures touch",
    "chart": "theory model progression changes hands drill",
    # a piece to files
    "caution": "",
    "notation": "theory model hands",
    "practice": "theory model drill drum_kit",
    "climb": "theory model drill practice",
    "forms": "theory model drill climb",
    "naming": "theory model drill",
    "plan": "theory model drill practice climb naming forms",
    "export": "theory model notation written lead_sheet beat_marks",
    "pack": "theory",
    "source": "theory library lead_sheet importers export",
    "sheets": "theory model drill style arrange chart naming notation export pack caution",
    "workshop": "theory model drill style arrange chart naming forms plan export pack sheets",
    # a studio's files to drills
    "request": "theory model voicing library progression changes drill ladder style practice source",
    "document": "theory",
    "fields": "theory model voicing drill document request",
    "lesson": "theory drill style arrange chart importers source document fields",
    "build": "theory record pack workshop lesson",
    "requirements": "theory style request document fields lesson",
    "term": "theory drill ladder requirements",
    "exam": "theory drill requirements",
    "handout": "theory chart lesson requirements term exam caution",
    "schema": "fields lesson requirements",
    # ear drills
    "ear": "theory model library drill practice style arrange chart",
    "listening": "theory model caution ear export pack style",
}
"""Every room but the command line, which sees them all but `styles` and is seen by none."""

HOMES = {
    "mido": {"tracks.export.midi", "tracks.takes.read"},
    "music21": {"tracks.importers.musicxml"},
    "midirenderer": {"tracks.export.audio"},
    "pyloudnorm": {"tracks.export.audio"},
    "soundfile": {"tracks.export.audio"},
    "typer": {"tracks.cli"},
    "typst": {"tracks.export.sheet"},
    "verovio": {"tracks.export.engrave"},
}
"""The only modules, or packages, that may import a library."""

HEAVY = {
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
            # `from tracks import drill` names a module, `from tracks.drill import Drill` does not.
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
        allowed = {"tracks"}
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
