from enum import Enum

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.drill import kinds
from tracks.drill.kinds import Kind, Shape, choice, from_prompt, meaning, shaped
from tracks.drill.options import BY_NAME
from tracks.theory.errors import RequestError


class Lamp(Enum):
    LOW = "low"
    HIGH = "high"


LAMP = choice(Lamp, once={"dim": "low"})
MANY = Kind(Shape.TEXTS, words=("low", "high"), once={"dim": "low"}, spoken={"bright": "high"})


def test_a_choice_means_the_value_of_its_word_and_a_former_word_todays() -> None:
    assert meaning(LAMP, "high") is Lamp.HIGH
    assert shaped(LAMP, "dim") == "low"
    assert meaning(LAMP, "dim") is Lamp.LOW
    assert shaped(MANY, ["dim", "high"]) == ("low", "high")
    assert LAMP.metavar == "low|high"


@pytest.mark.parametrize(
    ("kind", "value", "said"),
    [
        (LAMP, "lo", "'lo' is no choice; did you mean low?"),
        (LAMP, 3, '3 is not text in quotes; write "3"'),
        (LAMP, ["low"], "['low'] is not text in quotes; write \"low\""),
        (MANY, ["low", "bright"], "'bright' is no choice; did you mean high?"),
        (MANY, "dark", "'dark' is no choice; write low or high"),
        (MANY, [], "an empty list; give text in quotes, or a list of them"),
        (kinds.WHOLE, "3", "'3' is not a whole number; leave out the quotes: 3"),
        (kinds.WHOLE, True, "true is not a whole number"),
        (kinds.YES_NO, 1, "1 is not true or false; write true"),
        (kinds.TEMPOS, [60, 1.5], "1.5 is not a whole number, or a list of them"),
    ],
)
def test_what_has_not_the_shape_or_is_none_of_the_words_is_refused(
    kind: Kind, value: object, said: str
) -> None:
    with pytest.raises(RequestError) as caught:
        shaped(kind, value)

    assert str(caught.value) == said


@given(st.integers(-(10**12), 10**12))
def test_a_whole_number_typed_is_the_number_written(number: int) -> None:
    assert from_prompt(kinds.WHOLE, str(number)) == shaped(kinds.WHOLE, number) == number


@pytest.mark.parametrize("number", [10**12 + 1, -(10**12) - 1])
def test_a_whole_number_past_the_bound_is_refused(number: int) -> None:
    with pytest.raises(RequestError, match="too large"):
        shaped(kinds.WHOLE, number)


@given(st.integers(7, 19))
def test_a_span_in_words_is_read_back(half_steps: int) -> None:
    said = kinds.SPAN.say(half_steps)
    assert half_steps < 12 or kinds.hand_span(said) == half_steps


@pytest.mark.parametrize("option", [o for o in BY_NAME.values() if o.kind.words], ids=lambda o: o.name)
def test_every_word_of_an_option_means_something(option: object) -> None:
    kind = option.kind  # type: ignore[attr-defined]
    for word in kind.words:
        assert meaning(kind, word) not in (None, ())
