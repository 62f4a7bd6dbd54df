"""The registry: finds styles, by entry point or by a `.py` path, and names none itself.

Conventions
- A style is offered under its name in the entry-point group GROUP of any installed distribution; ours are
  found exactly as anyone else's are.
- Listing names reads metadata and imports nothing. A broken style costs a complaint when all are loaded
  and a RequestError when it is asked for; it never stops the others.
- A name that ends in `.py` is a file whose `STYLE` is the style.
"""

import os.path
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import nullcontext
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING

from tracks.plain_file import read_plain
from tracks.style import Style, StyleInfo
from tracks.style.installed import installed_first
from tracks.style.playing import from_elsewhere, kept_apart
from tracks.theory.errors import RequestError, correction, read

if TYPE_CHECKING:
    from importlib.metadata import Distribution, EntryPoint

GROUP = "rungwise.styles.v1"
OURS = Path(__file__).parents[2] / "styles"
"""Where our own styles lie; any other is kept apart while it is imported and while it plays."""


def names() -> tuple[str, ...]:
    """Return the names of the styles installed, sorted, without importing any."""
    return tuple(_offers())


def load(name: str) -> Style:
    """Return the style of a name, or of the `.py` file at a path.

    Raises RequestError where there is none (with the nearest names), where two distributions offer the name,
    and where the style is broken, naming its distribution.
    """
    if name.endswith(".py"):
        return _from_file(Path(name))
    offers = _offers()
    if name not in offers:
        raise RequestError(_unknown(name, tuple(offers)))
    return _from_offers(name, offers[name])


def load_allowed(allowed: Iterable[Path] = (), running: bool = True) -> Callable[[str], Style]:
    """Return what finds a style that a file names: a `.py` file only where a person allowed that very path.

    A style file is a program, and a lesson may have come by mail. A path that is not allowed is not looked
    at, wherever it leads. Where nothing is to be run (`running` is False) no style file is, allowed or not.
    """
    may_run = {_place(path) for path in allowed}

    def found(name: str) -> Style:
        if name.endswith(".py") and _place(name) not in may_run:
            raise RequestError(
                f"{name} is a program, and a file may not start one unasked",
                f"if you trust it, add --allow-style {name}",
            )
        if name.endswith(".py") and not running:
            raise RequestError(
                f"{name} is a program, and --dry-run starts none", "to check this drill, leave out --dry-run"
            )
        return load(name)

    return found


def _place(path: str | Path) -> str:
    """Return a path's one spelling, without asking the disk or a network."""
    return os.path.normcase(os.path.abspath(path))  # noqa: PTH100 - resolve() asks the disk


def sources(name: str) -> tuple[Path, ...]:
    """Return where the source of a style lies, without importing it: its `.py` file, or its whole package.

    It is empty where nothing on the disk can be found; a style that is not there is told of by `load`.
    """
    if name.endswith(".py"):
        return (Path(name),)
    modules = {_top(offer) for offer in _offers().get(name, ())}
    return tuple(place for module in sorted(modules) for place in _places(module))


def _places(module: str) -> Iterator[Path]:
    """Yield the folders of a top-level package, or the file of a module."""
    from importlib.util import find_spec

    with installed_first(module):
        spec = find_spec(module)
    if spec and spec.submodule_search_locations:
        yield from map(Path, spec.submodule_search_locations)
    elif spec and spec.origin and Path(spec.origin).is_file():
        yield Path(spec.origin)


def load_all() -> tuple[tuple[Style, ...], tuple[str, ...]]:
    """Return every style that loads, by name, and one line of complaint for each that does not."""
    styles, complaints = [], []
    for name, offers in _offers().items():
        try:
            styles.append(_from_offers(name, offers))
        except RequestError as fault:
            complaints.append(f"{fault}; left out")
    return tuple(styles), tuple(complaints)


def _offers() -> dict[str, list["EntryPoint"]]:
    offers: dict[str, list[EntryPoint]] = {}
    for distribution in _distributions():
        for offer in _offered_by(distribution):
            offers.setdefault(offer.name, []).append(offer)
    return dict(sorted(offers.items()))


def _offered_by(distribution: "Distribution") -> tuple["EntryPoint", ...]:
    """Return the styles that a distribution offers, none where its list is broken: it is not ours to mend."""
    try:
        return tuple(distribution.entry_points.select(group=GROUP))
    except Exception:
        return ()


def _distributions() -> list["Distribution"]:
    """Return the distributions that offer styles, of two under one name the first on the path.

    Looking for the group's name before entry points are parsed takes a third of the time that asking for all
    entry points of the group does, where many packages are installed.
    """
    from importlib.metadata import distributions

    offering = [found for found in distributions() if GROUP in _entry_points(found)]
    if len(offering) < 2:
        return offering  # a name is not known before the whole of the metadata is parsed
    return list({_plain(found.name or ""): found for found in reversed(offering)}.values())[::-1]


def _entry_points(found: "Distribution") -> str:
    """Return a distribution's entry points as they are written, nothing where they cannot be read."""
    try:
        return found.read_text("entry_points.txt") or ""
    except (OSError, ValueError):
        return ""


def _plain(name: str) -> str:
    """Return a distribution's name as the package index compares it: `My_Style` is `my-style`."""
    return name.lower().replace("_", "-").replace(".", "-")


def _from_offers(name: str, offers: list["EntryPoint"]) -> Style:
    if len(offers) > 1:
        packages = " and ".join(sorted(_distribution(offer) for offer in offers))
        raise RequestError(f"style {name} is offered by {packages}", "uninstall all but one")
    offer = offers[0]
    ours = OURS in _places(_top(offer))
    try:
        with nullcontext() if ours else kept_apart(f"style {name}"), installed_first(_top(offer)):
            found = offer.load()
    except KeyboardInterrupt:
        raise
    except BaseException as error:  # whatever another's program raises is its own fault
        raise RequestError(_broken(_source(name, offer), error)) from error
    style = _checked(found, lambda: _source(name, offer))
    if style.info.name != name:
        source = _source(name, offer)
        raise RequestError(
            f"{source} calls itself {style.info.name}", "its entry point must have the same name"
        )
    return style if ours else from_elsewhere(style)


def _top(offer: "EntryPoint") -> str:
    return offer.module.partition(".")[0]


def _source(name: str, offer: "EntryPoint") -> str:
    return f"style {name} of package {_distribution(offer)}"


def _distribution(offer: "EntryPoint") -> str:
    return offer.dist.name if offer.dist else "unknown"


def _from_file(path: Path) -> Style:
    source = f"style file {path}"
    text = read("style file", lambda path: read_plain(path, "give the path of a .py file"), path)
    # Compiled here, not imported, so that nothing is written beside the user's file.
    module = ModuleType(f"rungwise_style_{path.stem}")
    module.__file__ = str(path)
    sys.modules[module.__name__] = module
    try:
        with kept_apart(source):
            exec(compile(text, str(path), "exec"), vars(module))  # noqa: S102 - the user asked for this very file
    except KeyboardInterrupt:
        raise
    except BaseException as error:  # whatever another's program raises is its own fault
        del sys.modules[module.__name__]
        raise RequestError(_broken(source, error)) from error
    if not hasattr(module, "STYLE"):
        raise RequestError(f"{source} has no STYLE", "end it with STYLE = Style(StyleInfo(...), play)")
    return from_elsewhere(_checked(module.STYLE, lambda: source))


def _checked(found: object, source: Callable[[], str]) -> Style:
    """Return the style found; `source` says whose it is, and is asked only where something is wrong."""
    fix = "write Style(StyleInfo(...), play)"
    if not isinstance(found, Style):
        raise RequestError(f"{source()} is no tracks.style.Style but a {type(found).__name__}", fix)
    if not isinstance(found.info, StyleInfo) or not callable(found.play):
        raise RequestError(f"{source()} needs a StyleInfo and a function that plays", fix)
    return found


def _broken(source: str, error: BaseException) -> str:
    words = " ".join(str(error).split()) or "no word why"
    return f"{source} does not load: {type(error).__name__}: {words}"


def _unknown(name: str, known: tuple[str, ...]) -> str:
    if not known:
        return f"style {name!r}: no styles are installed; install rungwise with pip"
    words = [word for word in re.findall(r"[a-z-]+", name.lower()) if word in known]
    one_of = f"a drill has one style, like {words[0]}; " if words else ""
    fix = correction(name, known, f"{one_of}rungwise styles lists all")
    return f"there is no style {name!r}; {fix}"
