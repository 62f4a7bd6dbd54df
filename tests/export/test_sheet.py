"""The engraved sheet: what stands on it, no text over another, and always the same bytes."""

import io
import json
import re
import struct
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path
from xml.etree.ElementTree import fromstring

import pytest
from pypdf import PdfReader
from sheet_boxes import glyphs, texts

from tracks.cli.main import run
from tracks.drill.drill import Drill, Sevenths
from tracks.drill.in_key import in_each_key
from tracks.export.engrave import System, breaks, split_numeral, systems
from tracks.export.sheet import Goal, Sheet, pdf, png, svg
from tracks.model import Texture
from tracks.pack.about import title_of
from tracks.pack.folder import PackFile
from tracks.pack.sheets import sheet, sheet_files
from tracks.practice.played import played_in_each_key
from tracks.safety import CAUTION
from tracks.style.registry import load
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import QUARTER, Meter

NORMAL, LARGE = 1800, 1150
LONG = "F#m7b5/A B7(b9,#11)/D# Ebmaj7#5/G C#m(maj7)/E | Abm7b5/Ebb G13 C6/9 Db7 | C"


def drill_of(progression: str = "I vi IV V7 I", *keys: str, **others: object) -> Drill:
    drill = Drill("lantern", progression, tuple(map(Key.parse, keys or ("Eb",))), Meter(4, 4), (60, 68, 76))
    return replace(drill, **others)  # type: ignore[arg-type]


def sheets_of(drill: Drill, style: str | None = None) -> list[Sheet]:
    return [sheet(drill, in_key, load(style) if style else None) for in_key in in_each_key(drill)]


def words_of(document: bytes) -> str:
    """The text of a PDF, every run of space a single one."""
    pages = PdfReader(io.BytesIO(document)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


# The words.


def test_a_sheet_tells_the_call_and_what_neither_hand_plays() -> None:
    (smooth,) = sheets_of(drill_of("ii6 V7 I", sevenths=Sevenths.SMOOTHEST))
    (guided,) = sheets_of(drill_of("ii6 V7 I"))
    assert [row[4].split("; ")[1:] for row in smooth.rows] == [[], ["left out: D, the leading tone"], []]
    assert guided.rows[1][4].endswith("left out: F, the fifth")
    assert [row[3].split("\n")[1:] for row in guided.rows] == [
        [],
        ["top two down (left hand: 4)"],
        ["bottom down, top up (left hand: 3)"],
    ]


def test_what_a_styles_left_hand_plays_is_not_left_out() -> None:
    """The habanera's left hand has the fifth that the doubled chord leaves out."""
    drill = drill_of("I IVmaj7 V7 I")
    ((held,), (played,)) = sheets_of(drill), sheets_of(drill, "habanera")
    assert "left out: F, the fifth" in held.rows[2][4]
    assert "left out" not in played.rows[2][4]


# No text covers another.


def collisions(drawn: Sequence[System]) -> Iterator[str]:
    """Say which texts of a system cover each other, a note or an accidental, or leave the drawing."""
    for system, boxes in zip(drawn, texts(drawn), strict=True):
        for box in boxes:
            if box.left < 0 or box.top < 0 or box.right > system.width or box.bottom > system.height:
                yield f"{box.what} leaves the drawing"
        for one, other in combinations(boxes, 2):
            if one.overlaps(other):
                yield f"{one.what} and {other.what} overlap"
        heads = glyphs(system)
        for one in boxes:
            for other in heads:
                if one.overlaps(other):
                    yield f"{one.what} covers a note or an accidental"


def drawn_in(keys: tuple[Key, ...], progression: str, texture: Texture, width: int = NORMAL) -> list[System]:
    drill = drill_of(progression, texture=texture, keys=keys)
    return [system for made in sheets_of(drill) for system in systems(made.score, width)]


@pytest.mark.parametrize("texture", [Texture.DOUBLED, Texture.OVER_BASS], ids=lambda t: t.value)
@pytest.mark.parametrize("minor", [False, True], ids=["major", "minor"])
def test_no_text_covers_another_in_any_key(minor: bool, texture: Texture) -> None:
    keys = tuple(key for key in KEY_SETS["all-30"] if key.is_minor == minor)
    tonic = "i" if minor else "I"
    drawn = drawn_in(keys, f"{tonic} bVI | viio7/V V65/V | N6 Cad64 | V7 {tonic}", texture)

    assert len(drawn) >= 15
    assert not list(collisions(drawn))


@pytest.mark.parametrize("width", [NORMAL, LARGE])
@pytest.mark.parametrize("key", ["C", "F#", "Db"])
def test_long_symbols_keep_apart(key: str, width: int) -> None:
    drill = drill_of(LONG, key, written_in=Key.parse("C"))
    drawn = [system for made in sheets_of(drill) for system in systems(made.score, width)]

    assert not list(collisions(drawn))


@pytest.mark.parametrize(
    ("style", "meter"), [("alberti", "4/4"), ("stride", "4/4"), ("waltz", "3/4"), ("improvise", "6/8")]
)
def test_no_text_covers_another_whatever_the_style(style: str, meter: str) -> None:
    drill = drill_of(
        "I | V7/V | V7 | I", "Db", style=style, meter=Meter.parse(meter), texture=load(style).info.textures[0]
    )
    drawn = [system for made in sheets_of(drill, style) for system in systems(made.score, NORMAL)]

    assert not list(collisions(drawn))


def test_the_check_sees_a_text_that_was_moved_onto_another() -> None:
    (drawn,) = drawn_in((Key.parse("Eb"),), "I vi", Texture.DOUBLED)
    first, second, *others = drawn.words
    moved = replace(drawn, words=(first, replace(second, x=first.x + 10, y=first.y), *others))

    assert list(collisions([moved]))


def test_no_word_is_left_in_the_drawing() -> None:
    (drawn,) = drawn_in((Key.parse("Eb"),), "I vi", Texture.DOUBLED)

    assert not list(fromstring(drawn.drawing).iter("{http://www.w3.org/2000/svg}text"))
    assert [word.text for word in drawn.words if word.kind == "symbol"] == ["E♭", "Cm"]


@pytest.mark.parametrize(
    ("numeral", "parts"),
    [
        ("V", ("V", "", "")),
        ("V7", ("V", "7", "")),
        ("V65/V", ("V", "65", "/V")),
        ("vii°7/V", ("vii°", "7", "/V")),
        ("iiø65", ("iiø", "65", "")),
        ("Ger65", ("Ger", "65", "")),
        ("♭VI", ("♭VI", "", "")),
        ("V7(♭9)", ("V", "7", "(♭9)")),
        ("V[add9]", ("V[add9]", "", "")),
        ("G: V42", ("G: V", "42", "")),
    ],
)
def test_figures_of_a_numeral_are_set_small(numeral: str, parts: tuple[str, str, str]) -> None:
    assert split_numeral(numeral) == parts


# How bars are laid out: convention.


@pytest.mark.parametrize(
    ("count", "sizes"),
    [
        (1, [1]),
        (4, [4]),
        (5, [5]),
        (6, [3, 3]),
        (7, [4, 3]),
        (8, [4, 4]),
        (9, [3, 3, 3]),
        (12, [4, 4, 4]),
        (16, [4] * 4),
    ],
)
def test_bars_stand_in_fours_and_none_is_left_alone(count: int, sizes: list[int]) -> None:
    starts = [0, *breaks([300] * count, 2000), count]
    assert [end - start for start, end in pairwise(starts)] == sizes


def test_wide_bars_stand_fewer_to_a_system() -> None:
    assert breaks([900] * 4, 2000) == (2,)
    assert breaks([1500] * 3, 2000) == (1, 2)


# What stands on the page.


def test_pdf_can_be_searched_for_all_that_a_student_reads() -> None:
    document = pdf(sheets_of(drill_of("I vi IV V65 I", "Eb"), "block"))
    words = words_of(document)

    for text in (
        "I vi IV V65 I",
        "E♭ major",
        "Goal: = 76",
        "60 68 76",
        "Right hand",
        "Left hand",
        "Hands together",
        "C minor, first inversion",
        "bottom and middle hold, top up a whole step",
        "B♭7/D",
        CAUTION,
    ):
        assert text in words


def test_pdf_has_a_title_and_no_date() -> None:
    reader = PdfReader(io.BytesIO(pdf(sheets_of(drill_of()))))

    assert reader.metadata is not None
    assert reader.metadata.title == "Lantern, E♭ major"
    assert reader.metadata.creation_date_raw is None


def test_pdf_holds_its_fonts() -> None:
    for page in PdfReader(io.BytesIO(pdf(sheets_of(drill_of())))).pages:
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]
            (descendant,) = font.get_object()["/DescendantFonts"]
            descriptor = descendant.get_object()["/FontDescriptor"]
            assert {"/FontFile2", "/FontFile3"} & set(descriptor.get_object())


def test_eight_chords_fit_on_one_page() -> None:
    (made,) = sheets_of(drill_of("I vi IV V7 I vi ii7 V7"), "block")
    assert len(PdfReader(io.BytesIO(pdf([made]))).pages) == 1


def test_words_of_a_user_are_never_markup() -> None:
    drill = drill_of("F#m7 G#dim7 | C#7 | F#m", "F# minor", name="F-m7-G-dim7-C-7-F-m")
    (made,) = sheets_of(drill)

    assert "F♯m7 G♯dim7 | C♯7 | F♯m" in words_of(pdf([made]))
    odd = replace(made, title="#pagebreak() *x* $y$ \\ <z>")
    assert "#pagebreak() *x* $y$ \\ <z>" in words_of(pdf([odd]))


def test_sheet_says_nothing_of_a_left_hand_that_plays_otherwise() -> None:
    drill = drill_of("I V7 I", texture=Texture.OVER_BASS)
    charted = [row[-1] for made in sheets_of(drill, "root-bass") for row in made.rows]
    striding = [
        row[-1] for made in sheets_of(replace(drill, texture=Texture.DOUBLED), "stride") for row in made.rows
    ]

    assert any("left hand" in moves for moves in charted)
    assert not any("left hand" in moves for moves in striding)


def test_compound_goal_names_the_felt_beat() -> None:
    (made,) = sheets_of(drill_of("I V", meter=Meter(6, 8)), "block")
    assert made.goal == Goal(QUARTER, dotted=True, bpm=76, name="dotted quarter note")


def test_sheet_of_held_chords_has_the_cautions_but_no_goal_and_no_boxes() -> None:
    # Nobody asked for a tempo there.
    words = words_of(pdf(sheets_of(drill_of())))

    assert CAUTION in words
    assert "Goal" not in words
    assert "Tick" not in words


def test_line_to_say_names_the_bass_and_the_right_hands_shape_follows() -> None:
    (made,) = sheets_of(drill_of("i iv6", "c", texture=Texture.OVER_BASS))
    assert made.rows[1][3] == "F minor, first inversion\nright hand in second inversion\ntop two up"


def test_line_to_say_tells_no_chord_shape_of_a_right_hand_that_plays_a_melody() -> None:
    (made,) = sheets_of(drill_of("i iv6", "c", texture=Texture.OVER_BASS), "improvise")
    assert made.rows[1][3].split("\n")[0] == "F minor, first inversion"
    assert "right hand" not in made.rows[1][3]


def test_title_tells_a_dominant_from_a_major_seventh() -> None:
    (made,) = sheets_of(drill_of("Id7 IV", "C", name="Id7-IV"))

    assert made.title == "Idom7 IV"
    assert made.rows[0][1:3] == ("C7", "Idom7")


@pytest.mark.parametrize(
    ("name", "key", "about"),
    [
        ("Am-D7-G", "Bb", "written in G major · 4/4"),
        ("Am-D7-G", "G", "4/4"),
        ("lantern", "Bb", "Am D7 G (written in G major) · 4/4"),
        ("lantern", "G", "Am D7 G · 4/4"),
    ],
)
def test_symbols_above_transposed_music_tell_the_key_they_were_written_in(
    name: str, key: str, about: str
) -> None:
    (made,) = sheets_of(drill_of("Am D7 G", key, name=name, written_in=Key.parse("G")))
    assert made.about.startswith(about)


def test_numerals_are_written_in_no_key() -> None:
    (made,) = sheets_of(drill_of("I V", "Bb", written_in=Key.parse("G")))
    assert "written in" not in made.about


@pytest.mark.parametrize(
    ("name", "title"),
    [("I-vi-IV-V7-I", "I vi IV V7 I"), ("monday-warm-up", "Monday warm up"), ("Lantern_2", "Lantern 2")],
)
def test_title_is_the_name_or_the_progression_that_it_was_made_from(name: str, title: str) -> None:
    assert title_of(drill_of(name=name)) == title


def test_swing_is_written_straight_and_said() -> None:
    drill = drill_of("Dm7 G7 | C6", "C", style="swing", texture=Texture.OVER_BASS)
    (made,) = sheets_of(drill, "swing")

    assert "swing the eighths" in made.about
    events = [e for bar in made.score.bars for staff in bar.staves for voice in staff for e in voice]
    assert not any(event.value and event.value.tuplet for event in events)


# Forms and sizes.


def test_same_sheet_is_the_same_bytes_in_every_form() -> None:
    for form in (lambda made: [pdf(made)], svg, png):
        first = form(sheets_of(drill_of("I V7 I", "Cb")))
        systems.cache_clear()
        assert form(sheets_of(drill_of("I V7 I", "Cb"))) == first


def test_picture_is_a_page_of_220_pixels_an_inch() -> None:
    (picture,) = png(sheets_of(drill_of()))
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">II", picture[16:24]) == (1819, 2572)


def test_svg_is_one_document_a_page() -> None:
    for page in svg(sheets_of(drill_of("I V7 I", "C", "G"))):
        assert fromstring(page).tag == "{http://www.w3.org/2000/svg}svg"


def test_large_print_makes_words_and_staves_half_as_large_again() -> None:
    made = sheets_of(drill_of())
    sizes = {
        large: {
            size
            for page in PdfReader(io.BytesIO(pdf(made, large))).pages
            for size in re.findall(rb"(\d+(?:\.\d+)?) Tf", page.get_contents().get_data())  # type: ignore[union-attr]
        }
        for large in (False, True)
    }
    smallest = {large: min(map(float, found)) for large, found in sizes.items()}

    assert NORMAL / LARGE > 1.5
    assert smallest[True] >= 1.5 * smallest[False]
    assert smallest[True] >= 11.5  # a numeral's figures


def test_large_print_has_sentences_of_16_points_and_a_footer_of_14() -> None:
    page = PdfReader(io.BytesIO(pdf(sheets_of(drill_of("I")), large=True))).pages[0]
    sizes: dict[str, float] = {}

    def note(text: str, _matrix: object, _place: object, _font: object, size: float) -> None:
        sizes[text.strip()] = size

    page.extract_text(visitor_text=note)

    assert sizes["E♭ major, root position"] >= 16
    assert sizes["Lantern, E♭ major"] >= 14


@pytest.mark.parametrize("count", [1, 4, 5, 6, 7, 8])
def test_goal_and_its_boxes_stay_on_one_page_of_large_print(count: int) -> None:
    drill = drill_of(" ".join(["I"] * count), tempos=tuple(range(40, 121, 8)))
    pages = [
        page.extract_text() for page in PdfReader(io.BytesIO(pdf(sheets_of(drill, "block"), True))).pages
    ]

    (goal,) = [page for page in pages if "Goal" in page]
    assert goal.count("Hands together") == 2  # two rows of tempos
    assert "120" in goal.split("Tick")[1]


# In a pack, and from the command line.


def files_of(drill: Drill) -> list[PackFile]:
    return list(sheet_files(drill, played_in_each_key(drill, load("block"))))


def test_pack_holds_pdf_and_musicxml_for_every_key_and_one_pdf_of_all() -> None:
    files = list(
        sheet_files(drill := drill_of("I V", "Eb", "c", sheet=True), played_in_each_key(drill, load("block")))
    )

    assert [file.path for file in files] == [
        "Eb-major/lantern_01-Eb-major.pdf",
        "Eb-major/lantern_01-Eb-major.musicxml",
        "C-minor/lantern_02-C-minor.pdf",
        "C-minor/lantern_02-C-minor.musicxml",
        "lantern_all-keys.pdf",
    ]
    assert files[0].about == {"key": "Eb major", "mix": None, "bpm": None}
    assert files[-1].about == {"key": None, "mix": None, "bpm": None}
    assert len(PdfReader(io.BytesIO(files[-1].content)).pages) == 1


def test_one_key_needs_no_pdf_of_all() -> None:
    files = files_of(drill_of("I V", sheet=True))
    assert [file.path for file in files] == [
        "Eb-major/lantern_01-Eb-major.pdf",
        "Eb-major/lantern_01-Eb-major.musicxml",
    ]


def test_short_names_have_eight_letters_and_three() -> None:
    drill = drill_of("I V", "F# minor", "Eb", sheet=True, short_names=True)
    for file in files_of(drill):
        assert re.fullmatch(r"([A-Z0-9]{1,8}/)?[A-Z0-9]{1,8}\.(PDF|XML)", file.path)


def test_large_print_without_a_sheet_is_refused() -> None:
    with pytest.raises(RequestError, match="large-print"):
        drill_of(large_print=True)


def test_make_writes_sheets_into_the_manifest(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    arguments = [
        "make",
        "I V",
        "-k",
        "G",
        "--tempo",
        "60",
        "--mix",
        "panned-apart",
        "--sheet",
        "--out",
        str(tmp_path),
    ]
    assert run(arguments) == 0

    rows = json.loads((tmp_path / "I-V/manifest.json").read_bytes())["files"]
    sheets = [row for row in rows if row["mix"] is None]
    assert [row["path"] for row in sheets] == [
        "G-major/I-V_01-G-major.pdf",
        "G-major/I-V_01-G-major.musicxml",
    ]
    assert all(set(row) == {"path", "key", "mix", "bpm", "bytes", "sha256"} for row in sheets)


@pytest.mark.parametrize("ending", ["pdf", "svg", "png", "musicxml", "PDF"])
def test_show_writes_a_sheet_by_the_files_ending(tmp_path: Path, ending: str) -> None:
    file = tmp_path / f"page.{ending}"
    starts = {"pdf": b"%PDF", "svg": b"<svg", "png": b"\x89PNG", "musicxml": b"<?xml"}

    assert run(["show", "I vi IV V7", "-k", "Ab", "--sheet", str(file)]) == 0
    assert file.read_bytes().startswith(starts[ending.lower()])
    assert [path.name for path in tmp_path.iterdir()] == [file.name]


def test_further_pages_of_a_picture_are_numbered(tmp_path: Path) -> None:
    keys = [word for key in "CGDA" for word in ("-k", key)]
    assert run(["show", "I V", *keys, "--sheet", str(tmp_path / "page.svg")]) == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["page-2.svg", "page.svg"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--sheet", "page.doc"], "must end in"),
        (["--sheet", "no/such/folder/page.pdf"], "no folder"),
        (["-k", "C", "-k", "G", "--sheet", "page.musicxml"], "one key"),
        (["--large-print"], "--sheet"),
    ],
)
def test_wrong_request_for_a_sheet_is_one_line(
    arguments: list[str],
    said: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)

    assert run(["show", "I V", *arguments]) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1
    assert not list(tmp_path.iterdir())
