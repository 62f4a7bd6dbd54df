"""The README cannot rot: its first words, its two set-ups, and every command of its tour with its output."""

import re
import shlex
from pathlib import Path

import pytest

from tracks.cli.main import run

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
TOUR = re.findall(r"^```console\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


def commands(block: str) -> list[tuple[str, str]]:
    """Return each command of a console block with the output printed under it."""
    return re.findall(r"^\$ rungwise (.*)\n((?:(?!\$ ).*\n)*)", block, re.MULTILINE)


def test_the_job_is_told_in_the_first_paragraph() -> None:
    first = README.split("\n\n")[1]

    for word in (
        "piano teacher",
        "chord progressions",
        "inversions",
        "fingers",
        "count-in",
        "tempos",
        "improvise",
    ):
        assert word in first


def test_there_is_a_tour() -> None:
    assert sum(len(commands(block)) for block in TOUR) >= 4


@pytest.mark.parametrize("block", TOUR, ids=lambda block: block.splitlines()[0][:40])
def test_tour_prints_what_the_readme_shows(
    block: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for words, shown in commands(block):
        assert run(shlex.split(words)) == 0
        printed = capsys.readouterr().out
        assert without_margins(printed) == without_margins(shown)


def without_margins(text: str) -> str:
    """Return the text without what Markdown cannot show: spaces at line ends, blank lines at both ends."""
    return "\n".join(line.rstrip() for line in text.splitlines()).strip()


def test_the_cautions_stand_where_a_student_reads() -> None:
    for word in ("Rest often", "stop at pain", "volume moderate", "follow your teacher"):
        assert word in README.replace("\n> ", " ")
