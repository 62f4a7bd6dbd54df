"""README and docs cannot rot: every command of theirs is run and its output compared, every name is there.

Where an output has changed and should have, `python -m tests.sessions` writes it into the pages. README's two
set-ups are run by `.ci/run`.
"""

import re
from pathlib import Path

import pytest
import typer
from sessions import BLOCK, PAGES, ROOT, Session, sessions, without_margins

from tracks.cli.main import COMMANDS, app

README = (ROOT / "README.md").read_text(encoding="utf-8")
WIDEST = 100

_INLINE = re.compile(r"(?<!`)`([^`\n]+(?:\n[^`\n]+)?)`(?!`)")
_OPTION = re.compile(r"(?<![\w-])--[a-z][\w-]*")
_PATH = re.compile(r"(?<![\w./-])(?:tests|tracks|styles|docs|\.ci)/[\w./-]+")


def inline(page: Path) -> list[str]:
    """The code spans in a page's running text."""
    prose = BLOCK.sub("", page.read_text(encoding="utf-8"))
    return [" ".join(span.split()) for span in _INLINE.findall(prose)]


def named(value: object) -> str | None:
    if isinstance(value, Path):
        return value.relative_to(ROOT).as_posix()
    if isinstance(value, Session):
        return f"{value.page.name}: {value.block.splitlines()[0][11:50]}"
    return None


SESSIONS = [session for page in PAGES for session in sessions(page)]


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
    assert sum(len(session.commands) for session in SESSIONS if session.page.name == "README.md") >= 4


@pytest.mark.parametrize("session", SESSIONS, ids=named)
def test_session_prints_what_the_page_shows(
    session: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)

    assert len(session.commands) == len(re.findall(r"^\$ ", session.block, re.MULTILINE))
    for (words, shown), (code, printed) in zip(session.commands, session.outputs(), strict=True):
        assert (code, printed) == (0, without_margins(shown)), words


@pytest.mark.parametrize("session", SESSIONS, ids=named)
def test_session_is_not_too_wide_to_read(session: Session) -> None:
    assert max(map(len, session.block.splitlines())) <= WIDEST


@pytest.mark.parametrize("marker", ["first-pack", "tests"])
def test_set_up_is_one_line_to_paste(marker: str) -> None:
    (found,) = re.findall(rf"^<!-- {marker} -->\n```sh\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)

    assert found.count("\n") == 1
    assert " && " in found


def options_of(command: str) -> set[str]:
    made = typer.main.get_command(app).get_command(None, command)  # type: ignore[attr-defined]
    return {name for option in made.params for name in (*option.opts, *option.secondary_opts)} | {"--help"}


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_what_the_running_text_names_is_there(page: Path) -> None:
    offered = {name: options_of(name) for name in COMMANDS}
    everywhere = set().union(*offered.values(), {"--version", "--debug", "--install-completion"})
    for span in inline(page):
        words = span.split()
        if words[0] == "rungwise" and len(words) > 1 and words[1].islower() and words[1].isalpha():
            assert words[1] in COMMANDS, span
            assert set(_OPTION.findall(span)) <= offered[words[1]], span
        elif words[0].startswith("--"):
            assert set(_OPTION.findall(span)) <= everywhere, span
        for path in _PATH.findall(span):
            assert (ROOT / path.rstrip(".")).exists(), span


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_links_between_pages_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#:]+)(?:#[\w-]+)?\)", page.read_text(encoding="utf-8")):
        assert (page.parent / target).exists(), target


def test_the_cautions_stand_where_a_student_reads() -> None:
    for word in ("Rest often", "stop at pain", "volume moderate", "follow your teacher"):
        assert word in README.replace("\n> ", " ")
