"""What is said of a drill in a key beside its notes."""

from tracks.drill.drill import Drill, Sevenths
from tracks.drill.in_key import in_each_key
from tracks.drill.remarks import OWN_SHAPE, remarks_on
from tracks.theory.key import Key
from tracks.theory.meter import Meter
from tracks.theory.pitch import Pitch

FOUR = Meter(4, 4)


def remarks(drill: Drill) -> list[tuple[str, ...]]:
    return [remarks_on(drill, in_key) for in_key in in_each_key(drill)]


def test_smoothest_is_told_where_it_would_move_less_with_what_it_leaves_out() -> None:
    drill = Drill("thistle", "C Am7 Dm7 G7 C", (Key.parse("C"),), FOUR, (60,))
    words = "--sevenths smoothest would move 2 half steps less, but leave out F of Dm7 in bar 3"
    assert remarks(drill) == [(words,)]


def test_of_many_tones_left_out_a_few_are_told() -> None:
    drill = Drill("thicket", "C Am7 Dm7 G7 " * 12 + "C", (Key.parse("C"),), FOUR, (60,))
    ((remark,),) = remarks(drill)
    assert remark.endswith("more")
    assert len(remark) < 200


def test_where_the_smoothest_costs_nothing_no_cost_is_told() -> None:
    drill = Drill("lark", "F#m7b5 B7alt Em", (Key.parse("e"),), FOUR, (60,))
    assert remarks(drill) == [("--sevenths smoothest would move 2 half steps less",)]


def test_nothing_is_told_where_it_would_not_or_another_choice_was_made() -> None:
    assert remarks(Drill("reed", "I IV V7 I", (Key.parse("C"),), FOUR, (60,))) == [()]
    keys = (Key.parse("C"),)
    asked = Drill("moss", "C Am7 Dm7 G7 C", keys, FOUR, (60,), sevenths=Sevenths.SMOOTHEST)
    assert remarks(asked) == [()]


def test_a_shape_of_its_own_is_told() -> None:
    keys = (Key.parse("C"), Key.parse("D"))
    assert remarks(Drill("sedge", "I V I", keys, FOUR, (60,), low=Pitch.parse("C4"))) == [(OWN_SHAPE,), ()]
