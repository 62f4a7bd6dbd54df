"""Lines that fit the screen.

Conventions
- A line longer than the terminal is broken between words, under where its words begin; in a file or a pipe
  lines are at most 100 wide, but errors and remarks are one line each.
- A command to type stays whole, so that it can be copied.
"""

import re
import sys

_WIDEST_IN_A_FILE = 100
_COMMAND = re.compile(r"rungwise (?!lists)[a-z]+ .*")
_LABEL = re.compile(r" *(?:\S+ )*\S+ {2,}")
_WIDEST_LABEL = 20
_KEPT_WHOLE = "\N{NO-BREAK SPACE}"


def width(beside: bool = False) -> int:
    """Return how wide a line may be, on the screen or `beside` the answer; 0 for any length."""
    if (sys.stderr if beside else sys.stdout).isatty():
        from shutil import get_terminal_size

        return get_terminal_size().columns
    return 0 if beside else _WIDEST_IN_A_FILE


def fitted(words: str, most: int) -> str:
    """Return words with the lines broken that are longer than `most`, 0 for none."""
    return "\n".join(_broken(line, most) if len(line) > most > 0 else line for line in words.split("\n"))


def _broken(line: str, most: int) -> str:
    from textwrap import wrap

    indent = len(line) - len(line.lstrip())
    label = _LABEL.match(line)
    under = indent + 2 if indent else 0
    if label and label.end() <= min(_WIDEST_LABEL, most // 3):
        under = label.end()
    whole = _COMMAND.sub(lambda command: command[0].replace(" ", _KEPT_WHOLE), line)
    lines = wrap(
        whole, most, subsequent_indent=" " * under, break_long_words=False, break_on_hyphens=False,
        expand_tabs=False, replace_whitespace=False,
    )  # fmt: skip
    return "\n".join(lines).replace(_KEPT_WHOLE, " ")
