"""What is printed: on screens of every width, and to outputs that cannot hold every sign."""

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tracks.cli.plainly import plainly


@pytest.fixture(autouse=True)
def _desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


# Outputs


def test_signs_become_plain_where_the_output_has_none() -> None:
    told = io.TextIOWrapper(io.BytesIO(), "ascii", errors=plainly())
    told.write("E♭ · F♯m7 → 𝄫 ─┼ ☃")
    told.flush()

    assert told.buffer.getvalue() == b"Eb - F#m7 -> bb -- ?"


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_an_output_that_is_not_utf_8_loses_no_pack_and_no_word(encoding: str) -> None:
    for words in (("make", "I V", "-k", "Eb", "--tempo", "60"), ("show", "I vi", "-k", "Eb")):
        done = subprocess.run(
            [sys.executable, "-m", "tracks", *words],
            env={**os.environ, "PYTHONIOENCODING": encoding},
            capture_output=True,
            check=False,
        )
        assert (done.returncode, done.stderr) == (0, b"")
        # The parser's library takes ASCII for a mistake of set-up and writes UTF-8 then.
        assert "Eb major" in done.stdout.decode("utf-8" if encoding == "ascii" else encoding).replace(
            "♭", "b"
        )
    assert Path("out/I-V/manifest.json").is_file()


# Narrow screens


@pytest.mark.parametrize("width", [30, 40, 60, 79])
def test_a_narrow_screen_loses_no_word(width: int) -> None:
    from rich.console import Console

    from tracks.cli.table import in_key_list
    from tracks.drill.in_key import in_each_key
    from tracks.drill.request import request_of

    (drill,) = request_of({"progression": "I vi ii7 V7 I", "keys": ("Eb",)}).drills()
    (in_key,) = in_each_key(drill)
    told = io.StringIO()
    Console(file=told, width=width).print(in_key_list(in_key, drill.note_names))

    lines = told.getvalue().splitlines()
    assert max(map(len, lines)) <= width
    words = " ".join(told.getvalue().split())
    for voiced in in_key.chords:
        assert all(" ".join(move.split()) in words.replace("♭", "b") for move in voiced.moves)
    assert "fingers 1 3 5" in words
