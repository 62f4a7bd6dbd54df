"""What made a pack is told by content: of our sources, of the style's, and by the libraries that write."""

import ast
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from shutil import copytree, ignore_patterns

import pytest

from tracks.drill.drill import Drill
from tracks.model import AudioFormat
from tracks.pack.version import AUDIO_LIBRARIES, OURS, SHEET_LIBRARIES, digest, own_digest, version_of
from tracks.theory.key import Key
from tracks.theory.meter import Meter

ROOT = Path(__file__).parents[2]
DRILL = Drill("lantern", "I V I", (Key.parse("C"),), Meter(4, 4), (60,))
LESSON = """\
[[drill]]
name = "lantern"
progression = "I V I"
tempos = [60]
mixes = "hands-together"
"""


def test_one_changed_line_of_our_sources_makes_every_pack_again(tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    for room in ("tracks", "styles"):
        copytree(ROOT / room, copy / room, ignore=ignore_patterns("__pycache__"))
    (tmp_path / "week.toml").write_text(LESSON)

    def rungwise(*words: str) -> str:
        command = [sys.executable, "-c", "from tracks.cli import main; main()", *words]
        done = subprocess.run(
            command,
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"},
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    before = rungwise("--version")
    assert "lantern: new, 1 file" in rungwise("build", "week.toml")
    assert "0 made, 1 as they should be" in rungwise("build", "week.toml")

    changed = copy / "tracks" / "theory" / "meter.py"
    changed.write_text(changed.read_text(encoding="utf-8") + "\n# one line more\n", encoding="utf-8")

    assert rungwise("--version") != before
    assert "lantern: made by another version, 1 file" in rungwise("build", "week.toml")
    assert "0 made, 1 as they should be" in rungwise("build", "week.toml")


def test_a_version_names_the_libraries_that_write_what_is_asked_for_and_no_others() -> None:
    plain = version_of(DRILL, "block")
    on_paper = version_of(replace(DRILL, sheet=True), "block")
    as_sound = version_of(replace(DRILL, audio=AudioFormat.WAV), "block")

    assert plain == f"rungwise {own_digest()}"
    assert [word.split()[0] for word in on_paper.split(", ")[1:]] == list(SHEET_LIBRARIES)
    assert [word.split()[0] for word in as_sound.split(", ")[1:]] == list(AUDIO_LIBRARIES)


def test_no_library_that_a_file_is_written_with_is_forgotten() -> None:
    trees = (ast.parse(path.read_text(encoding="utf-8")) for path in ROOT.glob("tracks/export/**/*.py"))
    imported = {
        name.partition(".")[0]
        for tree in trees
        for node in ast.walk(tree)
        for name in (
            [alias.name for alias in node.names]
            if isinstance(node, ast.Import)
            else [node.module or ""]
            if isinstance(node, ast.ImportFrom)
            else []
        )
    }
    from_outside = imported - sys.stdlib_module_names - {"tracks"}

    assert from_outside <= {*SHEET_LIBRARIES, *AUDIO_LIBRARIES}


def test_a_style_of_ones_own_counts_by_its_content_wherever_it_lies(tmp_path: Path) -> None:
    path, elsewhere = tmp_path / "own.py", tmp_path / "elsewhere" / "own.py"
    elsewhere.parent.mkdir()
    for place in (path, elsewhere):
        place.write_text("STYLE = 1")

    assert version_of(DRILL, str(path)) == version_of(DRILL, str(elsewhere))
    assert version_of(DRILL, str(path)) != version_of(DRILL, "block")


@pytest.mark.parametrize("change", ["content", "name", "another file", "an empty file"])
def test_a_digest_tells_any_change_of_what_a_folder_holds(change: str, tmp_path: Path) -> None:
    place = tmp_path / "deep"
    place.mkdir()
    (place / "a.py").write_text("one")
    (place / "b.toml").write_text("two")
    before = digest(tmp_path)

    if change == "content":
        (place / "b.toml").write_text("tow")
    elif change == "name":
        (place / "b.toml").rename(place / "c.toml")
    else:
        (place / "c.py").write_text("" if change == "an empty file" else "three")

    assert digest(tmp_path) != before


def test_a_digest_knows_no_clock_and_no_cache(tmp_path: Path) -> None:
    (tmp_path / "a.py").write_text("one")
    before = digest(tmp_path)
    os.utime(tmp_path / "a.py", (1, 1))
    (tmp_path / "__pycache__").mkdir()
    (tmp_path / "__pycache__" / "a.pyc").write_bytes(b"compiled")

    assert digest(tmp_path) == before
    assert all(place.is_dir() for place in OURS)
