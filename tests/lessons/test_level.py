from pathlib import Path

import pytest

from tracks.lessons.level import Level, read_level
from tracks.style.registry import load
from tracks.theory.errors import RequestError

HEAD = """\
title = "First lamp"

[defaults]
keys = "up to 1 accidental"
minimum-tempo = 72

[[requirement]]
name = "cadences"
progressions = ["primary-chords", "I ii6 V7 I"]
starts = ["root", "first"]
"""


def level(tmp_path: Path, text: str = HEAD) -> Level:
    path = tmp_path / "lamp.toml"
    path.write_text(text)
    return read_level(path, load)


def test_a_requirement_is_wanted_of_every_progression_in_every_way(tmp_path: Path) -> None:
    made = level(tmp_path)

    assert made.heading.title == "First lamp"
    assert [each.name for each in made.requirements] == ["cadences-primary-chords", "cadences-I-ii6-V7-I"]
    first = made.requirements[0]
    assert (first.progression, first.first, first.goal) == ("primary-chords", 48, 72)
    assert [key.name for key in first.keys] == ["C major", "G major", "F major"]
    assert first.ways == ({"start": "root"}, {"start": "first"})


def test_ways_are_all_combinations(tmp_path: Path) -> None:
    made = level(tmp_path, HEAD + 'styles = ["block", "root-bass"]\ntextures = "over-bass"\n')

    assert [tuple(way.values()) for way in made.requirements[0].ways] == [
        ("over-bass", style, start) for style in ("block", "root-bass") for start in ("root", "first")
    ]


@pytest.mark.parametrize(
    ("own", "message"),
    [
        ("from = 72", "line 11, from: 72 is not below the minimum tempo, 72"),
        ("from = 10", "line 11, from: tempo 10 is outside 20 to 300"),
        ("minimum-tempo = 400", "line 11, minimum-tempo: tempo 400"),
        ("minimum-temp = 40", "line 11, minimum-temp: there is no such field; did you mean minimum-tempo?"),
        ("textures = 'over-base'", "line 11, textures: 'over-base' is no choice"),
        ("styles = 'blok'", "line 11, styles: there is no style 'blok'"),
        ("keys = 'a'", "line 11, keys: primary-chords is a progression in major"),
        ("[[requirement]]\nprogressions = 'I Q'", "line 12, progressions, column 3: "),
        ("[[requirement]]\nname = 'x'", "line 11: the requirement has no progressions"),
        ("[[requirement]]\nname = 'cadences'\nprogressions = ['axis', 'primary-chords']", "two requirements"),
        ("[[requirement]]\nname = '../up'\nprogressions = 'axis'", "line 12, name: '../up' is no name"),
    ],
)
def test_a_wrong_requirement_is_one_line_with_file_line_and_field(
    own: str, message: str, tmp_path: Path
) -> None:
    with pytest.raises(RequestError) as caught:
        level(tmp_path, HEAD + own + "\n")

    assert message in str(caught.value)
    assert "lamp.toml" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_defaults_alone_do_not_make_a_level(tmp_path: Path) -> None:
    with pytest.raises(RequestError, match=r"it has no \[\[requirement\]\]"):
        level(tmp_path, 'title = "x"\n')
