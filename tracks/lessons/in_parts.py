"""What is too large for one mail, shared among several: parts that are each whole by themselves.

Conventions
- What belongs together, a drill in one key, is never torn. What is too large even alone is a part of its own.
- Parts keep the order of practice.
"""

from collections.abc import Iterable
from dataclasses import dataclass

_AROUND_A_FILE = 128
"""Bytes of a zip about each file, besides its name, which stands there twice (APPNOTE 6.3.10, 4.3)."""


@dataclass(frozen=True, slots=True)
class Packed:
    """A file for the student: its path from the lesson's folder, what it belongs to, and its bytes."""

    path: str
    belongs: tuple[str, str | None]
    size: int

    @property
    def zipped(self) -> int:
        """How many bytes of a zip it takes."""
        return self.size + 2 * len(self.path) + _AROUND_A_FILE


def in_parts(files: Iterable[Packed], limit: int) -> list[tuple[Packed, ...]]:
    """Return files in as many parts as a limit of bytes asks for, one part at least."""
    together: dict[tuple[str, str | None], list[Packed]] = {}
    for file in files:
        together.setdefault(file.belongs, []).append(file)
    parts: list[list[Packed]] = [[]]
    for group in together.values():
        if parts[-1] and _zipped(parts[-1]) + _zipped(group) > limit:
            parts.append([])
        parts[-1] += group
    return [tuple(part) for part in parts]


def _zipped(files: Iterable[Packed]) -> int:
    return sum(file.zipped for file in files)
