"""Plans and call sheets hold what was planned and drawn, all of it and in that order."""

import re
from datetime import date
from itertools import pairwise
from pathlib import Path

from tracks.export.paper import BOX, Item, Items, Paper, Table, Words, text
from tracks.lessons.exam import exam
from tracks.lessons.handout import call_sheet, paper_of, term_plan
from tracks.lessons.lesson import Lesson, lesson_text, read_lesson_text
from tracks.lessons.level import Level, Requirement
from tracks.lessons.term import term
from tracks.model import Heading, PaperSize
from tracks.style.registry import load
from tracks.theory.key import KEY_SETS, parse_keys

WAYS = ({"start": "root", "texture": "over-bass"}, {"start": "first", "texture": "doubled"})
SHEET = {"sheet": True, "paper": "letter"}
LARGE = {"sheet": True, "large-print": True}
HEADING = Heading(
    student="Tilda Brook",
    title="Harbour *lights*",
    date=date(2026, 3, 2),
    due=date(2026, 6, 30),
    notes="A\nB",
)
LEVEL = Level(
    HEADING,
    (
        Requirement("cadences-I-bVII-I", "I bVII I", KEY_SETS["all-major"], 48, 72, WAYS, SHEET),
        Requirement("songs", "axis", parse_keys(("C", "G")), 48, 84, ({},), LARGE),
    ),
)


def tables(paper: Paper, *heads: str) -> list[Table]:
    return [block for block in paper.blocks if isinstance(block, Table) and block.heads == heads]


def test_a_plan_has_a_box_for_every_task_of_every_week() -> None:
    weeks = term(LEVEL, 6)

    plan = term_plan(LEVEL, weeks)

    (overview,) = tables(plan, "Week", "Tempos", "New keys", "Keys again")
    assert [row[0] for row in overview.rows] == ["1", "2", "3", "4", "5", "6"]
    boxes = [table.rows for table in tables(plan, "Done", "What", "Keys", "Tempos", "How")]
    assert [len(rows) for rows in boxes] == [len(week.tasks) for week in weeks]
    assert {row[0] for rows in boxes for row in rows} == {BOX}
    assert boxes[0][0][1:] == (
        "Cadences: I ♭VII I (new)", "C, G, D, A major", "48, 52", "from root position, over bass",
    )  # fmt: skip
    assert boxes[0][1][1:] == ("Songs (new)", "C major", "48, 52", "–")


def test_a_plan_says_which_keys_stay_short_of_the_goal_and_why() -> None:
    short = term_plan(LEVEL, term(LEVEL, 1))
    (table,) = tables(short, "What", "How", "Keys", "Gets to")

    assert table.rows
    assert "does not come back often enough" in text(short)
    assert "Short of the goal" not in text(term_plan(LEVEL, term(LEVEL, 20)))


def test_a_plan_says_whose_it_is_and_which_days_its_weeks_begin() -> None:
    plan = text(term_plan(LEVEL, term(LEVEL, 3)))

    assert "Harbour *lights*: a term of 3 weeks" in plan
    assert "Student: Tilda Brook   Date: March 2, 2026" in plan
    assert re.findall(r"^Week (\d, .*)$", plan, re.MULTILINE) == [
        "1, from March 2, 2026", "2, from March 9, 2026", "3, from March 16, 2026",
    ]  # fmt: skip
    assert "To be ready by June 30, 2026." in plan
    assert "\nA\n\nB\n" in plan


def test_keys_of_two_modes_stand_apart() -> None:
    level = Level(HEADING, (Requirement("songs", "axis", parse_keys(("C", "d")), 48, 84, ({},), {}),))

    (week,) = term(level, 1)
    (table,) = tables(term_plan(level, (week,)), "Done", "What", "Keys", "Tempos", "How")

    assert table.rows[0][2] == "C major; D minor"


def test_a_week_with_nothing_set_says_so() -> None:
    level = Level(HEADING, (Requirement("songs", "axis", parse_keys(("C",)), 48, 84, ({},), {}),))
    weeks = term(level, 12)

    free = sum(not week.tasks for week in weeks)
    said = [block for block in term_plan(level, weeks).blocks if isinstance(block, Words)]

    assert free
    assert sum("Nothing is set" in words.text for words in said) == free


def test_a_call_sheet_calls_in_the_order_in_which_takes_are_marked() -> None:
    drawn = exam(LEVEL, 3, 4)
    lesson = lesson_of(drawn)

    sheet = call_sheet(LEVEL, 3, list(zip(drawn, lesson.drills, strict=True)))

    (called,) = (block for block in sheet.blocks if isinstance(block, Items))
    (marks,) = tables(sheet, "No.", "Key", "What", "Mark", "Remarks")
    for number, (item, row, each) in enumerate(zip(called.items, marks.rows, lesson.drills, strict=True), 1):
        assert each.drill.name.startswith(f"{number:02d}-")  # by which `check` takes them in order
        (key,) = each.drill.keys
        assert item.text.startswith(f"{key.sign}, ")
        assert row[:2] == (str(number), key.sign)
        assert f"= {each.drill.tempos[-1]}" in item.under[0]


def test_every_box_of_a_call_sheet_is_a_mark_of_the_total() -> None:
    drawn = exam(LEVEL, 3, 4)

    sheet = text(call_sheet(LEVEL, 3, list(zip(drawn, lesson_of(drawn).drills, strict=True))))

    (total,) = map(int, re.findall(r"Total, of (\d+): _", sheet))
    parts = [int(each) for each in re.findall(r"____ of (\d+)", sheet)]
    draws, together = parts[: len(drawn)], parts[len(drawn) :]
    assert total == sheet.count(BOX) == sum(draws) == sum(together)
    assert len(together) == len(LEVEL.requirements)
    order = [sheet.index(word) for word in ("Remarks on the whole", "Examiner: _", "Signature: _")]
    assert all(one < other for one, other in pairwise(order))
    assert "Student: Tilda Brook" in sheet


def test_what_is_called_names_chords_once_and_says_how_it_begins() -> None:
    drawn = exam(LEVEL, 3, 1)

    sheet = call_sheet(LEVEL, 3, list(zip(drawn, lesson_of(drawn).drills, strict=True)))

    items = {item.text.partition(", ")[2]: item for item in items_of(sheet)}
    assert len(items) == 2
    for words in items:
        assert words in ("Cadences: I ♭VII I", "Songs (I V vi IV)")
    assert all(item.under[1].startswith("begins on ") for item in items.values())


def test_requirements_of_one_name_are_told_apart_by_their_progressions() -> None:
    requirements = [
        Requirement(name, progression, parse_keys(("C",)), 48, 84, ({},), {})
        for name, progression in (
            ("songs-axis", "axis"), ("songs-I-bVII-I", "I bVII I"), ("songs-hob-rntxt", "hob.rntxt"),
            ("I-V7-I", "I V7 I"), ("lantern", "I V I"),
        )
    ]  # fmt: skip
    (week,) = term(Level(HEADING, tuple(requirements)), 1)

    (table,) = tables(term_plan(LEVEL, (week,)), "Done", "What", "Keys", "Tempos", "How")

    assert [row[1].removesuffix(" (new)") for row in table.rows] == [
        "Songs: axis", "Songs: I ♭VII I", "Songs: hob", "I V7 I", "Lantern",
    ]  # fmt: skip


def test_papers_are_as_the_level_says() -> None:
    assert paper_of(LEVEL) == (PaperSize.LETTER, True)
    assert paper_of(Level(HEADING, (Requirement("a", "I", KEY_SETS["all-major"], 48, 72, ({},), {}),))) == (
        None, False,
    )  # fmt: skip


def items_of(sheet: Paper) -> tuple[Item, ...]:
    return next(block.items for block in sheet.blocks if isinstance(block, Items))


def lesson_of(drawn: object) -> Lesson:
    assert isinstance(drawn, tuple)
    text_of_it = lesson_text(Heading(), [draw.fields for draw in drawn])
    return read_lesson_text(text_of_it, Path("exam-3.toml"), load)
