"""What is said to people, on the screen or beside the answer, in lines that fit; and records for machines.

Convention: words of a progression, a title, a path or a style come from anywhere, so what cannot be printed
is shown as a code: nothing steers a terminal.
"""

import sys
from collections.abc import Iterable

from tracks.cli.fitting import fitted, width


def say(words: str = "", beside: bool = False) -> None:
    """Print words, which may be several lines; `beside` the answer they go to the error stream."""
    # The parser's own way to print takes an ASCII output for UTF-8.
    print(fitted(printable(words), width(beside)), file=sys.stderr if beside else sys.stdout)


def say_json(record: object) -> None:
    """Print a record for machines."""
    import json

    print(json.dumps(record, indent=2))


def say_remarks(remarks: Iterable[str], about: str = "") -> None:
    """Print what a user should know of what was read, each on a line of its own, beside the answer."""
    for remark in remarks:
        say(f"Remark: {' '.join(f'{about}{remark}'.split())}", beside=True)


def printable(words: str) -> str:
    """Return words with codes for what cannot be printed, line ends aside."""
    if words.replace("\n", "").isprintable():
        return words
    return "".join(sign if sign == "\n" or sign.isprintable() else ascii(sign)[1:-1] for sign in words)
