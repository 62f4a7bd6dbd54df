"""The cases found: small files in tests/cases, a folder a kind, each tried again by a plain test."""

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

from . import TESTS
from .kinds import BY_NAME, Kind

CASES = TESTS / "cases"


def keep(kind: Kind, content: bytes, cases: Path = CASES) -> Path:
    """Keep a case, under a name of its content; return where."""
    place = cases / kind.name / f"{sha256(content).hexdigest()[:10]}.case"
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_bytes(content)
    return place


def kept(cases: Path = CASES) -> Iterator[tuple[Kind, Path]]:
    """Yield every case that was kept, with its kind."""
    for place in sorted(cases.glob("*/*.case")):
        yield BY_NAME[place.parent.name], place
