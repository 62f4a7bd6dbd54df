from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from tracks.lessons.in_parts import Packed, in_parts, zipped

KEYS = ("C major", "G major", None)
packed = st.builds(
    Packed,
    st.text("ab/.", min_size=1, max_size=9),
    st.tuples(st.sampled_from("pq"), st.sampled_from(KEYS)),
    st.tuples(st.sampled_from((60, 72, None)), st.sampled_from((None, "climb"))),
    st.integers(0, 900),
)


@given(st.lists(packed, max_size=30), st.integers(0, 5000))
def test_parts_hold_everything_and_none_is_larger_than_it_must_be(files: list[Packed], limit: int) -> None:
    parts = in_parts(files, limit)

    assert sorted(map(repr, files)) == sorted(repr(file) for part in parts for file in part)
    for part in parts:
        assert zipped(part) <= limit or len({(file.belongs, file.rung) for file in part}) == 1


@given(st.lists(packed, max_size=30), st.integers(0, 5000))
def test_a_drill_in_a_key_is_torn_only_where_it_is_too_large_and_a_tempo_never(
    files: list[Packed], limit: int
) -> None:
    parts = in_parts(files, limit)

    for belongs in {file.belongs for file in files}:
        own = [file for file in files if file.belongs == belongs]
        homes = [part for part in parts if any(file.belongs == belongs for file in part)]
        assert len(homes) == 1 or zipped(own) > limit
        for rung in {file.rung for file in own}:
            assert sum(any(f.belongs == belongs and f.rung == rung for f in part) for part in homes) == 1


@given(st.lists(packed, max_size=30), st.integers(0, 5000))
def test_no_part_is_begun_while_there_is_room(files: list[Packed], limit: int) -> None:
    for part, following in pairwise(in_parts(files, limit)):
        first = following[0]
        group = [file for file in following if file.belongs == first.belongs]
        assert zipped(part) + zipped(group) > limit


def test_nothing_is_one_part() -> None:
    assert in_parts([], 10) == [()]
