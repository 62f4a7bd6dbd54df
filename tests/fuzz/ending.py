"""How every run must end: an answer, or one line that tells what was wrong; what stood stays or is whole."""

import os
from collections.abc import Sequence
from contextlib import chdir, redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path
from typing import NamedTuple

from tracks.cli.main import run

CODES = (0, 1, 2)
LONGEST = 620
_OURS = "rungwise: "
NEVER = ("internal error", "Traceback", "not enough memory")


class Answer(NamedTuple):
    """What a run ended with and said."""

    code: int
    out: str
    err: str


def answer(words: Sequence[str], folder: Path) -> Answer:
    """Run a command of ours in a folder, in this process."""
    out, err = StringIO(), StringIO()
    with chdir(folder), redirect_stdout(out), redirect_stderr(err):
        code = run(words)
    return Answer(code, out.getvalue(), err.getvalue())


def judge(words: Sequence[str], folder: Path) -> Answer:
    """Run a command and check how it ended; raise AssertionError where it should not have ended so.

    A wrong request changes nothing, and no run leaves anything unfinished behind.
    """
    before = states(folder)
    given = answer(words, folder)
    check_words(given)
    after = states(folder)
    if given.code == 2:
        assert after == before, (
            f"a wrong request changed {sorted(set(after.items()) ^ set(before.items()))[:3]}"
        )
    assert not unfinished(after), unfinished(after)
    return given


def check_words(given: Answer) -> None:
    """Check that an answer ended with a code of ours, and where it failed with one short printable line."""
    assert given.code in CODES, f"exit code {given.code}: {given.err[-300:]}"
    for word in NEVER:
        assert word not in given.err, given.err[-600:]
    _, found, told = given.err.partition(_OURS)  # what stands before is remarks, or printed by a style
    if given.code == 2:
        assert found, given.err[-900:]
    assert told.count(_OURS) == 0, given.err[-900:]
    if found:
        assert told.endswith("\n"), given.err[-900:]
        assert told[:-1].isprintable(), ascii(told)
        assert len(told) < LONGEST, told


def states(folder: Path) -> dict[str, bytes]:
    """Return every file under a folder with its content."""
    found = {}
    for above, _, names in os.walk(folder):
        for name in names:
            path = Path(above, name)
            if path.is_file() and not path.is_symlink():
                found[path.relative_to(folder).as_posix()] = path.read_bytes()
    return found


def unfinished(paths: Sequence[str] | dict[str, bytes]) -> list[str]:
    """Return the paths that a run of ours uses only while it writes."""
    return [path for path in paths if ".rungwise-new" in path or ".rungwise-old" in path]
