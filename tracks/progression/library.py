"""The library of common progressions: found by name, by words, and where a name was mistyped."""

from collections.abc import Sequence

from tracks.progression.repertoire import LIBRARY as LIBRARY
from tracks.progression.repertoire import Entry as Entry
from tracks.progression.slips import is_readable
from tracks.theory.errors import RequestError, listed, near_names

_IN_WORDS = {"8": "eight", "12": "twelve"}
_BY_NAME = {entry.name: entry for entry in LIBRARY}


def entry(name: str) -> Entry | None:
    """Return the progression of that name, or None where there is none."""
    return _BY_NAME.get(name)


def search(words: Sequence[str]) -> tuple[Entry, ...]:
    """Return the progressions that have every word in their name or description, in the library's order.

    Raises RequestError where there is none.
    """
    wanted = [part.lower() for word in words for part in word.split()]
    found = tuple(
        each for each in LIBRARY if all(word in f"{each.name} {each.about}".lower() for word in wanted)
    )
    if not found:
        raise RequestError(
            f"no progression is called or about {' '.join(wanted)!r}", "rungwise progressions lists all"
        )
    return found


def suggest(text: str) -> str:
    """Return the library names that a text may have meant, as `one, another or a third`, or "" for none.

    A text that begins with a chord, or has a bar line or a key, means no name.
    """
    words = text.split()
    if not words or set("|:") & set(text) or is_readable(words[0]):
        return ""
    text = " ".join(_IN_WORDS.get(word, word) for word in words)
    near = near_names(text, _BY_NAME) or near_names(" ".join(w for w in words if len(w) > 3), _BY_NAME)
    return listed(near)


def text_of(name_or_text: str) -> str:
    """Return the text of a named progression, or the given text where it is no name.

    Raises RequestError for a text that is nearly a name, or the words of one.
    """
    found = entry(name_or_text)
    if found:
        return found.text
    near = suggest(name_or_text)
    if near:
        raise RequestError(
            f"progression {name_or_text!r} is not in the library",
            f"did you mean {near}? rungwise progressions lists all",
        )
    return name_or_text
