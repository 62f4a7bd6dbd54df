"""Slips in TOML: what a teacher meant by a line that the reader of TOML refuses, and how it is written.

The reader tells what it expected, in words for programmers, and where; what to write instead is told from the
line itself.
"""

import re
from collections.abc import Iterator

_CURLY = "\u201c\u201d\u201e\u2018\u2019"
_NAME = r"\s*([A-Za-z][\w-]*)"
_UNEVEN = re.compile(r"[^=]*=\s*('[^']*\"|\"[^\"]*')\s*")
_LONGEST_LINE = 2000
"""Letters of a line that is looked at: nobody types more, and a search through it could take hours."""
_BY_LINE = (
    (rf"{_NAME}\s*:.*", "write = in place of the colon"),
    (r"\s*\[{1,2}\s*([\w-]+)\s*\]?\s*", "a heading has as many brackets after as before: [[\\1]]"),
    (r"[^=]*=\s*(?i:yes|on|true|ja)\s*(#.*)?", "write true, in small letters"),
    (r"[^=]*=\s*(?i:no|off|false|nein)\s*(#.*)?", "write false, in small letters"),
    (r"[^=]*=\s*\d{1,2}[./-]\d{1,2}[./-]\d{2,4}\s*(#.*)?", "write a day like 2026-03-02"),
    (r"[^=]*=\s*\d{4}-\d{1,2}-\d{1,2}\s*(#.*)?", "there is no such day; write one like 2026-03-02"),
    (r".*[;,]\s*", "leave out what stands at the end of the line"),
    (rf"{_NAME}(?: ([a-z]+))+ ?=.*", "a name of several words has hyphens, like count-in"),
    (r"[^=]*", "write a name, then =, then the value"),
    (r"[^=]*=\s*", "write a value after ="),
    (r"[^=]*=\s*\[.*[\"\w]\s+[\"\w].*", "write commas between the values, and text in quotes"),
    (_UNEVEN, 'end text with the sign that it begins with, "like this"'),
    (r"[^=]*=\s*\"[^\"]*", 'end text with ", or write text of several lines between """ and """'),
)
"""A line as it is written, and how to mend it; the first that fits holds."""


def mend(reason: str, text: str, line: int | None) -> str:
    """Return what to write; `reason` is the reader's, `line` the number of the line, None for the end."""
    return next(_mends(reason, text, line), "put text in quotes, lists in [ ]")


def _mends(reason: str, text: str, line: int | None) -> Iterator[str]:
    if "overwrite" in reason:
        yield "a name stands there twice; leave one out"
    lines = text.splitlines()
    short = (each for each in lines if len(each) <= _LONGEST_LINE)
    written = lines[line - 1] if line else next(filter(_UNEVEN.fullmatch, short), "")
    if set(written or text) & set(_CURLY):
        yield 'write straight quotes, "like these", in place of curly ones'
    for pattern, fix in _BY_LINE if written.strip() and len(written) <= _LONGEST_LINE else ():
        if match := re.fullmatch(pattern, written):
            yield match.expand(fix)
