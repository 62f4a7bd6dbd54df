"""What is too large for one mail, shared among several: parts that are each whole by themselves.

Conventions
- A drill in one key is torn only where it is too large even alone, and then between its tempos. What is too
  large even so is a part of its own.
- Parts keep the order of practice.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

_AROUND_A_FILE = 128
"""Bytes of a zip about each file, besides its name, which stands there twice (APPNOTE 6.3.10, 4.3)."""


@dataclass(frozen=True, slots=True)
class Packed:
    """A file for the student: its path from the lesson's folder, what it belongs to, and its bytes.

    `belongs` is a drill and a key, None for what serves several; `rung` is the tempo, and the kind of what is
    no rung of the ladder.
    """

    path: str
    belongs: tuple[str, str | None]
    rung: tuple[int | None, str | None]
    size: int

    @property
    def zipped(self) -> int:
        """How many bytes of a zip it takes."""
        return self.size + 2 * len(self.path) + _AROUND_A_FILE


def in_parts(files: Iterable[Packed], limit: int) -> list[tuple[Packed, ...]]:
    """Return files in as many parts as a limit of bytes asks for, one part at least."""
    parts: list[list[Packed]] = [[]]
    for group in _grouped(files, lambda file: file.belongs):
        whole = zipped(group) <= limit
        for each in [group] if whole else _grouped(group, lambda file: file.rung):
            if parts[-1] and zipped(parts[-1]) + zipped(each) > limit:
                parts.append([])
            parts[-1] += each
    return [tuple(part) for part in parts]


def zipped(files: Iterable[Packed]) -> int:
    """Return how many bytes of a zip files take."""
    return sum(file.zipped for file in files)


def _grouped(files: Iterable[Packed], home: Callable[[Packed], object]) -> list[list[Packed]]:
    groups: dict[object, list[Packed]] = {}
    for file in files:
        groups.setdefault(home(file), []).append(file)
    return list(groups.values())
