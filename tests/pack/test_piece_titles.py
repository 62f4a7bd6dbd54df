"""What a sheet says of a piece: its title, never the source text of its analysis."""

import pytest

from tracks.drill.drill import Drill
from tracks.drill.in_key import in_each_key
from tracks.pack.sheets import sheet
from tracks.progression.romantext import parse_romantext
from tracks.theory.key import Key
from tracks.theory.meter import Meter

TEXT = "Title: Lantern Walk\nm1 C: I b2 V6\nm2 I\n"


@pytest.mark.parametrize("music", [TEXT, parse_romantext(TEXT)])
@pytest.mark.parametrize(("name", "title"), [("week-5", "Week 5"), ("LanternWalk", "Lantern Walk")])
def test_sheet_of_a_piece_bears_its_title(music: str, name: str, title: str) -> None:
    drill = Drill(name, music, (Key.parse("C"),), Meter(4, 4), (60,))
    made = sheet(drill, in_each_key(drill)[0])

    assert made.title == title
    assert ("Lantern Walk" in made.about) == (title == "Week 5")
    assert "b2" not in made.about + made.title
