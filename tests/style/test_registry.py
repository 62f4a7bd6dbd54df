"""Finding styles: distributions are made up in a folder and put on the path, as pip would leave them."""

import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tracks.style import Style, registry
from tracks.theory.errors import RequestError

GOOD = """
from tracks.model import Part, Role, Texture
from tracks.style import Style, StyleInfo
from tracks.theory.meter import Meter

STYLE = Style(
    StyleInfo("{name}", "a drone", (Meter(4, 4),), (Role.LEFT,), (Texture.OVER_BASS,)),
    lambda brief, rng: (Part(Role.LEFT),),
)
"""

Offer = Callable[..., None]


@pytest.fixture
def offer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Offer]:
    """Install a made-up distribution with one style; nothing else is installed."""
    monkeypatch.setattr(sys, "path", [str(tmp_path), *(p for p in sys.path if "site-packages" not in p)])
    before = set(sys.modules)

    def install(package: str, name: str, source: str = GOOD, value: str | None = None) -> None:
        module = package.replace("-", "_")
        (tmp_path / f"{module}.py").write_text(source.replace("{name}", name))
        info = tmp_path / f"{module}-1.0.dist-info"
        info.mkdir()
        (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {package}\nVersion: 1.0\n")
        entry = value or f"{module}:STYLE"
        (info / "entry_points.txt").write_text(f"[{registry.GROUP}]\n{name} = {entry}\n")

    yield install
    for module in set(sys.modules) - before:
        del sys.modules[module]


def test_names_are_listed_without_importing_a_style(offer: Offer) -> None:
    offer("tunes-drone", "drone", "raise RuntimeError('imported')")
    offer("tunes-air", "air")

    listed = registry.names()

    assert {"air", "drone"} <= set(listed)
    assert list(listed) == sorted(listed)
    assert "tunes_air" not in sys.modules


def test_style_loads_by_name(offer: Offer) -> None:
    offer("tunes-drone", "drone")

    style = registry.load("drone")

    assert isinstance(style, Style)
    assert style.info.name == "drone"


def test_unknown_name_gets_the_nearest(offer: Offer) -> None:
    offer("tunes-drone", "drone")

    with pytest.raises(RequestError, match="there is no style 'dronne'; did you mean drone"):
        registry.load("dronne")


def test_unknown_name_unlike_any_is_told_what_lists_them(offer: Offer) -> None:
    offer("tunes-drone", "drone")

    with pytest.raises(RequestError, match="rungwise styles lists all"):
        registry.load("zzz")


@pytest.mark.parametrize(
    ("source", "value", "told"),
    [
        ("raise RuntimeError('two\\nlines')", None, "does not load: RuntimeError: two lines"),
        ("import no_such_module_anywhere", None, "does not load: ModuleNotFoundError"),
        ("import sys; sys.exit(3)", None, "does not load: SystemExit"),
        ("def broken(:", None, "does not load: SyntaxError"),
        ("STYLE = 'drone'", None, "is no tracks.style.Style but a str"),
        ("from tracks.style import Style\nSTYLE = Style({}, print)", None, "needs a StyleInfo"),
        (GOOD.replace("Meter(4, 4)", "'4/4'"), None, "meters must be a tuple"),
        (GOOD.replace("{name}", "other"), None, "calls itself other"),
        (GOOD, "tunes_drone:NONE", "does not load: AttributeError"),
    ],
)
def test_broken_style_is_named_with_its_package_and_costs_no_other(
    offer: Offer, source: str, value: str | None, told: str
) -> None:
    offer("tunes-drone", "drone", source, value)
    offer("tunes-air", "air")

    with pytest.raises(RequestError, match=told) as caught:
        registry.load("drone")
    styles, complaints = registry.load_all()

    assert "style drone of package tunes-drone" in str(caught.value)
    assert "\n" not in str(caught.value)
    assert "air" in [style.info.name for style in styles]
    assert "drone" not in [style.info.name for style in styles]
    assert [line for line in complaints if "tunes-drone" in line and told.split(":")[0] in line]


def test_name_that_two_packages_offer_is_refused_naming_both(offer: Offer) -> None:
    offer("tunes-drone", "drone")
    offer("songs-drone", "drone")

    with pytest.raises(RequestError, match="style drone is offered by songs-drone and tunes-drone"):
        registry.load("drone")
    assert [line for line in registry.load_all()[1] if "songs-drone and tunes-drone" in line]
    assert registry.names().count("drone") == 1


def test_style_loads_from_a_file_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "my_style.py"
    path.write_text(GOOD.replace("{name}", "mine"))

    style = registry.load(str(path))

    assert style.info.name == "mine"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize(
    ("source", "told"),
    [
        (None, "there is no such file"),
        ("x = 1", "has no STYLE"),
        ("STYLE = 3", "is no tracks.style.Style but a int"),
        ("1 / 0", "does not load: ZeroDivisionError"),
        ("def (", "does not load: SyntaxError"),
    ],
)
def test_broken_file_is_told_in_one_line(tmp_path: Path, source: str | None, told: str) -> None:
    path = tmp_path / "my_style.py"
    if source is not None:
        path.write_text(source)

    with pytest.raises(RequestError, match=told) as caught:
        registry.load(str(path))
    assert "my_style.py" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_the_source_of_a_style_is_its_file_or_its_whole_package(tmp_path: Path) -> None:
    assert registry.sources("block") == (Path(__file__).parents[2] / "styles",)
    assert registry.sources("absent") == ()
    assert registry.sources(str(tmp_path / "own.py")) == (tmp_path / "own.py",)
