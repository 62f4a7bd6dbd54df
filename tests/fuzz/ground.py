"""The desk that commands are tried at: a lesson, a level, a pack, a take, music files and a style."""

from functools import cache
from pathlib import Path
from shutil import copytree
from tempfile import mkdtemp

from mutations import MUSICXML, ROMANTEXT

from .ending import answer

LESSON = """\
title = "Lantern week"
notes = "Hands alone first. Rest often, and stop at pain."
student = "Wren"
due = 2026-05-04

[defaults]
keys = ["C", "up to 2 sharps"]
from = 60
to = 68
step = 8
mixes = ["right-alone", "hands-together"]

[[drill]]
name = "cadence"
progression = "I IV V7 I"
start = "first"
climb = "hands-in-turn"
form = "echo"

[[drill]]
progression = "| I / vi / | ii / V7 / |"
texture = "over-bass"
style = "root-bass"
tempos = [66, "half=40"]
repeats = 2
count-in = 1
click = false
hand = "9th"
range = "F3-C6"
"""
LEVEL = """\
title = "First lamp"

[defaults]
keys = "up to 1 sharps"
minimum-tempo = 72
from = 48

[[requirement]]
name = "cadences"
progressions = ["I IV V7 I", "axis"]
starts = ["root", "first"]

[[requirement]]
name = "songs"
progressions = "axis"
keys = ["C", "F"]
styles = ["block", "root-bass"]
textures = "over-bass"
minimum-tempo = 84
hand = "8th"
"""
PROGRESS = """\
date,student,drill,key,texture,bpm,ready
2026-03-02,Wren,cadence,C major,doubled,60,yes
2026-03-09,Wren,cadence,G major,,66,no
2026-03-16,"Wren, the elder",axis,F# minor,over-bass,40,1
"""
STYLE = "from styles.block import STYLE as STYLE\n"
TAKE = "take.mid"
PACK = "out/lantern"


@cache
def _whole() -> Path:
    """Make the desk once for a process."""
    folder = Path(mkdtemp(prefix="rungwise-desk-"))
    texts = {
        "lesson.toml": LESSON, "level.toml": LEVEL, "progress.csv": PROGRESS, "own.py": STYLE,
        "tune.rntxt": ROMANTEXT, "tune.musicxml": MUSICXML, "notes.txt": "A teacher's own.\n",
    }  # fmt: skip
    for name, text in texts.items():
        (folder / name).write_text(text)
    words = ["make", "I IV V7 I", "-k", "C", "--tempo", "60", "--name", "lantern"]
    assert answer(words, folder).code == 0
    played = next(folder.glob(f"{PACK}/*/*hands-together.mid"))
    (folder / TAKE).write_bytes(played.read_bytes())
    return folder


def lay(folder: Path) -> None:
    """Lay the desk in a folder."""
    copytree(_whole(), folder, dirs_exist_ok=True)
