"""Rungwise: from a chord progression to everything a piano student practices it with.

The names below are the library; docs/library.md shows them at work. Each is imported when it is first asked
for, so that `import tracks` costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from tracks.door import Study, make_packs, progressions, studies, study, styles
    from tracks.drill.drill import Drill
    from tracks.model import Hand, Note, Part, Piece, Role, VoicedChord
    from tracks.pack.folder import PackReport
    from tracks.pack.whole import WriteError
    from tracks.theory.chord import Chord
    from tracks.theory.errors import RequestError
    from tracks.theory.key import Key
    from tracks.theory.pitch import Pitch, Tone

    __version__: str

_NAMES = {
    "tracks.door": "Study make_packs progressions studies study styles",
    "tracks.drill.drill": "Drill",
    "tracks.model": "Hand Note Part Piece Role VoicedChord",
    "tracks.pack.folder": "PackReport",
    "tracks.pack.whole": "WriteError",
    "tracks.theory.chord": "Chord",
    "tracks.theory.errors": "RequestError",
    "tracks.theory.key": "Key",
    "tracks.theory.pitch": "Pitch Tone",
}
_HOMES = {name: module for module, names in _NAMES.items() for name in names.split()}

__all__ = [
    "Chord",
    "Drill",
    "Hand",
    "Key",
    "Note",
    "PackReport",
    "Part",
    "Piece",
    "Pitch",
    "RequestError",
    "Role",
    "Study",
    "Tone",
    "VoicedChord",
    "WriteError",
    "__version__",
    "make_packs",
    "progressions",
    "studies",
    "study",
    "styles",
]


def __getattr__(name: str) -> Any:
    """Import a public name when it is first asked for (PEP 562)."""
    if name == "__version__":
        from importlib.metadata import version

        return version("rungwise")
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return __all__
