"""The pages of a sheet: how they fill, what a teacher says on them, what a screen reader hears."""

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from pypdf import PdfReader

from tracks.drill.drill import Drill, Form
from tracks.drill.in_key import in_each_key
from tracks.drill.paper import paper_of, usual_paper
from tracks.drill.request import request_of
from tracks.export.mei import mei
from tracks.export.sheet import Sheet, pdf
from tracks.model import Heading, PaperSize, Texture
from tracks.pack.sheets import played_sheet, sheet, sheet_files
from tracks.practice.played import Played, played_in_each_key
from tracks.style.registry import load
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter

WEEK = Heading("Ada Quill", "Week 3", date(2026, 11, 26), date(2026, 12, 3), "Slowly first.\nSay each chord.")


def drill_of(progression: str, *keys: str, **others: object) -> Drill:
    drill = Drill("lantern", progression, tuple(map(Key.parse, keys or ("Eb",))), Meter(4, 4), (60, 68, 76))
    return replace(drill, **others)  # type: ignore[arg-type]


def sheets_of(drill: Drill, style: str = "block") -> list[Sheet]:
    return [sheet(drill, in_key, load(style)) for in_key in in_each_key(drill)]


def pages_of(document: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(document)).pages]


# How they fill.


def test_several_keys_stand_on_a_page_and_none_is_torn() -> None:
    drill = replace(drill_of("I vi IV V7"), keys=KEY_SETS["all-major"])
    pages = pages_of(pdf(sheets_of(drill)))

    assert len(pages) == 6
    assert all(page.count("Hands together") == page.count("Say it aloud") == 2 for page in pages)


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("count", [1, 4, 5, 6, 8, 11, 16, 24])
def test_no_page_of_several_keys_is_all_title_or_all_log(count: int, large: bool) -> None:
    numerals = " ".join(("I", "vi", "IV", "V7")[bar % 4] for bar in range(count))
    pages = pages_of(pdf(sheets_of(drill_of(numerals, "C", "G")), large))
    first, last = pages[0], pages[-1]

    assert "C major" in first
    assert "I vi" in first or "Right hand" in first  # its music, or its boxes
    assert "What moves" in last
    assert sum(page.count("Practiced") for page in pages) == 1


@pytest.mark.parametrize("paper", PaperSize)
@pytest.mark.parametrize("count", range(1, 17))
def test_large_print_never_spills_a_row_or_two_to_a_page(count: int, paper: PaperSize) -> None:
    numerals = [("I", "vi", "IV", "V7")[bar % 4] for bar in range(count)]
    (made,) = sheets_of(drill_of(" ".join(numerals)))
    pages = pages_of(pdf([made], large=True, paper=paper))

    rows = re.findall(r"(?<![\d/]) ?(\d+) [A-G]", pages[-1].split("What moves")[1])
    assert len(rows) >= min(count, 3)


@pytest.mark.parametrize(("paper", "points"), [(PaperSize.A4, (595, 842)), (PaperSize.LETTER, (612, 792))])
def test_paper_is_of_the_size_asked_for(paper: PaperSize, points: tuple[int, int]) -> None:
    """ISO 216 and ANSI/ASME Y14.1."""
    for page in PdfReader(io.BytesIO(pdf(sheets_of(drill_of("I V")), paper=paper))).pages:
        assert (round(page.mediabox.width), round(page.mediabox.height)) == points


@pytest.mark.parametrize(
    ("locale", "paper"),
    [
        ("en_US.UTF-8", PaperSize.LETTER),
        ("es_MX", PaperSize.LETTER),
        ("en_US@euro", PaperSize.LETTER),
        ("English_United States.1252", PaperSize.LETTER),
        ("en_GB.UTF-8", PaperSize.A4),
        ("de_DE", PaperSize.A4),
        ("C.UTF-8", PaperSize.A4),
        ("", PaperSize.A4),
    ],
)
def test_usual_paper_is_that_of_the_locale(locale: str, paper: PaperSize) -> None:
    assert paper_of(locale) is paper


def test_environment_says_the_paper_by_itself_or_for_all() -> None:
    american = {"LANG": "en_US.UTF-8"}
    assert usual_paper(american) is PaperSize.LETTER
    assert usual_paper(american | {"LC_PAPER": "de_DE.UTF-8"}) is PaperSize.A4
    assert usual_paper({"LC_ALL": "fr_CA", "LC_PAPER": "de_DE"}) is PaperSize.LETTER


def test_drill_with_a_sheet_holds_its_paper_so_that_it_is_made_the_same_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("LC_ALL", "en_US.UTF-8")
    (there,) = request_of({"progression": "I V", "sheet": True}).drills()
    (no_sheet,) = request_of({"progression": "I V"}).drills()
    (asked,) = request_of({"progression": "I V", "sheet": True, "paper": "a4"}).drills()

    assert there.paper is PaperSize.LETTER
    assert no_sheet.paper is asked.paper is PaperSize.A4


# What a teacher says.


def test_heading_stands_over_the_title_and_the_log_begins_on_its_day() -> None:
    drill = drill_of("I V", sheet=True)
    (file, _) = sheet_files(drill, played_in_each_key(drill, load("block")), WEEK)
    (page,) = pages_of(file.content)

    for said in (
        "Week 3 · for Ada Quill · November 26, 2026 · due December 3, 2026",
        "Slowly first. Say each chord.",
        "Practiced Thu 26 Fri 27 Sat 28 Sun 29 Mon 30 Tue 1 Wed 2",
    ):
        assert said in page


def test_log_without_a_day_is_of_a_week_and_one_due_later_is_longer() -> None:
    (made,) = sheets_of(drill_of("I V"))
    (page,) = pages_of(pdf([made]))
    late = replace(made, heading=replace(WEEK, due=date(2026, 12, 8)))
    (longer,) = pages_of(pdf([late]))

    assert "Practiced Mon Tue Wed Thu Fri Sat Sun" in page
    assert longer.count("Practiced") == 2
    assert "Mon 7" in longer
    assert "Tue 8" not in longer


def test_call_of_what_moves_is_said_aloud_and_names_no_hand_that_plays_a_tune() -> None:
    held, tune = (sheets_of(drill_of("I vi IV V7", "G"), style)[0] for style in ("block", "improvise"))
    said = held.rows[1][3].split("\n")

    assert said == ["E minor, first inversion", "top up (right hand: 2)"]
    assert not any("right hand:" in row[3] for row in tune.rows)


# Turns.


def turns_of(form: Form, progression: str = "I vi ii V7 I vi ii V7") -> Sheet:
    drill = drill_of(progression, "C", form=form)
    (in_key,) = in_each_key(drill)
    return played_sheet(Played(drill, load("improvise"), in_key))


def test_bars_of_the_students_turn_are_empty_and_say_so() -> None:
    written = turns_of(Form.CALL_AND_RESPONSE).score
    tune = [bar.staves[0] for bar in written.bars]
    empty = [any(not event.value and event.hidden for event in layers[0]) for layers in tune]

    assert [bar.turn for bar in written.bars] == ["listen", "", "your turn", ""] * 2
    assert empty == [False, False, True, True] * 2
    assert all(bar.staves[1][0][0].pitches for bar in written.bars)
    assert turns_of(Form.CALL_AND_RESPONSE).about.endswith("call and response, 2 bars each")


def test_melody_out_leaves_the_whole_tune_to_the_student_and_keeps_its_boxes() -> None:
    made = turns_of(Form.MELODY_OUT)

    assert not any(event.pitches for bar in made.score.bars for layer in bar.staves[0] for event in layer)
    assert [bar.turn for bar in made.score.bars][:2] == ["your turn", ""]
    assert "Melody" in made.hands
    assert "your turn" in pages_of(pdf([made]))[0]


@pytest.mark.parametrize("style", ["improvise", "block"])
def test_choruses_whose_turns_differ_are_all_written(style: str) -> None:
    drill = drill_of(
        "| I | I | I | I | IV | IV | I | I | V7 | IV | I | I |", "C", form=Form.TRADING_FOURS, repeats=2
    )
    made = played_sheet(Played(drill, load(style), in_each_key(drill)[0]))

    assert [bar.turn for bar in made.score.bars if bar.turn] == ["listen", "your turn"] * 3
    assert [bar.number for bar in made.score.bars] == list(range(1, 25))
    empty = [not any(event.pitches for event in bar.staves[0][0]) for bar in made.score.bars]
    assert empty[12:16] == [True] * 4
    assert len(made.rows) == 12
    assert "2 times" not in made.about


def test_choruses_that_are_alike_are_written_once() -> None:
    drill = drill_of("I IV V7 I", "C", form=Form.CALL_AND_RESPONSE, repeats=2)
    made = played_sheet(Played(drill, load("block"), in_each_key(drill)[0]))

    assert len(made.score.bars) == 4
    assert "2 times" in made.about


def test_a_tune_that_goes_on_is_written_to_its_end() -> None:
    drill = drill_of("I IV V7 I", "C", style="improvise", repeats=3)
    made = played_sheet(Played(drill, load("improvise"), in_each_key(drill)[0]))

    assert len(made.score.bars) == 12
    assert [event.mark for event in made.score.bars[-1].staves[0][0]] == [""]


# What a screen reader hears.


def structure(document: bytes) -> Iterator[Any]:
    """Every element of a PDF's structure, from the top (ISO 32000-2, 14.7)."""

    def below(element: Any) -> Iterator[Any]:
        kids = element.get("/K", [])
        for kid in kids if isinstance(kids, list) else [kids]:
            found = kid.get_object() if hasattr(kid, "get_object") else kid
            if hasattr(found, "get") and "/S" in found:
                yield found
                yield from below(found)

    root: Any = PdfReader(io.BytesIO(document)).trailer["/Root"]
    yield from below(root["/StructTreeRoot"])


def test_pdf_is_tagged_in_its_language_as_the_standard_asks() -> None:
    document = pdf(sheets_of(drill_of("I vi IV V7", "C", "G")))
    root: Any = PdfReader(io.BytesIO(document)).trailer["/Root"]
    kinds = [str(element["/S"]) for element in structure(document)]

    assert root["/MarkInfo"]["/Marked"]
    assert str(root["/Lang"]).startswith("en")
    assert b"pdfuaid:part" in root["/Metadata"].get_object().get_data()
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/Figure"} <= set(kinds)


def test_every_system_is_told_bar_by_bar() -> None:
    (made,) = sheets_of(drill_of("I vi IV V7 I vi", "G"))
    told = [str(e["/Alt"]) for e in structure(pdf([made])) if e["/S"] == "/Figure"]

    assert told[0].startswith(
        "Bars 1 to 3, in G major. Bar 1; G major, root position, I. "
        "Upper staff: whole chord G4 B4 D5 fingers 1 3 5. Lower staff: whole chord G3 B3 D4 fingers 5 3 1. "
        "Bar 2; E minor, first inversion, vi."
    )
    assert told[1].startswith("Bars 4 to 6")
    assert told[2] == "quarter note"  # of the goal


def test_empty_bars_and_tunes_are_told_too() -> None:
    told = " ".join(
        str(e["/Alt"]) for e in structure(pdf([turns_of(Form.CALL_AND_RESPONSE)])) if e["/S"] == "/Figure"
    )
    assert "Bar 3; your turn; " in told
    assert "Upper staff: empty." in told
    assert "Bar 1; listen; " in told


def test_left_hand_is_in_the_bass_clef_wherever_a_chord_begins() -> None:
    for key in KEY_SETS["all-major"]:
        for start in ("root", "first", "second"):
            given = {"progression": "I vi IV V7", "keys": (str(key),), "start": start}
            (drill,) = request_of(given).drills()
            (in_key,) = in_each_key(drill)
            assert sheet(drill, in_key).score.treble == (True, False), (key, start)


def test_stems_of_one_voice_point_as_their_notes_have_them() -> None:
    """Two voices keep each its own side (convention)."""
    (bass,) = sheets_of(drill_of("I V", "C", texture=Texture.OVER_BASS), "march")
    assert "stem.dir" not in mei(bass.score)

    first = bass.score.bars[0]
    upper = first.staves[0]
    two = replace(first, staves=((*upper, *upper), first.staves[1]))
    assert re.findall(r'stem.dir="(\w+)"', mei(replace(bass.score, bars=(two,)))) == ["up"] * 2 + ["down"] * 2


# What is kept together.


NOTES = "\n".join(f"Line {number}." for number in range(12))


@pytest.mark.parametrize("notes", ["", NOTES])
def test_music_and_the_table_of_moves_are_not_torn_where_they_fit_on_a_page(notes: str) -> None:
    (made,) = sheets_of(drill_of("I vi ii7 V7 I"))
    pages = pages_of(pdf([replace(made, heading=replace(WEEK, notes=notes))], large=True))

    (with_music,) = [page for page in pages if "ii7 " in page.split("Say it aloud")[0].split("4/4")[-1]]
    assert "vi " in with_music
    (with_moves,) = [page for page in pages if "What moves" in page]
    assert re.findall(r" (\d) [A-G]♭?m?7? ", with_moves.split("What moves")[1]) == ["1", "2", "3", "4", "5"]


def test_days_of_a_log_in_large_print_have_their_dates_under_them() -> None:
    (made,) = sheets_of(drill_of("I V7 I"))
    document = PdfReader(io.BytesIO(pdf([replace(made, heading=WEEK)], large=True)))

    heights: dict[str, float] = {}

    def note(text: str, page: list[float], line: list[float], *_: Any) -> None:
        heights.setdefault(text.strip(), line[5] * page[3] + page[5])

    document.pages[0].extract_text(visitor_text=note)
    assert heights["Thu"] != heights["26"]
    assert (heights["Thu"], heights["26"]) == (heights["Mon"], heights["30"])


@pytest.mark.parametrize(
    ("mixes", "hands"),
    [
        (("hands-together",), ("Hands together",)),
        (("right-alone",), ("Right hand",)),
        (("you-play-left", "hands-together"), ("Left hand", "Hands together")),
        (None, ("Right hand", "Left hand", "Hands together")),
    ],
)
def test_boxes_are_of_the_hands_that_are_practiced(
    mixes: tuple[str, ...] | None, hands: tuple[str, ...]
) -> None:
    said = {"mixes": mixes} if mixes else {}
    (drill,) = request_of({"progression": "I V7 I", **said}).drills(load("block"))
    (played,) = played_in_each_key(drill, load("block"))

    assert played_sheet(played).hands == hands


def test_a_tune_says_which_hand_has_it_and_what_it_is_over() -> None:
    request = request_of({"progression": "I V7 I", "style": "improvise", "band": "swing"})
    style = request.style(load)
    (drill,) = request.drills(style)
    (played,) = played_in_each_key(drill, style)

    about = played_sheet(played).about
    assert "the right hand plays the tune, the left the chords under it, over a swing band" in about
