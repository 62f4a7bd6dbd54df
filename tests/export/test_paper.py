"""Papers: the same words in PDF and in plain text, tagged, and safe from what a user writes."""

import io
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from tracks.export.paper import (
    BOX,
    NEW_PAGE,
    WIDTH,
    Fields,
    Heading,
    Item,
    Items,
    PageBreak,
    Paper,
    Table,
    Words,
    pdf,
    png,
    text,
)
from tracks.model import PaperSize

PAPER = Paper(
    "Lanterns: week 3",
    (
        Words("Which one is it?", strong=True),
        Items((Item("the first", (f"{BOX} up {BOX} down",)), Item("the second", (f"{BOX} up {BOX} down",)))),
        Heading("Log"),
        Table(("Day", "Minutes"), (("", ""), ("", ""))),
        Table(("Week", "Keys"), (("1", "E♭ major"), ("2", f"{BOX} F♯ minor"))),
        Fields((("Heard by", "Mr. Oakes"), ("Signature", ""))),
        PageBreak(),
        Heading("Answers"),
        Items((Item("up"), Item("down"))),
    ),
    student="Ines Lantern",
)


def pages(document: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(document)).pages]


def catalog(document: bytes) -> Any:
    return PdfReader(io.BytesIO(document)).trailer["/Root"].get_object()


def tags(document: bytes) -> set[str]:
    """The kinds of structure element in a tagged PDF (ISO 32000-1, 14.8.4)."""
    found: set[str] = set()
    waiting: list[Any] = [catalog(document)["/StructTreeRoot"]]
    while waiting:
        node = waiting.pop().get_object()
        if isinstance(node, list):
            waiting += node
        elif isinstance(node, dict):
            found.add(str(node.get("/S")))
            waiting += [node["/K"]] if "/K" in node else []
    return found


def test_both_forms_say_the_same_words_in_the_same_order() -> None:
    said = re.sub(r"[_=-]{2,}|\d\. ", "", text(PAPER)).split()
    printed = " ".join(pages(pdf(PAPER)))

    place = 0
    for word in said:
        place = printed.index(word, place) + len(word)


def test_answers_begin_a_page_of_their_own() -> None:
    front, back = pages(pdf(PAPER))
    assert "Answers" in back
    assert "Answers" not in front
    front, back = text(PAPER).split(NEW_PAGE)
    assert "Answers" in back
    assert "Answers" not in front


def test_a_screen_reader_finds_headings_lists_and_tables() -> None:
    document = pdf(PAPER)

    assert {"/H1", "/H2", "/P", "/L", "/LI", "/Table", "/TH", "/TD"} <= tags(document)
    reader = PdfReader(io.BytesIO(document))
    assert catalog(document)["/Lang"] == "en"
    assert reader.metadata
    assert reader.metadata.title == PAPER.title
    # ISO 14289-1, 5: the document says in its metadata which part of the standard it keeps.
    metadata = catalog(document)["/Metadata"].get_object().get_data().decode()
    assert re.search(r"pdfuaid:part[>=\"']+1", metadata)


def test_boxes_are_letters_that_can_be_found() -> None:
    assert pages(pdf(PAPER))[0].count(BOX) == text(PAPER).count(BOX) == 5


def test_the_same_paper_is_the_same_bytes_and_large_print_is_another() -> None:
    assert pdf(PAPER) == pdf(PAPER)
    assert png(PAPER) != png(PAPER, large=True)


@pytest.mark.parametrize(("size", "points"), [(PaperSize.A4, (595, 842)), (PaperSize.LETTER, (612, 792))])
def test_page_sizes_are_those_of_the_standards(size: PaperSize, points: tuple[int, int]) -> None:
    """ISO 216's A4 is 210 by 297 mm, US Letter (ANSI/ASME Y14.1) 8.5 by 11 inches; a point is 1/72 inch."""
    box = PdfReader(io.BytesIO(pdf(PAPER, size=size))).pages[0].mediabox

    assert (round(box.width), round(box.height)) == points


def test_fields_are_filled_in_left_to_fill_in_or_left_out() -> None:
    assert "Student: Ines Lantern   Date: ____" in text(PAPER)
    bare = Paper("Plan", (), student=None, date=None)
    assert "Student" not in text(bare) + pages(pdf(bare))[0]


@pytest.mark.parametrize("rude", ["#strong[x]", "*b* _i_ $x$", "= Heading", "<label> @ref", "\\ // \"'"])
def test_what_a_user_writes_is_never_markup(rude: str) -> None:
    paper = Paper(rude, (Words(rude), Items((Item(rude, (rude,)),)), Table((rude,), ((rude,),))))

    assert pages(pdf(paper))[0].count(rude) >= 5


@given(st.lists(st.text("abc ☐", min_size=1, max_size=200), min_size=1, max_size=4))
def test_plain_text_is_never_wider_than_a_screen_and_loses_no_word(words: list[str]) -> None:
    paper = Paper("Plan", (Items(tuple(Item(each, (each,)) for each in words)), *map(Words, words)))
    plain = text(paper)

    assert all(len(line) <= WIDTH for line in plain.splitlines())
    letters = re.sub(r"\s", "", "".join(word * 3 for word in words))
    written = re.sub(r"\s", "", plain.partition("Date: ")[2])
    assert sorted(letters) == sorted(re.sub(r"\d\.|_", "", written))


CELLS = st.text("ab ", min_size=1, max_size=60).filter(str.strip)


@given(st.lists(st.tuples(CELLS, CELLS, st.just("") | CELLS), max_size=3), st.lists(CELLS, max_size=3))
def test_tables_and_fields_keep_within_a_screen_and_lose_no_letter(
    rows: list[tuple[str, str, str]], names: list[str]
) -> None:
    blocks = (Table(("c", "d", "e"), tuple(rows)), Fields(tuple((name, "") for name in names)))
    plain = text(Paper("Plan", blocks, student=None, date=None)).partition("====")[2]

    assert all(len(line) <= WIDTH for line in plain.splitlines())
    letters = "".join(["cde", *(cell for row in rows for cell in row), *names])
    assert sorted(re.sub(r"\s", "", letters)) == sorted(re.sub(r"[\s_:-]", "", plain))


def test_what_is_to_be_filled_in_has_room_to_write() -> None:
    plain = text(Paper("Marks", (Table(("Key", "Remarks"), (("C", ""),)), Fields((("Signature", ""),)))))

    for line in plain.splitlines()[-4:]:
        if "_" in line:
            assert len(line) == WIDTH
