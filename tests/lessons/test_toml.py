import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.lessons.toml import Document, document_of, read_document
from tracks.theory.errors import RequestError, correction

PATH = Path("tuesday.toml")
TEXT = '''\
title = """
keys = "this is text, no field"
[[drill]]
"""   # the line is 1

[defaults]
keys = "C"

[[drill]]
name = "one"
[[drill]]  # the second
"name" = "two"
'keys' = [
  "C",
]
'''


def document(text: str = TEXT) -> Document:
    return document_of(text, PATH)


def test_lines_of_headings_and_fields_are_found() -> None:
    assert document().lines == {
        ("title",): 1,
        ("defaults",): 6,
        ("defaults", "keys"): 7,
        ("drill", 0): 9,
        ("drill", 0, "name"): 10,
        ("drill", 1): 11,
        ("drill", 1, "name"): 12,
        ("drill", 1, "keys"): 13,
    }


def test_a_fault_names_file_line_and_field() -> None:
    opened = document()

    assert str(opened.fault(("drill", 1, "keys"), "wrong")) == "tuesday.toml, line 13, keys: wrong"
    assert str(opened.fault(("drill", 0, "keys"), "missing")) == "tuesday.toml, line 9, keys: missing"
    assert str(opened.fault(("drill", 0), "wrong")) == "tuesday.toml, line 9: wrong"
    assert str(opened.fault(("nothing",), "wrong")) == "tuesday.toml, nothing: wrong"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("keys = [", "tuesday.toml.*: this is not TOML"),
        ("title = 'x'\nkeys = C", "tuesday.toml, line 2, column 8: this is not TOML"),
        ("a = 1\na = 2\n", "tuesday.toml, line 2, column 6"),
        ("a = " + "[" * 5000, "this is not TOML"),
        ("a = " + "9" * 5000, "tuesday.toml: a number in it has too many digits; check its numbers"),
    ],
)
def test_what_is_no_toml_is_refused_with_its_place(text: str, message: str) -> None:
    with pytest.raises(RequestError, match=message) as caught:
        document(text)
    assert "\n" not in str(caught.value)


def test_a_file_that_is_not_there_or_no_text_is_refused(tmp_path: Path) -> None:
    with pytest.raises(RequestError, match=r"absent.toml: there is no such file"):
        read_document(tmp_path / "absent.toml")
    (tmp_path / "latin.toml").write_bytes(b"title = '\xe9'")
    with pytest.raises(RequestError, match=r"latin.toml, byte 10: this is not UTF-8"):
        read_document(tmp_path / "latin.toml")


def test_a_byte_order_mark_and_carriage_returns_are_taken(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_bytes(b"\xef\xbb\xbftitle = 'x'\r\n[defaults]\r\nkeys = 'C'\r\n")

    opened = read_document(tmp_path / "a.toml")
    assert opened.content == {"title": "x", "defaults": {"keys": "C"}}
    assert opened.lines[("defaults", "keys")] == 3


def test_tables_of_another_form_are_refused_with_the_mend() -> None:
    with pytest.raises(RequestError, match=r"line 1, drill: .*\[\[drill\]\]"):
        document("[drill]\nname = 'x'").tables("drill")
    with pytest.raises(RequestError, match=r"write it as a heading, \[defaults\]"):
        document("defaults = 3").table("defaults")
    with pytest.raises(RequestError, match=r"it has no \[\[drill\]\]"):
        document("title = 'x'").tables("drill")


def test_a_mistyped_field_is_refused_with_the_nearest() -> None:
    with pytest.raises(RequestError, match=r"line 7, keys: there is no such field; did you mean key\?"):
        document().check_known(("defaults",), {"keys": "C"}, {"key": 1})
    assert correction("zzz", ("one", "two", "three")) == "write one, two or three"


names = st.text("abc-", min_size=1, max_size=4).map(lambda text: "f" + text)
values = st.sampled_from(['"x"', "3", '["a", "b"]', "true", "'''\nf = 1\n[[t]]\n'''", '"""f = [\n"""'])


@given(
    st.lists(st.dictionaries(names, values, max_size=4), max_size=4),
    st.dictionaries(names, values, max_size=3),
)
def test_the_line_found_for_a_field_is_where_it_stands(
    tables: list[dict[str, str]], top: dict[str, str]
) -> None:
    blocks = ["".join(f"{name} = {value}\n" for name, value in top.items())]
    blocks += ["[[t]]\n" + "".join(f"{n} = {v}\n" for n, v in table.items()) for table in tables]
    text = "# a note\n" + "".join(blocks)
    tomllib.loads(text)

    opened, lines = document(text), text.split("\n")

    assert len(opened.lines) == len(top) + sum(1 + len(table) for table in tables)
    for place, number in opened.lines.items():
        start = f"{place[-1]} = " if isinstance(place[-1], str) else "[[t]]"
        assert lines[number - 1].startswith(start)
