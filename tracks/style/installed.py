"""Whose module a name means: what is installed beside us goes before a user's own file of that name.

Python looks in the folder of the script, or with `python -m` in the current one, before it looks at what is
installed. A teacher's `styles.py` there must not become ours.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).parents[2]
"""The folder that `tracks` lies in."""


@contextmanager
def installed_first(name: str) -> Iterator[None]:
    """Within it, the top-level module `name` is the one that lies beside us, where there is one.

    What the program itself has imported under that name is put back at the end.
    """
    loaded = sys.modules.get(name)
    if _is_ours(loaded) or not ((ROOT / name).is_dir() or (ROOT / f"{name}.py").is_file()):
        yield
        return
    theirs = _named(name)
    _forget(theirs)
    sys.path.insert(0, str(ROOT))
    try:
        yield
    finally:
        sys.path.remove(str(ROOT))
        if theirs:
            _forget(_named(name))
            sys.modules.update(theirs)


def _is_ours(module: ModuleType | None) -> bool:
    spec = module.__spec__ if module else None
    return bool(spec and spec.origin and Path(spec.origin).is_relative_to(ROOT))


def _named(name: str) -> dict[str, ModuleType]:
    """Return what is imported under a top-level name, and below it."""
    return {known: module for known, module in sys.modules.items() if known.partition(".")[0] == name}


def _forget(modules: dict[str, ModuleType]) -> None:
    for name in modules:
        del sys.modules[name]
