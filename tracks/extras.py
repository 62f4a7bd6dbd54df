"""The optional parts of an installation: what is asked before work begins, not when an import fails.

Convention: an extra is a name of `[project.optional-dependencies]`; EXTRAS names the modules that it installs
and that we import. Looking for a module does not import it.
"""

from importlib.util import find_spec

from tracks.theory.errors import RequestError

EXTRAS: dict[str, tuple[str, ...]] = {
    "sheets": ("verovio", "typst"),
    "audio": ("lameenc", "midirenderer", "pretty_midi", "numpy", "soundfile"),
    "musicxml": ("music21",),
    "takes": ("mido",),
    "live": ("rtmidi",),
}


def have(extra: str) -> bool:
    """Return whether every module of the extra is there."""
    return all(find_spec(module) for module in EXTRAS[extra])


def need(extra: str, place: str | tuple[str, ...] = ()) -> None:
    """Raise RequestError at the place that needs the extra, where a module of it is missing."""
    if not have(extra):
        raise RequestError(
            f'this needs the extra "{extra}"', f'install it with: pip install "rungwise[{extra}]"', place
        )


def need_for(*, sheet: bool, audio: bool, page: bool = False) -> None:
    """Raise RequestError where the files asked for need an extra that is not there."""
    if sheet:
        need("sheets", "sheet")
    if page:
        need("sheets", "page")
    if audio:
        need("audio", "audio")
