"""Repeats as played, beat by beat, against music21 10.5.1's `expandRepeats`.

music21 goes back to the beginning where a forward repeat is missing, so it is given the page with every one
written out; we are given it as programs export it, with bars split, unnumbered, numbered twice or skipped.
"""

import json
import warnings
from dataclasses import replace
from pathlib import Path
from typing import Any

import music21
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from score_pages import Bar, score_xml

from tracks.progression.changes import home_key, realize
from tracks.progression.files import read_file
from tracks.progression.musicxml import read_musicxml
from tracks.progression.playing import progression
from tracks.progression.romantext import parse_romantext
from tracks.progression.romantext_writer import changes_to_romantext
from tracks.progression.sheet_record import sheet_from_record, sheet_record
from tracks.progression.written import Progression
from tracks.theory.errors import RequestError
from tracks.theory.meter import QUARTER

CORPUS = Path(music21.__file__).parent / "corpus"
PIECES = sorted([*CORPUS.rglob("*.rntxt"), *(CORPUS / "leadSheet").glob("*.mxl")])
ROOTS = "CDEFGAB"


@st.composite
def pages(draw: st.DrawFn) -> tuple[list[Bar], list[Bar]]:
    """A page as exported, and the same with every forward repeat: sections that share an upbeat or none."""
    upbeat = draw(st.integers(0, 3))
    exported: list[Bar] = []
    for _ in range(draw(st.integers(1, 3))):
        exported += draw(sections(upbeat, opens=bool(exported) and draw(st.booleans())))
    bars = [replace(bar, root=ROOTS[place % 7]) for place, bar in enumerate(_numbered(draw, exported))]
    written_out, start = list(bars), 0
    for place, bar in enumerate(bars):
        start = place if bar.opens else start
        if bar.closes:
            written_out[start] = replace(written_out[start], opens=True)
            start = place + 2 if bar.ending else place + 1
    return bars, written_out


@st.composite
def sections(draw: st.DrawFn, upbeat: int, opens: bool) -> list[Bar]:
    body = [Bar("", "C", upbeat)] if upbeat else []
    for _ in range(draw(st.integers(1, 3))):
        half = draw(st.integers(0, 3))
        body += [Bar("", "C", half), Bar("", "C", 4 - half)] if half and body else [Bar("", "C")]
    way = draw(st.sampled_from(["once", "twice", "endings"]))
    body[0] = replace(body[0], opens=opens and way != "once")
    if way == "endings":
        body += [Bar("", "C", 4 - upbeat, closes=True, ending=1), Bar("", "C", 4 - upbeat, ending=2)]
    else:
        body.append(Bar("", "C", 4 - upbeat, closes=way == "twice"))
    return body


def _numbered(draw: st.DrawFn, bars: list[Bar]) -> list[Bar]:
    number, numbered = 0, []
    for bar in bars:
        way = draw(st.sampled_from(["next", "next", "same", "implicit", "skip"]))
        number += {"next": 1, "same": 0, "implicit": 0, "skip": 2}[way]
        numbered.append(replace(bar, number="X1" if way == "implicit" else str(number)))
    return numbered


def sounding(score: Any) -> list[tuple[float, str]]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        part = score.parts[0].expandRepeats()
    found = part.recurse().getElementsByClass("ChordSymbol")
    return [(float(symbol.getOffsetInHierarchy(part)), symbol.root().name) for symbol in found]


@settings(max_examples=40, deadline=None)
@given(pages())
def test_pages_are_played_as_music21_plays_them_with_every_sign_written_out(
    page: tuple[list[Bar], list[Bar]],
) -> None:
    exported, written_out = page
    played = progression(read_musicxml(score_xml(exported).encode()))
    theirs = music21.converter.parseData(score_xml(written_out), format="musicxml")

    assert [(chord.start / QUARTER, chord.text) for chord in played.chords] == sounding(theirs)


@pytest.mark.parametrize("path", PIECES, ids=lambda path: path.stem)
def test_every_piece_of_the_corpus_comes_back_from_a_drill_and_from_romantext(path: Path) -> None:
    sheet = read_file(path)

    assert sheet_from_record(json.loads(json.dumps(sheet_record(sheet)))) == replace(sheet, remarks=())
    try:
        played = progression(sheet)
    except RequestError as fault:
        assert "changes the meter" in str(fault)  # noqa: PT017
        return
    changes = realize(played, home_key(played))
    again = progression(parse_romantext(changes_to_romantext(changes)))
    assert again.length == played.length
    assert _heard(again) == _heard(played)


def _heard(played: Progression) -> list[tuple[float, frozenset[str]]]:
    """Return when each other chord is heard; a chord struck again at once is heard on."""
    heard: list[tuple[float, frozenset[str]]] = []
    for at in realize(played, home_key(played)).chords:
        tones = frozenset(tone.name for tone in at.chord.tones) if at.chord else frozenset()
        if not heard or heard[-1][1] != tones:
            heard.append((at.start / QUARTER, tones))
    return heard


def test_music21_ships_the_pieces() -> None:
    assert len(PIECES) >= 70
