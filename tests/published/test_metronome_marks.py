"""Ladders of marks against the metronome's traditional scale.

Source: the traditional (Maelzel) scale as printed in the horn list's archive (mail-archive, messages 29183
and 29184, 2009), and on a metronome circuit page (next.gr) that prints the same but for 56.
"""

from itertools import pairwise

from tracks.drill.ladder import by_marks

PRINTED = (
    "40 42 44 46 48 50 52 54 56 58 60 63 66 69 72 76 80 84 88 92 96 100 104 108 112 116 120 "
    "126 132 138 144 152 160 168 176 184 192 200 208"
)


def test_the_whole_ladder_of_marks_is_the_scale_as_printed() -> None:
    assert by_marks(40, 208) == tuple(map(int, PRINTED.split()))


def test_steps_between_marks_are_from_three_and_a_half_to_five_and_a_half_in_the_hundred() -> None:
    marks = by_marks(40, 208)
    ratios = [after / before for before, after in pairwise(marks)]

    # The list's posts say 3.5 to 5.5 %; the exact ends are 58 to 60, and 72 to 76 and 144 to 152.
    assert min(ratios) == 60 / 58
    assert max(ratios) == 76 / 72 == 152 / 144


def test_a_mark_to_80_is_a_mark_again_at_double_speed() -> None:
    marks = by_marks(40, 208)

    assert all(2 * mark in marks for mark in marks if mark <= 104)
