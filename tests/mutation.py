"""Mutation: do the tests of five core modules notice when one expression of the module changes?

`python -m tests.mutation [MODULE ...] [--most 60] [--seed 1]` makes mutants (a comparison turned, a number
one more, a word changed, a keyword argument dropped, a `not` taken away), runs the module's tests on each,
prints those that survive, and fails where fewer than 95 of 100 are killed. Those listed in EQUIVALENT
change nothing that can be seen and are left out.

Conventions
- A mutant lives in a forked process only: no file is touched. A test run of more than TIMEOUT_S kills it.
- Which mutants of a module are tried, where it has more than `--most`, is drawn from the seed.

Why not a library: those we know change what is inside functions and run a new process for each mutant; here
the tables at the top of a module, which hold much of the music, are changed too, and a mutant costs a fork.
"""

import argparse
import ast
import copy
import importlib.util
import os
import random
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from importlib.machinery import ModuleSpec
from pathlib import Path
from typing import NamedTuple

import hypothesis  # noqa: F401 - loaded once, before the forks
import pytest

ROOT = Path(__file__).parents[1]
TIMEOUT_S = 120
GOAL = 0.95

MODULES: dict[str, tuple[str, ...]] = {
    "tracks.practice.mixes": ("tests/practice/test_practice.py", "tests/practice/test_climb.py"),
    "tracks.hands.motion": ("tests/hands/test_motion.py", "tests/hands/test_hands.py"),
    "tracks.export.midi": ("tests/export/test_midi.py", "tests/published/test_midi_standard.py"),
    "tracks.hands.smoothest": ("tests/hands/test_voicing.py", "tests/hands/test_hands.py"),
    "tracks.theory.degree": ("tests/theory/test_numeral.py",),
    "tracks.theory.numeral": ("tests/theory/test_numeral.py", "tests/published/test_numerals.py"),
}
"""Every module that is tried, and the tests that must notice."""

_REMEMBERS = "how much is remembered is seen in time alone"

_ANY_ROW = "the rows are one progression in several keys: each tells the same of all"

EQUIVALENT: dict[tuple[str, str, str], str] = {
    ("@lru_cache(maxsize=64)", "lru_cache(maxsize=64)", "lru_cache()"): _REMEMBERS,
    ("@lru_cache(maxsize=64)", "64", "65"): _REMEMBERS,
    ("@lru_cache(maxsize=4096)", "lru_cache(maxsize=4096)", "lru_cache()"): _REMEMBERS,
    ("@lru_cache(maxsize=4096)", "4096", "4097"): _REMEMBERS,
    ("@lru_cache(maxsize=1024)", "lru_cache(maxsize=1024)", "lru_cache()"): _REMEMBERS,
    ("@lru_cache(maxsize=1024)", "1024", "1025"): _REMEMBERS,
    ("_MOST_REMEMBERED = 128", "128", "129"): _REMEMBERS,
    ("if not rows[0].order:", "0", "1"): _ANY_ROW,
    (
        "everywhere = _limited(rows[0], [set.intersection(*sets) for sets in zip(*rooms, strict=True)])",
        "0",
        "1",
    ): _ANY_ROW,
    (
        "anywhere = _limited(rows[0], [set.union(*sets) for sets in zip(*rooms, strict=True)])",
        "0",
        "1",
    ): _ANY_ROW,
    (
        "if not ways or ways[0][0] > smoothest(anywhere)[0]:",
        "ways[0][0] > smoothest(anywhere)[0]",
        "ways[0][0] >= smoothest(anywhere)[0]",
    ): "it tries the keys one by one to no gain",
    (
        "moved = later(piece, -piece.music_from % bar) if piece.music_from % bar else piece",
        "piece.music_from % bar",
        "piece.music_from * bar",
    ): "where both are not 0 the piece moves by nothing",
}  # fmt: skip
"""Mutants that nothing can tell from the original: the line, the expression before and after, and why."""


class Mutant(NamedTuple):
    """A module with one expression changed."""

    line: int
    before: str
    after: str
    tree: ast.Module


_TURNED: dict[type[ast.AST], type[ast.AST]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
    ast.Add: ast.Sub, ast.Sub: ast.Add,
    ast.Mult: ast.FloorDiv, ast.FloorDiv: ast.Mult, ast.Mod: ast.Mult, ast.And: ast.Or, ast.Or: ast.And,
}  # fmt: skip


def mutants(source: str) -> Iterator[Mutant]:
    """Yield every mutant of a module's source."""
    tree = ast.parse(source)
    prose = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    hints = {id(child) for node in ast.walk(tree) for hint in _hints(node) for child in ast.walk(hint)}
    for place, node in enumerate(ast.walk(tree)):
        if id(node) in prose or id(node) in hints:
            continue
        for change in _changes(node):
            mutated = copy.deepcopy(tree)
            target = next(each for at, each in enumerate(ast.walk(mutated)) if at == place)
            before = ast.unparse(target)
            change(target)
            yield Mutant(getattr(node, "lineno", 0), before, ast.unparse(target), mutated)


def _hints(node: ast.AST) -> Iterator[ast.AST]:
    """Yield the type hints of a node, and the `strict` of a zip of equal lengths, which no test can feel."""
    if isinstance(node, ast.keyword) and node.arg == "strict":
        yield node.value
    for field in ("annotation", "returns"):
        if hint := getattr(node, field, None):
            yield hint


def _changes(node: ast.AST) -> Iterator[Callable[[ast.AST], None]]:
    """Yield the ways to change a node in its place."""
    match node:
        case ast.Compare(ops=[operator]) if type(operator) in _TURNED:
            yield lambda it: setattr(it, "ops", [_TURNED[type(it.ops[0])]()])  # type: ignore[attr-defined]
        case ast.BinOp(op=operator) | ast.BoolOp(op=operator) if type(operator) in _TURNED:
            yield lambda it: setattr(it, "op", _TURNED[type(it.op)]())  # type: ignore[attr-defined]
        case ast.UnaryOp(op=ast.Not()):
            yield _without_not
        case ast.Constant(value=bool()):
            yield lambda it: setattr(it, "value", not it.value)  # type: ignore[attr-defined]
        case ast.Constant(value=int()):
            yield lambda it: setattr(it, "value", it.value + 1)  # type: ignore[attr-defined]
        case ast.Constant(value=str(text)) if text:
            yield lambda it: setattr(it, "value", f"{it.value}x")  # type: ignore[attr-defined]
        case ast.Call(keywords=[*_, ast.keyword(arg=last)]) if last != "strict":
            yield lambda it: it.keywords.pop()  # type: ignore[attr-defined]
        case ast.Return(value=ast.expr()):
            yield lambda it: setattr(it, "value", ast.Constant(None))
        case _:
            return


def _without_not(node: ast.AST) -> None:
    """Make `not x` into `not not x`, which keeps it a truth value."""
    assert isinstance(node, ast.UnaryOp)
    node.operand = ast.UnaryOp(ast.Not(), node.operand)


class _Instead:
    """Finds the mutant where the module is imported."""

    def __init__(self, name: str, tree: ast.Module) -> None:
        self.name, self.code = name, compile(ast.fix_missing_locations(tree), f"<{name}>", "exec")

    def find_spec(self, name: str, *_: object) -> ModuleSpec | None:
        return importlib.util.spec_from_loader(name, self) if name == self.name else None  # type: ignore[arg-type]

    def create_module(self, _spec: ModuleSpec) -> None:
        return None

    def exec_module(self, module: object) -> None:
        exec(self.code, vars(module))


def survives(name: str, tree: ast.Module, tests: Sequence[str]) -> bool:
    """Return whether the tests pass on a mutant, in a process of its own."""
    child = os.fork()
    if not child:
        with Path(os.devnull).open("w") as nowhere:
            os.dup2(nowhere.fileno(), 1)
            os.dup2(nowhere.fileno(), 2)
        signal.alarm(TIMEOUT_S)
        sys.meta_path.insert(0, _Instead(name, tree))
        os._exit(
            int(
                pytest.main(
                    ["-x", "-q", "-p", "no:cacheprovider", "--assert=plain", "--hypothesis-seed=0", *tests]
                )
            )
        )
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status) == 0


def tried(name: str, most: int, seed: int) -> float:
    """Try a module's mutants, print those that survive, and return the share killed."""
    path = ROOT.joinpath(*name.split(".")).with_suffix(".py")
    if not survives(name, ast.parse(path.read_text("utf-8")), MODULES[name]):
        sys.exit(f"{name}: its tests fail without any mutant")
    lines = path.read_text("utf-8").splitlines()
    found = [
        mutant
        for mutant in mutants("\n".join(lines))
        if (lines[mutant.line - 1].strip(), mutant.before, mutant.after) not in EQUIVALENT
    ]
    chosen = random.Random(seed).sample(found, min(most, len(found)))
    alive = [mutant for mutant in chosen if survives(name, mutant.tree, MODULES[name])]
    for mutant in sorted(alive):
        print(f"  {path.relative_to(ROOT)}:{mutant.line}: {mutant.before} -> {mutant.after}")
    print(f"{name}: {len(chosen) - len(alive)} of {len(chosen)} killed ({len(found)} there are)", flush=True)
    return 1 - len(alive) / len(chosen)


def main() -> int:
    """Try the modules named, or all of them."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0] if __doc__ else "")
    parser.add_argument("modules", nargs="*", default=list(MODULES))
    parser.add_argument("--most", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    os.chdir(ROOT)
    shares = [tried(name, asked.most, asked.seed) for name in asked.modules]
    return int(min(shares) < GOAL)


if __name__ == "__main__":
    sys.exit(main())
