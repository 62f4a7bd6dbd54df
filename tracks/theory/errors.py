"""The one error a request can cause.

Its text is a single line that names the place (a column, a field, an option) and the fix.
"""

from collections.abc import Iterable, Sequence

_LONGEST = 400


class RequestError(ValueError):
    """A request that cannot be met as it stands; the message is one line for the person who made it.

    What it quotes may come from anywhere, so it is kept printable and short.
    """

    def __init__(self, message: str) -> None:
        super().__init__(one_line(message, _LONGEST))


def one_line(text: str, most: int = 200) -> str:
    """Return text as one line of at most `most` letters, with codes for what cannot be printed."""
    words = (word if len(word) <= most // 2 else word[: most // 2] + "..." for word in text[:20_000].split())
    shown = "".join(sign if sign.isprintable() else ascii(sign)[1:-1] for sign in " ".join(words))
    return shown if len(shown) <= most else shown[: most - 3].rstrip() + "..."


def listed(words: Sequence[str], link: str = "or") -> str:
    """Return words as a list: `one, two or three`."""
    return f"{', '.join(words[:-1])} {link} {words[-1]}" if len(words) > 1 else "".join(words)


def near_names(text: str, names: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """Return the names that a wrong one may have meant, the likeliest first.

    Names are small letters in words with hyphens. It is the name itself where only its hyphens or capitals
    are wrong, else those that have every word of the text, else those spelled nearly so.
    """
    import re
    from difflib import get_close_matches

    names = tuple(names)
    words = re.findall(r"[a-z0-9]+", text.lower())
    if not words:
        return ()
    whole = "-".join(words)
    if whole in names:
        return (whole,)
    holding = [name for name in names if set(words) <= set(name.split("-"))]
    return tuple(holding or get_close_matches(whole, names, n=1, cutoff=0.7))[:most]


def correction(word: str, known: Iterable[str]) -> str:
    """Return how to correct a mistyped word: the nearest of those known, or all of them."""
    from difflib import get_close_matches

    known = tuple(known)
    near = get_close_matches(word.lower(), known, n=1, cutoff=0.6)
    return f"did you mean {near[0]}?" if near else f"write {listed(known)}"
