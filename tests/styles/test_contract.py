"""Every style of ours keeps the contract. Ours are those that pyproject.toml offers, not all installed."""

import tomllib
from importlib.metadata import EntryPoint
from pathlib import Path

import pytest

from tracks.style import Style
from tracks.style.registry import GROUP
from tracks.style.testing import check_style

PROJECT = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text())["project"]
OURS: dict[str, str] = PROJECT["entry-points"][GROUP]
STYLES = Path(__file__).parents[2] / "styles"


def test_there_are_styles_to_check() -> None:
    assert OURS


def test_every_module_of_styles_is_offered() -> None:
    modules = {f"styles.{path.stem}:STYLE" for path in STYLES.glob("[!_]*.py")}

    assert modules == set(OURS.values()), (
        "offer each style in pyproject.toml, then run pip install -e . again"
    )


@pytest.mark.parametrize("name", OURS)
def test_style_keeps_the_contract(name: str) -> None:
    style = EntryPoint(name, OURS[name], GROUP).load()

    assert isinstance(style, Style)
    assert style.info.name == name
    check_style(style)
