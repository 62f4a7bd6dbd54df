import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.theory.errors import RequestError, correction, listed, near_names, read

NAMES = ("all-major", "all-minor", "circle of fifths", "twelve-bar-blues", "hands-together")


def test_a_fault_is_told_in_one_line_of_place_reason_and_fix() -> None:
    fault = RequestError("9 is no span", "write 9th", "hand")

    assert str(fault) == "hand: 9 is no span; write 9th"
    assert (fault.place, fault.reason, fault.fix) == (("hand",), "9 is no span", "write 9th")
    assert fault.told == "9 is no span; write 9th"
    assert str(RequestError("it is empty")) == "it is empty"


def test_a_fault_is_passed_on_from_inside_another_place() -> None:
    inner = RequestError("'Q' is no chord", "write V7", "column 3")

    outer = inner.at("week.toml", "line 4")

    assert str(outer) == "week.toml, line 4, column 3: 'Q' is no chord; write V7"
    assert inner.place == ("column 3",)


def test_what_is_read_wrong_is_told_at_its_place() -> None:
    def refuse(text: str) -> str:
        raise RequestError(f"{text!r} is none")

    assert read("hand", str.upper, "m10") == "M10"
    with pytest.raises(RequestError, match=r"^hand: 'x' is none$") as caught:
        read("hand", refuse, "x")
    assert caught.value.place == ("hand",)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("al-major", ("all-major",)),
        ("All Major", ("all-major",)),
        ("circle-of-fifth", ("circle of fifths",)),
        ("blues", ("twelve-bar-blues",)),
        ("all", ("all-major", "all-minor")),
        ("zebra", ()),
        ("", ()),
        ("!?", ()),
    ],
)
def test_what_a_mistyped_name_may_have_meant(typed: str, meant: tuple[str, ...]) -> None:
    assert near_names(typed, NAMES) == meant


def test_a_correction_is_the_nearest_word_or_all_of_them() -> None:
    assert correction("al-major", NAMES[:2]) == "did you mean all-major?"
    assert correction("zebra", ("one", "two", "three")) == "write one, two or three"
    assert correction("zebra", NAMES, "rungwise styles lists them") == "rungwise styles lists them"


@given(st.text(max_size=12), st.lists(st.text("abc- ", min_size=1), max_size=5))
def test_names_that_are_near_are_always_of_those_known(text: str, names: list[str]) -> None:
    assert set(near_names(text, names)) <= set(names)
    assert near_names(text, names, 1) == near_names(text, names)[:1]


def test_words_are_listed_as_they_are_said() -> None:
    assert [listed([]), listed(["a"]), listed(["a", "b"]), listed(["a", "b", "c"], "and")] == [
        "", "a", "a or b", "a, b and c",
    ]  # fmt: skip
