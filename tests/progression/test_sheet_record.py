import json
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.drill.drill import Drill
from tracks.drill.record import drill_from_record, drill_record
from tracks.progression.lead_sheet import LeadSheet, SheetBar, SheetChord, SheetRepeat
from tracks.progression.romantext import parse_romantext
from tracks.progression.sheet_record import sheet_from_record, sheet_record
from tracks.progression.written import Writing
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter

PIECE = parse_romantext("Title: Lantern Walk\nm0 b4 C: V\nm1 I\nm2a V7 :||\nm2b I\nm3 a: i b3 NC")
KEYS = [None, Key.parse("C"), Key.parse("f#")]


@st.composite
def sheets(draw: st.DrawFn) -> LeadSheet:
    """Any lead sheet: bars of all lengths, numbered as they come, chords across them, repeats."""
    bars, start = [], 0
    for _ in range(draw(st.integers(1, 6))):
        length = draw(st.integers(1, 8 * QUARTER))
        meter = Meter(draw(st.integers(1, 12)), draw(st.sampled_from([2, 4, 8])))
        bars.append(SheetBar(draw(st.integers(0, 9)), start, length, meter, draw(st.integers(0, 2))))
        start += length
    cuts = sorted({0, start, *draw(st.lists(st.integers(0, start), max_size=6))})
    chords = tuple(
        SheetChord(
            draw(st.sampled_from(["I", "V65/V", None])), begin, end - begin, draw(st.sampled_from(KEYS))
        )
        for begin, end in pairwise(cuts)
    )
    repeats = tuple(
        SheetRepeat(begin, end, draw(st.integers(begin + 1, end)), draw(st.integers(2, 64)))
        for begin, end in pairwise(cuts)
        if draw(st.booleans())
    )
    writing = Writing.NUMERALS if any(chord.text for chord in chords) else None
    return LeadSheet(draw(st.text(max_size=9)), writing, tuple(bars), chords, repeats)


@given(sheets())
def test_every_lead_sheet_comes_back_from_its_record(sheet: LeadSheet) -> None:
    assert sheet_from_record(json.loads(json.dumps(sheet_record(sheet)))) == sheet


def test_drill_holds_the_music_of_a_file_itself() -> None:
    drill = Drill("walk", PIECE, (Key.parse("C"),), Meter(4, 4), (60,))
    record = json.loads(json.dumps(drill_record(drill)))

    assert record["progression"]["title"] == "Lantern Walk"
    assert drill_from_record(record) == drill


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"bars": []}, "no bar with a chord"),
        ({"bars": [7]}, "bars are no list of objects"),
        ({"chords": None}, "chords are no list of objects"),
        ({"title": None}, "title is no text"),
        ({"chords": [{"text": "I", "key": None, "length": 7}]}, "do not end with the last bar"),
        ({"chords": [{"text": "Q", "key": None, "length": 7}]}, "'Q' is no chord"),
        ({"bars": [{"number": 1, "length": True, "meter": "4/4", "ending": 0}]}, "length is no whole number"),
        ({"bars": [{"number": 1, "length": 8, "meter": "4/4", "ending": 3}]}, "ending 3 is none"),
        ({"bars": [{"number": 1}]}, "length is missing"),
        ({"repeats": [{"start": 9, "end": 5, "leave": 5, "times": 2}]}, "a repeat lies outside"),
    ],
)
def test_what_is_no_lead_sheet_is_refused(change: dict[str, object], fault: str) -> None:
    with pytest.raises(RequestError, match=fault):
        sheet_from_record({**sheet_record(PIECE), **change})
