"""Damaged music files, seeded: what a torn download, a wrong export or a slip of the pen makes of a good one.

`mutated` yields them and `check_reader` reads one; the plain run takes some hundred, a longer run as many as
it likes.
"""

import random
import re
import xml.etree.ElementTree as Tree
from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path

from tracks.progression.files import read_file
from tracks.progression.playing import progression
from tracks.theory.errors import RequestError

HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0">'
    "<movement-title>Lantern Walk</movement-title>"
    '<part-list><score-part id="P1"><part-name>M</part-name></score-part></part-list><part id="P1">'
)
ATTRIBUTES = (
    "<attributes><divisions>4</divisions><key><fifths>-1</fifths><mode>major</mode></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
)


def _harmony(step: str, kind: str = "major", extra: str = "") -> str:
    return (
        f"<harmony><root><root-step>{step}</root-step><root-alter>0</root-alter></root>"
        f'<kind text="x">{kind}</kind>{extra}</harmony>'
    )


def _rest(quarters: int) -> str:
    return f"<note><rest/><duration>{4 * quarters}</duration><voice>1</voice><type>quarter</type></note>"


_BASS = "<bass><bass-step>A</bass-step></bass>"
_DEGREE = (
    "<degree><degree-value>9</degree-value><degree-alter>-1</degree-alter>"
    "<degree-type>add</degree-type></degree>"
)

MUSICXML = (
    f'{HEAD}<measure number="0" implicit="yes">{ATTRIBUTES}{_harmony("C", "dominant")}{_rest(1)}</measure>'
    f'<measure number="1"><barline location="left"><repeat direction="forward"/></barline>'
    f"{_harmony('F', 'major', _BASS)}{_rest(2)}{_harmony('B', 'half-diminished')}{_rest(2)}</measure>"
    f'<measure number="2"><barline location="left"><ending number="1" type="start"/></barline>'
    f"{_harmony('C', 'dominant', _DEGREE)}{_rest(4)}"
    '<barline location="right"><ending number="1" type="stop"/><repeat direction="backward"/>'
    "</barline></measure>"
    f'<measure number="3"><barline location="left"><ending number="2" type="start"/></barline>'
    f"{_harmony('C', 'suspended-fourth')}{_rest(2)}</measure>"
    f'<measure number="X1" implicit="yes">{_harmony("C", "Italian")}{_rest(2)}'
    '<barline location="right"><ending number="2" type="discontinue"/></barline></measure>'
    f'<measure number="4"><direction><direction-type><words>D.C.</words></direction-type>'
    '<sound dacapo="yes"/>'
    f"</direction>{_harmony('F')}<note><pitch><step>F</step><octave>4</octave></pitch><duration>12</duration>"
    "</note></measure></part></score-partwise>"
)

ROMANTEXT = """Composer: N. N.
Title: Lantern Walk
Time Signature: 3/4
Note: written for this file
m0 b3 g: V
m1 ||: i b2.5 V65/V b3 V
m2 VI || b3 Bb: IV6
m3a V7 :||
m4b I b1.33 viio7/ii b2.66 ii
m5-6 = m1-2
m7 g: iv6 b2 Ger65 b3 Cad64
m8var1 V
m8 V7 b3 ?(d: NC ?)d:
Time Signature: Slow 3/4
m10 bVI[add9] b3 N6
m11 i
"""

_NUMBERS = ("0", "-1", "1e9", "99999999999", "9" * 5000, "0.5", "1/3", "٣", "²", "", "NaN", "x")
_WORDS = (
    "\x00",
    "\x1b[31m",
    "\ufeff",
    "￿",
    "𝄫",
    "�",
    ":||",
    "||:",
    "=",
    "m",
    "b",
    "/",
    "(",
    "?)",
    "°",
    "é",
    "C:",
)
_XML = re.compile(r"<[^>]*>|[^<]+")
_TOKEN = re.compile(r"\s+|[^\s]+")


def damaged_trees(text: str, seed: int, count: int) -> Iterator[bytes]:
    """Yield `count` copies of an XML text that are still XML: elements lost, doubled, moved or changed."""
    rng = random.Random(seed)
    for _ in range(count):
        root = Tree.fromstring(text)
        for _ in range(rng.choice((1, 1, 1, 2, 3, 5))):
            _damage(root, rng)
        yield Tree.tostring(root, encoding="utf-8")


def _damage(root: Tree.Element, rng: random.Random) -> None:
    parents = [parent for parent in root.iter() if len(parent)]
    if not parents:
        return
    parent, way = rng.choice(parents), rng.randrange(5)
    child = rng.choice(list(parent))
    if way == 0:
        parent.remove(child)
    elif way == 1:
        parent.insert(rng.randrange(len(parent) + 1), deepcopy(child))
    elif way == 2:
        other = rng.choice(parents)
        other.insert(rng.randrange(len(other) + 1), deepcopy(child))
    elif way == 3 and child.attrib:
        child.set(rng.choice(list(child.attrib)), rng.choice((*_NUMBERS, "start", "stop", "backward", "x")))
    else:
        leaves = [leaf for leaf in root.iter() if not len(leaf)]
        rng.choice(leaves).text = rng.choice((*_NUMBERS, *(leaf.text or "" for leaf in leaves)))


def mutated(text: str, is_xml: bool, seed: int, count: int) -> Iterator[bytes]:
    """Yield `count` damaged copies of a file's text, the same for the same seed."""
    rng = random.Random(seed)
    tokens = (_XML if is_xml else _TOKEN).findall(text)
    for _ in range(count):
        broken = list(tokens)
        for _ in range(rng.choice((1, 1, 1, 2, 3, 5))):
            rng.choice(_WAYS)(broken, rng)
        content = "".join(broken).encode("utf-8", "replace")
        yield _torn(content, rng) if rng.random() < 0.1 else content


def _drop(tokens: list[str], rng: random.Random) -> None:
    if tokens:
        del tokens[rng.randrange(len(tokens))]


def _drop_many(tokens: list[str], rng: random.Random) -> None:
    start = rng.randrange(len(tokens) + 1)
    del tokens[start : start + rng.randrange(12)]


def _double(tokens: list[str], rng: random.Random) -> None:
    start = rng.randrange(len(tokens) + 1)
    tokens[start:start] = tokens[start : start + rng.randrange(1, 12)]


def _swap(tokens: list[str], rng: random.Random) -> None:
    if tokens:
        one, other = rng.randrange(len(tokens)), rng.randrange(len(tokens))
        tokens[one], tokens[other] = tokens[other], tokens[one]


def _other_number(tokens: list[str], rng: random.Random) -> None:
    places = [place for place, token in enumerate(tokens) if re.search(r"\d", token)]
    if places:
        place = rng.choice(places)
        tokens[place] = re.sub(r"-?\d+", lambda _: rng.choice(_NUMBERS), tokens[place], count=1)


def _other_word(tokens: list[str], rng: random.Random) -> None:
    places = [place for place, token in enumerate(tokens) if token.strip() and not token.startswith("<")]
    if places:
        tokens[rng.choice(places)] = rng.choice((*_WORDS, *_NUMBERS, *(tokens[p] for p in places[:40])))


def _letter(tokens: list[str], rng: random.Random) -> None:
    if tokens:
        place = rng.randrange(len(tokens))
        token = tokens[place]
        at = rng.randrange(len(token) + 1)
        tokens[place] = token[:at] + rng.choice(("", *_WORDS, chr(rng.randrange(32, 600)))) + token[at + 1 :]


def _torn(content: bytes, rng: random.Random) -> bytes:
    at = rng.randrange(len(content) + 1)
    return content[:at] if rng.random() < 0.5 else content[:at] + rng.randbytes(3) + content[at + 3 :]


_WAYS: tuple[Callable[[list[str], random.Random], None], ...] = (
    _drop, _drop_many, _double, _swap, _other_number, _other_number, _other_word, _letter
)  # fmt: skip


def check_reader(content: bytes, file: Path) -> str | None:
    """Read a file's bytes as the file named; return what it was refused with, None where it was played.

    Raises AssertionError for a refusal that is not one short printable line; any other error is a fault.
    """
    file.write_bytes(content)
    try:
        played = progression(read_file(file))
    except RequestError as fault:
        said = str(fault)
        assert said.isprintable(), ascii(said)
        assert 0 < len(said) <= 600, said
        return said
    assert played.length == sum(chord.length for chord in played.chords)
    return None
