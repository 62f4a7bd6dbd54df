from itertools import groupby, pairwise

from hypothesis import given
from hypothesis import strategies as st

from tracks.lessons.in_parts import Packed, in_parts

KEYS = ("C major", "G major", None)
packed = st.builds(
    Packed,
    st.text("ab/.", min_size=1, max_size=9),
    st.tuples(st.sampled_from("pq"), st.sampled_from(KEYS)),
    st.integers(0, 900),
)


@given(st.lists(packed, max_size=30), st.integers(0, 5000))
def test_parts_hold_everything_tear_nothing_and_are_no_more_than_needed(
    files: list[Packed], limit: int
) -> None:
    parts = in_parts(files, limit)

    assert sorted(map(repr, files)) == sorted(repr(file) for part in parts for file in part)
    homes = [{file.belongs for file in part} for part in parts]
    assert sum(map(len, homes)) == len({file.belongs for file in files})
    for part, belongs in zip(parts, homes, strict=True):
        assert sum(file.zipped for file in part) <= limit or len(belongs) <= 1
    for part, following in pairwise(parts):
        first = next(list(group) for _, group in groupby(following, key=lambda file: file.belongs))
        assert sum(file.zipped for file in (*part, *first)) > limit


def test_nothing_is_one_part() -> None:
    assert in_parts([], 10) == [()]
