"""An output that is not UTF-8, as where Windows redirects it: every command answers in the signs it has."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = "import sys\nfrom tracks.cli.main import COMMANDS, run\nfrom tracks.cli import ending\n"
EVERY = """
ending.use_plain_signs()
for words in (
    [], ["--help"], *([command, "--help"] for command in COMMANDS),
    ["show", "| iiø7 V7 | I6 |", "-k", "Eb", "--scales"], ["show", "Bb7 Ebmaj7 F#m7b5"],
    ["new", "lesson.toml"], ["new", "level.toml", "--level"], ["build", "lesson.toml"], ["students", "."],
    ["term", "level.toml"], ["exam", "level.toml"], ["quiz", "-n", "2"], ["quiz", "--skills"],
    ["make", "I bVI V7", "-k", "Ab", "--tempo", "60", "--name", "lantern"],
    ["check", "out/lantern/Ab-major/lantern_01-Ab-major_060_3-hands-together.mid", "I bVI V7"],
    ["styles"], ["progressions"], ["show", "I Ω V"], ["show", "♭♯°ø–“I”"],
):
    code = run(words)
    if code not in (0, 2) or (code == 2 and "Ω" not in str(words) and "♭" not in str(words)):
        sys.exit(f"{words} ended with {code}")
print("done")
"""


@pytest.mark.parametrize("encoding", ["cp1252", "ascii", "latin-1", "cp437", "utf-8", "utf-16"])
def test_every_command_answers_in_any_encoding(encoding: str, tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT + EVERY],
        cwd=tmp_path, capture_output=True, check=False, env={**os.environ, "PYTHONIOENCODING": encoding},
    )  # fmt: skip

    told = done.stderr.decode(encoding, "replace")
    assert done.returncode == 0, told[-600:]
    assert done.stdout.decode(encoding).splitlines()[-1] == "done"
    assert "Traceback" not in told
    assert "internal error" not in told
