"""Styles from elsewhere that do anything but play."""

from pathlib import Path
from random import Random
from unittest.mock import patch

from tracks.style import playing

from .ending import judge
from .ground import lay

_HEAD = """\
from tracks.model import Hit, Note, Part, Role, Texture
from tracks.style import Brief, Style, StyleInfo
from tracks.theory.meter import Meter
from tracks.theory.pitch import Pitch
C4 = Pitch.parse("C4")
"""
_AT_IMPORT = (
    "", "", "", "", "print('la')", "raise KeyError('la')", "import sys; sys.exit(3)", "while True: pass",
    "raise BaseException", "import nothing_of_that_name", "def (", "x = '\\ud800'", "raise SystemExit",
    "import sys; sys.stdout.write('la' * 10**6)", "STYLE = 7; raise MemoryError",
    "import sys; sys.stdout = None", "import os; os.chdir('..')", "raise RecursionError",
    "x = bytearray(10**11)",
)  # fmt: skip
_NOTES = (
    "Note(0, 480, C4)", "Note(0, 0, C4)", "Note(-1, 9, C4)", "Note(0.5, 9, C4)", "Note(0, float('nan'), C4)",
    "Note(0, 9, 60)", "Note(0, 9, C4, 80.5)", "Note(0, 9, C4, 999)", "Note(0, 9, C4, -1)",
    "Note(10**30, 1, C4)",
    "Note(0, 10**30, C4)", "None", "'note'", "Note(0, 9, C4, 80, 9)", "Note(0, True, C4)", "Hit(0, 36)",
    "Note(0, 9, Pitch.parse('C9'))", "[]",
)  # fmt: skip
_BODIES = (
    "return None", "yield 1", "return []", "return (7,)", "return ()", "return (Part('right'),)",
    "raise KeyError('swing')", "raise BaseException('all the way')", "import sys; sys.exit('bye')",
    "raise MemoryError", "raise RecursionError", "raise UnicodeError", "print('la' * 1000); return ()",
    "while True: pass", "return play(brief, rng)", "return (Part(Role.RIGHT, [C4]),)",
    "return (Part(Role.DRUMS, (), (Hit(0.5, 42),)),)", "return (Part(Role.DRUMS, (), (Hit(0, 999),)),)",
    "return tuple(Part(role) for role in Role) * 3",
    "raise type('\\x1b[2J', (Exception,), {})('\\x07\\n' * 900)",
    "return (Part(Role.RIGHT, (Note(0, 9, C4),), volume=1.5),)", "return bytearray(10**11)",
    "return (Part(Role.RIGHT, (Note(0, 9, C4),), program=-5),)", "brief.__class__ = int",
    "raise Exception(type('R', (), {'__str__': lambda self: 1 / 0})())",
    "class Odd(Exception):\n        def __str__(self): raise KeyError\n    raise Odd",
    "import sys; sys.stderr = None; return None",
    "while True:\n        try:\n            while True: pass\n        except Exception: continue",
)  # fmt: skip
_INFOS = (
    "StyleInfo('rattle', 'Odd.', (Meter(4, 4),), (Role.RIGHT, Role.LEFT), tuple(Texture))",
) * 6 + (
    "StyleInfo('', '', (), (), ())",
    "StyleInfo('\\x1b[2J', 'x' * 9999, (Meter(4, 4),), (Role.RIGHT,), tuple(Texture))",
    "StyleInfo(None, None, None, None, None)",
    "None", "7", "StyleInfo('a/../b', 'c', [4], ['right'], ['doubled'])",
)  # fmt: skip
_LASTS = ("STYLE = Style({info}, play)",) * 8 + (
    "", "STYLE = None", "STYLE = Style", "STYLE = Style({info}, None)", "STYLE = Style({info}, 7)",
    "STYLE = play",
    "class Odd:\n    def __getattr__(self, name): raise KeyError(name)\nSTYLE = Odd()", "del Style",
)  # fmt: skip


def style(rng: Random) -> bytes:
    """Return the source of a style that misbehaves."""
    body = rng.choice(_BODIES)
    if rng.random() < 0.4:
        body = f"return (Part(Role.RIGHT, ({', '.join(rng.choices(_NOTES, k=rng.randrange(1, 3)))},)),)"
    info = rng.choice(_INFOS)
    last = rng.choice(_LASTS).format(info=info)
    return f"{_HEAD}{rng.choice(_AT_IMPORT)}\ndef play(brief, rng):\n    {body}\n{last}\n".encode()


def try_style(content: bytes, folder: Path) -> None:
    """Make a pack in the style; its patience is short here."""
    lay(folder)
    (folder / "rude.py").write_bytes(content)
    with patch.object(playing, "SECONDS", 0.3):
        judge(["make", "I V", "-k", "C", "--tempo", "60", "--style", "rude.py", "--name", "rude"], folder)
