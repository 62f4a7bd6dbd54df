"""What is written by hand or exported: progressions, RomanText, MusicXML, lessons, levels, progress."""

import io
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random

from mutations import MUSICXML, ROMANTEXT, check_reader, damaged_trees, mutated

from tracks.progression.library import LIBRARY
from tracks.style.registry import names

from .ending import judge
from .ground import LESSON, LEVEL, PROGRESS

_NUMERALS = (
    "I i ii iii III IV iv V V7 vi VI viio7 V65/V bVII #ivo N6 Ger65 Cad64 IM7 ii%65 I(no5) V[add9] NC".split()
)
_DEGREES = "1 4 57 6m 2m7 b7 1/3 5sus".split()
_SYMBOLS = "C Am F G7 Bbmaj7 F#m7b5 Eb/G Caug Ddim7 G7#9 Asus4 N.C. E- Bø".split()
_STYLES = tuple(sorted(names()))
_ONE_FILE = ("--tempo", "60", "--mix", "hands-together", "--name", "one")
_USES: tuple[Callable[[str], list[str]], ...] = (
    lambda tune: ["show", tune, "--json"],
    lambda tune: ["show", tune, "--texture", "four-part"],
    lambda tune: ["show", tune, "--romantext", "again.rntxt", "--sheet", "again.musicxml"],
    lambda tune: ["make", tune, *_ONE_FILE, "--style", "root-bass", "--key-cycle"],
    lambda tune: ["make", tune, *_ONE_FILE, "-k", "Eb", "--bars", "1-2", "--climb", "each-mix"],
)
_SIGNS = ("|", "|:", ":|", "||", "/", "%", "x2", ",", "-", ";", "(", ")", "\n", "C:", "g:", "1.", "2.")


_UNITS = (
    "(",
    "[",
    "I",
    "b",
    "#",
    "1",
    "/",
    ".",
    " ",
    "=",
    "V/",
    "C:",
    "||:",
    "add",
    "<",
    "&",
    "é",
    '"',
    "\t",
)


def _lengthened(content: bytes, rng: Random) -> bytes:
    """Return a text, one in fifty with a word of it repeated without end."""
    if rng.random() > 0.02:
        return content
    place = rng.randrange(len(content) + 1)
    return content[:place] + rng.choice(_UNITS).encode() * rng.choice((300, 20_000)) + content[place:]


def _edited(text: str, rng: Random) -> str:
    """Return a text with a slip or several in it, or none."""
    if rng.random() < 0.2:
        return text
    return next(mutated(text, False, rng.getrandbits(40), 1)).decode("utf-8", "replace")


def progression(rng: Random) -> bytes:
    """Return a progression as somebody types it."""
    if rng.random() < 0.4:
        text = rng.choice(LIBRARY).text
    else:
        of = rng.choice((_NUMERALS, _NUMERALS, _SYMBOLS, _DEGREES, _NUMERALS + _SYMBOLS))
        words = of + list(_SIGNS) * rng.randrange(2)
        text = rng.choice((" ", " | ", "  ")).join(rng.choices(words, k=rng.randrange(1, 14)))
    return _lengthened(_edited(text, rng).encode("utf-8", "replace"), rng)


def try_progression(content: bytes, folder: Path) -> None:
    """Show a progression, or make a pack of it."""
    text = content.decode("utf-8", "replace")
    if len(text) % 4:
        judge(["show", "--json", "--", text], folder)
        return
    style = _STYLES[len(text) // 4 % len(_STYLES)]
    judge(["make", *_ONE_FILE, "--style", style, "--", text], folder)


def romantext(rng: Random) -> bytes:
    """Return a damaged RomanText file."""
    return _lengthened(next(mutated(ROMANTEXT, False, rng.getrandbits(40), 1)), rng)


def try_romantext(content: bytes, folder: Path) -> None:
    """Read a RomanText file; show some of them, and write them down again."""
    check_reader(content, folder / "tune.rntxt")
    _used(len(content), str(folder / "tune.rntxt"), folder)


def _used(number: int, tune: str, folder: Path) -> None:
    """Use every fourth tune, each in one of several ways."""
    if number % 4 == 0:
        judge(_USES[number // 4 % len(_USES)](tune), folder)


def musicxml(rng: Random) -> bytes:
    """Return damaged MusicXML, sometimes zipped and the zip damaged."""
    seed = rng.getrandbits(40)
    make = damaged_trees if rng.random() < 0.4 else _damaged_text
    content = _lengthened(next(make(MUSICXML, seed, 1)), rng)
    return _zipped(content, rng) if rng.random() < 0.25 else content


def _damaged_text(text: str, seed: int, count: int) -> Iterator[bytes]:
    return mutated(text, True, seed, count)


def _zipped(content: bytes, rng: Random) -> bytes:
    held = io.BytesIO()
    method = rng.choice((zipfile.ZIP_DEFLATED, zipfile.ZIP_STORED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA))
    with zipfile.ZipFile(held, "w", method) as zipped:
        zipped.writestr("tune.xml", MUSICXML.encode() if rng.random() < 0.5 else content)
    return damaged_bytes(held.getvalue(), rng)


def damaged_bytes(content: bytes, rng: Random, most: int = 4) -> bytes:
    """Return bytes with a few changed, or torn off."""
    changed = bytearray(content)
    for _ in range(rng.randrange(most)):
        changed[rng.randrange(len(changed))] = rng.choice((0, 1, 0x7F, 0x80, 0xFF, rng.randrange(256)))
    return bytes(changed[: rng.randrange(len(changed))] if rng.random() < 0.15 else changed)


def try_musicxml(content: bytes, folder: Path) -> None:
    """Read a MusicXML file; show some of them, and write them down again."""
    name = folder / ("tune.mxl" if content.startswith(b"PK") else "tune.musicxml")
    check_reader(content, name)
    _used(len(content), str(name), folder)


def toml(rng: Random) -> bytes:
    """Return a damaged lesson, level or list of what was played."""
    text = rng.choice((LESSON, LESSON, LEVEL, LEVEL, PROGRESS))
    content = text.encode() if rng.random() < 0.02 else next(mutated(text, False, rng.getrandbits(40), 1))
    content = damaged_bytes(content, rng, 2) if rng.random() < 0.1 and content else content
    return _lengthened(content, rng)


def try_toml(content: bytes, folder: Path) -> None:
    """Read the file as each of what it may be; a command says which."""
    if content.startswith(b"date,"):
        (folder / "lesson.toml").write_text(LESSON)
        (folder / "progress.csv").write_bytes(content)
        judge(["students", str(folder)], folder)
        return
    (folder / "lesson.toml").write_bytes(content)
    if b"requirement" in content:
        judge(["exam", "lesson.toml", "--seed", "3"], folder)
        judge(["term", "lesson.toml", "--weeks", "3"], folder)
    else:
        judge(["build", "lesson.toml", "--dry-run"], folder)
