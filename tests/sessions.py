"""The sessions in README and docs: the commands that a page shows, with what they print.

`python -m tests.sessions` runs every command again and writes what it prints now into the pages;
`tests/test_readme.py` holds the pages to it.

Conventions
- A `console` block is a session of its page: its commands begin with `$ rungwise`, may go on after a
  backslash, and are run one after the other in an empty folder.
- That folder holds the files that the page tells to write: a code block after a line which ends in the file's
  name and a colon.
"""

import contextlib
import io
import re
import shlex
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tracks.cli.main import run

ROOT = Path(__file__).parents[1]
PAGES = (ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted(ROOT.glob("docs/**/*.md")))

BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_WRITTEN = re.compile(r"`([\w.-]+\.\w+)`:\n\n```\w+\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_COMMAND = re.compile(r"^\$ rungwise ((?:.*\\\n)*.*)\n((?:(?!\$ ).*\n)*)", re.MULTILINE)


@dataclass(frozen=True)
class Session:
    """A console block of a page: the files that the page writes, and its commands with their outputs."""

    page: Path
    block: str
    files: tuple[tuple[str, str], ...]

    @property
    def commands(self) -> list[tuple[str, str]]:
        """Each command's words after `rungwise`, and what the page shows under it."""
        return _COMMAND.findall(self.block)

    def outputs(self) -> Iterator[tuple[int, str]]:
        """Run the commands in the current folder; yield the exit code and the output of each."""
        for name, content in self.files:
            Path(name).write_text(content, encoding="utf-8")
        for words, _ in self.commands:
            told = io.StringIO()
            with contextlib.redirect_stdout(told):
                code = run(shlex.split(words.replace("\\\n", "")))
            yield code, without_margins(told.getvalue())


def sessions(page: Path) -> Iterator[Session]:
    """Yield the sessions of a page."""
    text = page.read_text(encoding="utf-8")
    files = tuple(_WRITTEN.findall(text))
    for language, block in BLOCK.findall(text):
        if language == "console":
            yield Session(page, block, files)


def without_margins(text: str) -> str:
    """Return the text without what Markdown cannot show: spaces at line ends, blank lines at both ends."""
    return "\n".join(line.rstrip() for line in text.splitlines()).strip()


def main() -> None:
    """Write what every command prints now into its page."""
    for page in PAGES:
        text = page.read_text(encoding="utf-8")
        for session in sessions(page):
            with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
                told = [output for _, output in session.outputs()]
            block = "".join(
                f"$ rungwise {words}\n{output}\n" if output else f"$ rungwise {words}\n"
                for (words, _), output in zip(session.commands, told, strict=True)
            )
            text = text.replace(session.block, block)
        page.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
