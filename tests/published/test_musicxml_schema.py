"""MusicXML against the standard's own schema.

Source: musicxml.xsd 4.0, W3C Music Notation Community Group, final report of June 2021, as the PyPI package
`musicxml` carries it. The two schemas that it imports, for `xml:` and `xlink:` attributes, are not in the
package; stand-ins here declare just the attributes that it refers to.
"""

from functools import cache
from importlib.metadata import files
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from tracks.drill.drill import Drill, Form
from tracks.drill.in_key import in_each_key
from tracks.export.musicxml import musicxml
from tracks.model import Texture
from tracks.pack.sheets import sheet
from tracks.style.registry import load
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter

_SCHEMA = '<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="{}">{}</xs:schema>'
_STAND_INS = {
    "xml.xsd": _SCHEMA.format(
        "http://www.w3.org/XML/1998/namespace",
        '<xs:attribute name="lang" type="xs:language"/><xs:attribute name="space"/>',
    ),
    "xlink.xsd": _SCHEMA.format(
        "http://www.w3.org/1999/xlink",
        "".join(f'<xs:attribute name="{name}"/>' for name in "href type role title show actuate".split()),
    ),
}


class _StandIns(etree.Resolver):  # type: ignore[misc]
    def resolve(self, url: str, _public: str, context: object) -> object:
        return self.resolve_string(_STAND_INS[url.rpartition("/")[2]], context)


@cache
def schema() -> etree.XMLSchema:
    """The schema, read as a file: importing the package would build a class for each of its types."""
    path = next(Path(file.locate()) for file in files("musicxml") or () if file.name == "musicxml_4_0.xsd")
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(_StandIns())
    return etree.XMLSchema(etree.fromstring(path.read_bytes(), parser))


def faults(content: bytes) -> list[str]:
    schema().validate(etree.fromstring(content, etree.XMLParser(load_dtd=False, no_network=True)))
    return [str(fault) for fault in schema().error_log]


def content_of(progression: str, key: Key, meter: str, style: str, level: int, bpm: int | None = 96) -> bytes:
    found = load(style)
    drill = Drill(
        "lantern",
        progression,
        (key,),
        Meter.parse(meter),
        (60,),
        style=style,
        level=level,
        texture=found.info.textures[0],
    )
    (in_key,) = in_each_key(drill)
    return musicxml(sheet(drill, in_key, found).score, bpm)


def test_schema_finds_what_is_wrong() -> None:
    good = content_of("I V", Key.parse("Eb"), "4/4", "block", 1)
    assert faults(good.replace(b"<voice>1</voice>", b"<voices>1</voices>"))


@pytest.mark.parametrize("key", KEY_SETS["all-30"], ids=str)
def test_every_key_is_valid(key: Key) -> None:
    tonic = "i" if key.is_minor else "I"
    progression = f"{tonic} viio7/V | V65/V N6 | Ger65 V7 | {tonic}"
    assert not faults(content_of(progression, key, "4/4", "block", 2))


@settings(max_examples=25)
@given(
    st.sampled_from(
        ["Dm7 G7(b9)", "| C6/9 | N.C. |", "| Bbm7b5/Fb / F#dim7 /|", "C+ Am(maj7)", "| Csus4 | % |"]
    ),
    st.sampled_from(["4/4", "2/2", "12/8"]),
    st.sampled_from([("block", 1), ("root-bass", 2), ("improvise", 2)]),
)
def test_whatever_is_written_is_valid(progression: str, meter: str, how: tuple[str, int]) -> None:
    if meter == "2/2" and "/" in progression.replace("6/9", "").replace("5/F", ""):
        progression = "Dm7 G7(b9)"
    assert not faults(content_of(progression, Key.parse("C"), meter, *how))


@pytest.mark.parametrize("texture", [Texture.DOUBLED, Texture.OVER_BASS], ids=lambda t: t.value)
def test_block_voicings_without_a_style_are_valid(texture: Texture) -> None:
    drill = Drill("d", "| I / vi / | V7", (Key.parse("Ab"),), Meter(4, 4), (60,), texture=texture)
    assert not faults(musicxml(sheet(drill, in_each_key(drill)[0]).score))


@pytest.mark.parametrize("form", [Form.PLAIN, Form.TRADING_FOURS], ids=lambda form: form.value)
def test_a_tune_told_under_its_notes_is_valid(form: Form) -> None:
    drill = Drill(
        "lantern", "/ / / V7 | I IV | vi | ii | V7 I | IV | V7 | I", (Key.parse("Ab"),), Meter(4, 4), (60,),
        style="improvise", level=6, sheet=True, explain=True, form=form, repeats=2,
    )  # fmt: skip
    made = musicxml(sheet(drill, in_each_key(drill)[0], load("improvise")).score)

    assert b"<lyric" in made
    assert not faults(made)
