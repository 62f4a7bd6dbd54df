"""Signs for an output that cannot hold them: a terminal or a file that is not UTF-8 gets plain ones."""

import codecs

_PLAIN = {
    "\u266d": "b", "\u266f": "#", "\u266e": "", "\U0001d12b": "bb", "\U0001d12a": "##",
    "\u00b0": "o", "\u00f8": "/o",
    "\u00b7": "-", "\u2192": "->", "\u2026": "...", "\u2019": "'", "\u2018": "'",
    "\u201c": '"', "\u201d": '"',
    "\u2013": "-", "\u2014": "-", "\u2022": "*", "\u00d7": "x",
}  # fmt: skip
_NAME = "rungwise-plainly"


def plainly() -> str:
    """Register the way to write plain signs, and return its name, as an output's `errors` takes it."""
    codecs.register_error(_NAME, _replaced)
    return _NAME


def _replaced(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(_plain, error.object[error.start : error.end])), error.end


def _plain(sign: str) -> str:
    """Return a plain sign for one: lines of a table become hyphens, what has no like a question mark."""
    return _PLAIN.get(sign, "-" if "\u2500" <= sign <= "\u257f" else "?")
