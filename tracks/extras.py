"""The optional parts of an installation: what is asked before work begins, not when an import fails.

Conventions
- An extra is a name of `[project.optional-dependencies]`; EXTRAS names the modules that it installs.
- A module may be there and not load: its own library of the system is missing, or it is for another Python.
  So what is about to be used is loaded when it is asked for; what is merely missing costs no import.
"""

from importlib import import_module
from importlib.util import find_spec

from tracks.theory.errors import RequestError

EXTRAS: dict[str, tuple[str, ...]] = {
    "sheets": ("verovio", "typst"),
    "audio": ("lameenc", "midirenderer", "pretty_midi", "numpy", "soundfile"),
    "musicxml": ("music21",),
    "takes": ("mido",),
    "live": ("rtmidi",),
}
_FILES_ONLY = ("pretty_midi",)
"""What is never imported: its SoundFont is all that is used."""


def have(extra: str) -> bool:
    """Return whether every module of the extra is there and loads."""
    try:
        need(extra)
    except RequestError:
        return False
    return True


def need(extra: str, place: str | tuple[str, ...] = ()) -> None:
    """Raise RequestError at the place that needs the extra, where a module of it is missing or broken."""
    if not all(find_spec(module) for module in EXTRAS[extra]):
        raise RequestError(
            f'this needs the extra "{extra}"', f'install it with: pip install "rungwise[{extra}]"', place
        )
    for module in EXTRAS[extra]:
        if module not in _FILES_ONLY:
            _load(module, extra, place)


def _load(module: str, extra: str, place: str | tuple[str, ...]) -> None:
    try:
        import_module(module)
    except Exception as error:  # ImportError, OSError and whatever else its authors raise
        raise RequestError(
            f"{module}, which is installed, does not load ({error})",
            f'install it again with: pip install --force-reinstall "rungwise[{extra}]"',
            place,
        ) from error


def need_for(*, sheet: bool, audio: bool, page: bool = False) -> None:
    """Raise RequestError where the files asked for need an extra that is not there."""
    if sheet:
        need("sheets", "sheet")
    if page:
        need("sheets", "page")
    if audio:
        need("audio", "audio")
