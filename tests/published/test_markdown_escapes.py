"""What a teacher wrote, escaped and read back by a CommonMark reader, must be the words and nothing else.

Source: CommonMark 0.31.2, 2.4 "Backslash escapes", as markdown-it-py (a general-purpose library) reads it.
"""

import html
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from tracks.lessons.handout import escaped

MARKS = st.text("abc 019\\`*_{}[]()<>#+-.!|&;~=:\"'/\n\tü♭", max_size=40)


def shown(markdown: str) -> str:
    return str(MarkdownIt("commonmark").enable("table").enable("strikethrough").render(markdown))


@given(MARKS)
def test_escaped_words_are_one_paragraph_of_those_words(text: str) -> None:
    line = " ".join(text.split())

    paragraph = shown(escaped(text))

    if line:
        match = re.fullmatch(r"<p>(.*)</p>\n", paragraph)
        assert match, paragraph
        assert html.unescape(match[1]) == line
    else:
        assert paragraph == ""


@pytest.mark.parametrize(
    "title", ["# big", "- item", "+ item", "1. first", "12) twelfth", "> said", "<b>bold</b>", "a | b", "---"]
)
def test_a_title_that_looks_like_markup_stays_words(title: str) -> None:
    assert html.unescape(shown(escaped(title))) == f"<p>{title}</p>\n"
    assert html.unescape(shown(f"# {escaped(title)}: a term")) == f"<h1>{title}: a term</h1>\n"
