"""The shape of the code: rooms, arrows between them, lengths of files and functions.

`python -m tests.shape [FOLDER]` prints it as a row of Markdown for the project in a folder, or for this one,
so that two states can be laid one under the other in docs/benchmarks.md.

Conventions
- A room is a module of `tracks`, or a package of it with all that is inside, or `styles`; an arrow is a room
  that imports from another, anywhere in its files but for type checking alone.
- A function's length counts its signature, docstring and body; a file's counts every line.
"""

import ast
import statistics
import sys
from collections.abc import Iterator
from pathlib import Path

HEAD = """\
| state | rooms | arrows | files | lines | lines a file: median, p95, most | functions | lines a function: median, p95, most |
| --- | --- | --- | --- | --- | --- | --- | --- |"""  # noqa: E501


def room_of(module: str) -> str:
    """Return the room of a module of ours, `tracks` for the package itself."""
    first, *rest = module.split(".")
    return first if first == "styles" or not rest else rest[0]


def imported(tree: ast.AST) -> Iterator[str]:
    """Yield the modules of ours that a file imports, but for type checking alone."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            continue
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module == "tracks":
            yield from (f"tracks.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
        yield from imported(node)


def spread(numbers: list[int]) -> str:
    """Return the median, the 95th percentile and the greatest of some numbers."""
    return f"{statistics.median(numbers):.0f}, {statistics.quantiles(numbers, n=20)[-1]:.0f}, {max(numbers)}"


def row(root: Path) -> str:
    """Return the row of the project in a folder."""
    paths = sorted([*root.glob("tracks/**/*.py"), *root.glob("styles/**/*.py")])
    rooms, arrows, functions, files = set(), set(), [], []
    for path in paths:
        text = path.read_text(encoding="utf-8")
        tree = ast.parse(text)
        files.append(text.count("\n"))
        room = room_of(".".join(path.relative_to(root).with_suffix("").parts).removesuffix(".__init__"))
        rooms.add(room)
        ours = {room_of(name) for name in imported(tree) if name.split(".")[0] in ("tracks", "styles")}
        arrows |= {(room, seen) for seen in ours - {room, "tracks"}}
        functions += [
            (node.end_lineno or node.lineno) - node.lineno + 1
            for node in ast.walk(tree)
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        ]
    rooms -= {"tracks", "__main__"}
    cells = (root.resolve().name, len(rooms), len(arrows), len(files), sum(files), spread(files))
    return f"| {' | '.join(map(str, (*cells, len(functions), spread(functions))))} |"


if __name__ == "__main__":
    print(HEAD)
    print(row(Path(sys.argv[1]) if sys.argv[1:] else Path(__file__).parents[1]))
