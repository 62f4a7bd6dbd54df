"""The progress file: read and written, whatever it holds, and every fault told by its line."""

from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.lessons.progress import (
    COLUMNS,
    Played,
    progress_near,
    progress_of,
    progress_text,
    reached,
    read_progress,
)
from tracks.model import Texture
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key

HEAD = "date,student,drill,key,texture,bpm,ready\n"
EB = Key.parse("Eb")

NAMES = st.text(min_size=1).map(str.strip).filter(lambda text: text != "" and text.isprintable())
ROWS = st.builds(
    Played,
    date=st.dates(),
    student=NAMES,
    drill=NAMES,
    key=st.sampled_from(KEY_SETS["all-30"]),
    texture=st.none() | st.sampled_from(Texture),
    bpm=st.integers(20, 300),
    ready=st.booleans(),
)


@given(st.lists(ROWS))
def test_what_is_written_is_read_back(rows: list[Played]) -> None:
    assert progress_of(progress_text(rows)) == tuple(rows)


@given(st.text())
def test_any_text_is_rows_or_one_fault_that_names_a_line(text: str) -> None:
    place: tuple[str, ...] = ("progress.csv", "line 1")
    try:
        progress_of(text)
    except RequestError as fault:
        place = fault.place
    assert place[0] == "progress.csv"
    assert place[1].startswith("line ")


def test_columns_may_stand_in_any_order_and_be_parted_by_semicolons() -> None:
    text = (
        "ready;bpm;key;drill;student;date;texture\r\nYes;66;eb;cadence;Wren;2026-03-02;hands-together\r\n\r\n"
    )

    (row,) = progress_of(text)

    assert row.key == Key.parse("eb")
    assert (row.texture, row.bpm, row.ready) == (Texture.DOUBLED, 66, True)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "student\n",
            "line 1: there is no column date, drill, key, texture, bpm and ready; write the heading",
        ),
        (HEAD + "2026-03-02,Wren,a,Eb\n", "line 2: it has 4 cells of 7; write one for each column"),
        (
            HEAD + "\n3/2/2026,Wren,a,Eb,,60,yes\n",
            "line 3, date: '3/2/2026' is no day; write one like 2026-03-02",
        ),
        (HEAD + "2026-03-02,,a,Eb,,60,yes\n", "line 2, student: this is empty"),
        (HEAD + "2026-03-02,Wren,a,Q,,60,yes\n", "line 2, key: 'Q' is no key"),
        (
            HEAD + "2026-03-02,Wren,a,Eb,thick,60,yes\n",
            "line 2, texture: 'thick' is no texture; write doubled,",
        ),
        (HEAD + "2026-03-02,Wren,a,Eb,,fast,yes\n", "line 2, bpm: 'fast' is no tempo; write a whole number"),
        (HEAD + "2026-03-02,Wren,a,Eb,,600,yes\n", "line 2, bpm: "),
        (HEAD + "2026-03-02,Wren,a,Eb,,60,maybe\n", "line 2, ready: 'maybe' is neither yes nor no"),
        (HEAD + '2026-03-02,"Wren"x,a,Eb,,60,yes\n', "line 2: "),
    ],
)
def test_a_fault_stands_at_its_line_and_column(text: str, told: str) -> None:
    with pytest.raises(RequestError) as caught:
        progress_of(text)

    assert str(caught.value).startswith(f"progress.csv, {told}")


def test_reached_is_the_latest_tempo_that_was_ready() -> None:
    rows = progress_of(
        HEAD
        + "2026-03-09,Wren,cadence,Eb,doubled,72,yes\n"
        + "2026-03-02,Wren,cadence,Eb,doubled,80,yes\n"
        + "2026-03-16,Wren,cadence,Eb,doubled,76,no\n"
        + "2026-03-16,Ines,cadence,Eb,doubled,90,yes\n"
        + "2026-03-16,Wren,cadence,G,doubled,92,yes\n"
        + "2026-03-16,Wren,cadence,Eb,over-bass,94,yes\n"
    )

    assert reached(rows, "wren", "cadence".__eq__, EB, Texture.DOUBLED) == 72
    assert reached(rows, "Wren", "cadence".__eq__, EB) == 94
    assert reached(rows, "Wren", "blues".__eq__, EB, Texture.DOUBLED) is None


def test_what_is_written_is_read_and_no_file_is_no_row(tmp_path: Path) -> None:
    path = tmp_path / "progress.csv"
    row = Played(date(2026, 3, 2), "Wren", "cadence", EB, None, 60, True)

    assert read_progress(path) == ()
    path.write_text(progress_text((row, row)), encoding="utf-8")

    assert read_progress(path) == (row, row)
    assert path.read_text(encoding="utf-8").splitlines()[0] == ",".join(COLUMNS)
    (tmp_path / "inner").mkdir()
    assert progress_near(tmp_path / "inner") == (row, row)
