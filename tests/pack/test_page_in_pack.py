"""The practice page as a file of a pack."""

from datetime import date

import pytest
from page_drills import drill

from tracks.export.page.page import values
from tracks.model import Heading
from tracks.pack.files import pack_files
from tracks.pack.page import page
from tracks.practice.played import played_in_each_key
from tracks.style.registry import load
from tracks.theory.errors import RequestError


def test_the_page_is_one_file_for_all_keys_named_by_the_drill() -> None:
    asked = drill(keys=("Eb", "c"), page=True)
    pages = [file for file in pack_files(asked, load("block")) if file.path.endswith(".html")]
    assert [file.path for file in pages] == ["lantern-week.html"]
    assert {name: pages[0].about[name] for name in ("key", "mix", "bpm")} == {
        "key": None,
        "mix": None,
        "bpm": None,
    }
    assert not [file for file in pack_files(drill(), load("block")) if file.path.endswith(".html")]


def test_a_page_has_a_short_name_and_stands_in_the_legend() -> None:
    files = list(pack_files(drill(page=True, short_names=True), load("block")))
    assert "AAL.HTM" in [file.path for file in files]
    legend = next(file for file in files if file.about.get("kind") == "legend")
    assert b"AAL.HTM       all keys, page" in legend.content


def test_what_a_style_cannot_play_is_refused_before_any_file() -> None:
    with pytest.raises(RequestError, match="waltz"):
        list(pack_files(drill(style="waltz", page=True), load("waltz")))


def test_a_lesson_stands_over_the_page() -> None:
    heading = Heading("Wren", "Week 5", date(2031, 4, 27), date(2031, 5, 4), "Slowly.\nCount aloud.")
    made = page(drill(), tuple(played_in_each_key(drill(), load("block"))), heading)
    said = values(made)
    assert {name: said[name] for name in ("lesson", "student", "date", "due", "notes")} == {
        "lesson": "Week 5",
        "student": "Wren",
        "date": "2031-04-27",
        "due": "2031-05-04",
        "notes": "Slowly.\nCount aloud.",
    }
