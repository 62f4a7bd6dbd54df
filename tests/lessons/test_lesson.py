import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.lessons.lesson import FIELDS, Lesson, lesson_text, read_lesson, read_lesson_text
from tracks.model import Heading
from tracks.style.registry import load
from tracks.theory.errors import RequestError

HEAD = """\
title = "Lanterns"

[defaults]
keys = ["C", "G"]
from = 60
to = 76

[[drill]]
name = "first"
progression = "I IV V7 I"
"""


def lesson(text: str) -> Lesson:
    return read_lesson_text(text, Path("tuesday.toml"), load)


def fault(text: str) -> str:
    with pytest.raises(RequestError) as caught:
        lesson(text)
    assert "\n" not in str(caught.value)
    return str(caught.value)


def test_drills_share_the_defaults_and_go_their_own_way() -> None:
    made = lesson(HEAD + '[[drill]]\nprogression = "axis"\nkeys = "F"\ntempos = [90, 80]\n')

    assert (made.name, made.heading.title) == ("tuesday", "Lanterns")
    first, second = (each.drill for each in made.drills)
    assert (first.name, [key.name for key in first.keys], first.tempos) == (
        "first", ["C major", "G major"], (60, 68, 76),
    )  # fmt: skip
    assert (second.name, [key.name for key in second.keys], second.tempos) == ("axis", ["F major"], (80, 90))


@pytest.mark.parametrize(
    ("own", "tempos"),
    [
        ("step = 4", (60, 64, 68, 72, 76)),
        ("rungs = 2", (60, 76)),
        ("marks = true", (60, 63, 66, 69, 72, 76)),
        ('tempos = ["half=40", 90]', (80, 90)),
        ("tempos = 66", (66,)),
    ],
)
def test_a_drills_own_way_up_replaces_that_of_the_defaults(own: str, tempos: tuple[int, ...]) -> None:
    for shared in ("step = 8", "rungs = 3"):
        text = HEAD.replace("to = 76", f"to = 76\n{shared}") + own
        assert lesson(text).drills[0].drill.tempos == tempos


def test_a_drills_own_end_of_the_ladder_keeps_the_way_up_of_the_defaults() -> None:
    for shared, tempos in (("step = 8", (60, 68)), ("rungs = 3", (60, 64, 68))):
        text = HEAD.replace("to = 76", f"to = 76\n{shared}") + "to = 68"
        assert lesson(text).drills[0].drill.tempos == tempos


def test_tempos_of_the_defaults_give_way_to_a_drills_ladder() -> None:
    text = '[defaults]\ntempos = [50, 60]\n[[drill]]\nprogression = "I"\nto = 68\n'

    assert lesson(text).drills[0].drill.tempos == (60, 68)


def test_start_all_makes_a_drill_of_each_inversion() -> None:
    made = lesson(HEAD + 'start = "all"\n')

    assert [each.drill.name for each in made.drills] == ["first-root", "first-first", "first-second"]


WRONG = [
    ("", "[[drill]]\nname = 'x'", "tuesday.toml, line 11: the drill has no progression"),
    ("tempoes = [60]", "", "line 11, tempoes: there is no such field; did you mean tempos?"),
    ("keys = 'H'", "", "line 11, keys: 'H' is no key"),
    ("keys = 'al-major'", "", "line 11, keys: 'al-major' is no key and no set of keys; did you"),
    ("keys = 3", "", "line 11, keys: 3 is not text in quotes, or a list of them"),
    ("keys = []", "", "line 11, keys: an empty list"),
    ("mixes = ['right-alon']", "", "mixes: 'right-alon' is no choice; did you mean right-alone?"),
    ("texture = 'over-base'", "", "texture: 'over-base' is no choice; did you mean over-bass?"),
    ("style = 'blok'", "", "line 11, style: there is no style 'blok'; did you mean block"),
    ("style = 'absent.py'", "", "line 11, style, style file: absent.py: there is no such file"),
    ("level = 9", "", "line 11, level: style block has no level 9"),
    ("repeats = 0", "", "line 11, repeats: 0 is outside 1 to 64"),
    ("repeats = true", "", "line 11, repeats: true is not a whole number"),
    ("count-in = 9", "", "line 11, count-in: 9 is outside 0 to 8"),
    ("type = 2", "", "line 11, type: 2 is outside 0 to 1"),
    ("meter = '4'", "", "line 11, meter: '4' is no meter"),
    ("tempos = [10]", "", "line 11, tempos: tempo 10 is outside 20 to 300"),
    ("to = 10", "", "line 11, to: tempo 10 is outside"),
    ("from = 90", "", "line 11, from: 90 to 76 run down"),
    ("step = 4\nrungs = 3", "", "line 11, step: step and rungs are two ways to build a ladder; choose one"),
    ("range = 'C4'", "", "line 11, range: "),
    ("climb = 'up'", "", "line 11, climb: 'up' is no choice"),
    ("climb = 'each-mix'\ntempos = 60", "", "line 11, climb: one tempo is no ladder"),
    ("key-cycle = true\nkeys = 'C'", "", "line 11, key-cycle: one key is no cycle"),
    ("", "[[drill]]\nprogression = 'I Q V'", "line 12, progression, column 3: "),
    ("", "[[drill]]\nprogression = 'axys'", "did you mean axis?"),
    ("", "[[drill]]\nprogression = 'C/D'", "line 12, progression:"),
    ("", "[[drill]]\nprogression = 'I'\nname = '../up'", "line 13, name: '../up' is no name"),
    ("", "[[drill]]\nprogression = 'I'\nname = 'first'", "line 13, name: two drills are called first"),
]  # fmt: skip


@pytest.mark.parametrize(("own", "more", "message"), WRONG, ids=lambda value: value[:40])
def test_a_wrong_field_is_one_line_with_file_line_and_field(own: str, more: str, message: str) -> None:
    said = fault(HEAD + own + ("\n" if own else "") + more)

    assert said.startswith("tuesday.toml")
    assert message in said
    assert "--" not in said


def test_a_wrong_default_is_found_among_the_defaults() -> None:
    assert fault(HEAD.replace('["C", "G"]', '["C", "H"]')).startswith("tuesday.toml, line 4, keys: 'H'")
    assert "line 5, name: every drill needs a name of its own" in fault(
        HEAD.replace("from = 60", "name = 'x'")
    )


def test_a_title_is_words_and_never_a_path() -> None:
    made = lesson(HEAD.replace("Lanterns", "../../<b>up</b>"))

    assert (made.name, made.heading.title) == ("tuesday", "../../<b>up</b>")
    assert "line 1, title: it holds a control character" in fault(HEAD.replace("Lanterns", r"\u001b[2J"))
    assert "line 1, title: 3 is not text" in fault(HEAD.replace('"Lanterns"', "3"))


def test_a_lessons_file_name_must_do_for_a_folder() -> None:
    with pytest.raises(RequestError, match="use letters, digits, - and _ only"):
        read_lesson_text(HEAD, Path("week one!.toml"), load)


def test_a_style_file_is_looked_for_beside_the_lesson(tmp_path: Path) -> None:
    (tmp_path / "own.py").write_text(
        "from tracks.model import Heading, Role, Texture\nfrom tracks.style import Style, StyleInfo\n"
        "from tracks.theory.meter import Meter\n"
        "STYLE = Style(StyleInfo('own', 'silence', (Meter(4, 4),), (Role.RIGHT,), (Texture.DOUBLED,)),"
        " lambda brief, rng: ())\n"
    )
    (tmp_path / "tuesday.toml").write_text(HEAD + 'style = "own.py"\n')

    (made,) = read_lesson(tmp_path / "tuesday.toml", load).drills

    assert made.style.info.name == made.drill.style == "own"


plain = st.one_of(
    st.text(st.characters(codec="utf-8", exclude_categories=["C"])), st.integers(0, 300), st.booleans()
)


drills = st.dictionaries(st.sampled_from(sorted(FIELDS)), plain | st.lists(plain))


@given(st.text(st.characters(codec="utf-8", exclude_categories=["C"])), drills)
def test_a_lesson_written_is_read_back_by_a_toml_reader(title: str, drill: dict[str, object]) -> None:
    found = tomllib.loads(lesson_text(Heading(title=title), [drill, drill]))

    assert found == {"title": title, "drill": [drill, drill]} if title else {"drill": [drill, drill]}


def test_a_progressions_file_is_looked_for_beside_the_lesson(tmp_path: Path) -> None:
    (tmp_path / "chorale.rntxt").write_text("Time Signature: 4/4\n\nm1 G: I b3 V\nm2 I\n")
    (tmp_path / "tuesday.toml").write_text('[[drill]]\nprogression = "chorale.rntxt"\ntempos = 60\n')

    (made,) = read_lesson(tmp_path / "tuesday.toml", load).drills

    assert made.drill.name == "chorale"
    assert [key.name for key in made.drill.keys] == ["G major"]


def test_a_progressions_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    (tmp_path / "tuesday.toml").write_text('[[drill]]\nprogression = "absent.rntxt"\n')

    with pytest.raises(RequestError, match=r"tuesday.toml, line 2, progression: .*absent.rntxt"):
        read_lesson(tmp_path / "tuesday.toml", load)
