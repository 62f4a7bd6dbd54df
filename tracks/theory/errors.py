"""The one error a request can cause, and how a mistyped word is corrected.

Conventions
- A fault is a value: its *place*, outermost first (an option's name, a column, a file and a line), the
  *reason*, and the *fix*. Its text is a single line of the three: `hand: '9' is no span; write 9th`.
- An option stands in a place by its one name. Whoever tells the fault words it: `--hand` at the prompt, file
  and line in a lesson. So whatever raises or passes on a fault says where it belongs, and nothing reads its
  text to find out.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import TypeVar

_Given = TypeVar("_Given")
_Meant = TypeVar("_Meant")

_LONGEST = 400


class RequestError(ValueError):
    """A request that cannot be met as it stands; the message is one line for the person who made it.

    What it quotes may come from anywhere, so it is kept printable and short.
    """

    def __init__(self, reason: str, fix: str = "", place: str | tuple[str, ...] = ()) -> None:
        places = (place,) if isinstance(place, str) else place
        self.place = tuple(one_line(each, _LONGEST) for each in places)
        self.reason = one_line(reason, _LONGEST)
        self.fix = one_line(fix, _LONGEST)
        super().__init__(self.reason, self.fix, self.place)

    def __str__(self) -> str:
        where = ", ".join(self.place)
        return (f"{where}: " if where else "") + self.told

    @property
    def told(self) -> str:
        """The reason and the fix, for whoever names the place in other words."""
        return f"{self.reason}; {self.fix}" if self.fix else self.reason

    @property
    def each(self) -> tuple["RequestError", ...]:
        """Every fault that this one holds: itself, unless it is `SeveralFaultsError`."""
        return (self,)

    def worded(self, words: Callable[[str], str]) -> "RequestError":
        """Return the same fault, its reason and fix in other words."""
        return RequestError(words(self.reason), words(self.fix), self.place)

    def at(self, *place: str) -> "RequestError":
        """Return the same fault, its place inside another."""
        return RequestError(self.reason, self.fix, (*place, *self.place))


class SeveralFaultsError(RequestError):
    """Several faults of one request, in their order; by itself it says the first."""

    def __init__(self, faults: Sequence[RequestError]) -> None:
        self._each = tuple(faults)
        super().__init__(faults[0].reason, faults[0].fix, faults[0].place)

    @property
    def each(self) -> tuple[RequestError, ...]:
        """Every fault that this one holds."""
        return self._each

    def worded(self, words: Callable[[str], str]) -> "RequestError":
        """Return the same faults, their reasons and fixes in other words."""
        return SeveralFaultsError([fault.worded(words) for fault in self._each])

    def at(self, *place: str) -> "RequestError":
        """Return the same faults, their places inside another."""
        return SeveralFaultsError([fault.at(*place) for fault in self._each])


def one_line(text: str, most: int = 200) -> str:
    """Return text as one line of at most `most` letters, with codes for what cannot be printed."""
    words = (word if len(word) <= most // 2 else word[: most // 2] + "..." for word in text[:20_000].split())
    shown = "".join(sign if sign.isprintable() else ascii(sign)[1:-1] for sign in " ".join(words))
    return shown if len(shown) <= most else shown[: most - 3].rstrip() + "..."


def read(place: str, parse_text: Callable[[_Given], _Meant], text: _Given) -> _Meant:
    """Return what a text means, or raise its fault at the place that the text stands in."""
    try:
        return parse_text(text)
    except RequestError as fault:
        raise fault.at(place) from fault


def read_all(parse: Callable[[_Given], _Meant], every: Iterable[_Given]) -> list[_Meant]:
    """Return what each means; all are read before the faults of any are raised, so that all are told."""
    found: list[_Meant] = []
    faults: list[RequestError] = []
    for given in every:
        try:
            found.append(parse(given))
        except RequestError as fault:
            faults += fault.each
    if faults:
        raise faults[0] if len(faults) == 1 else SeveralFaultsError(faults)
    return found


def listed(words: Sequence[str], link: str = "or") -> str:
    """Return words as a list: `one, two or three`."""
    return f"{', '.join(words[:-1])} {link} {words[-1]}" if len(words) > 1 else "".join(words)


def each_by_itself(field: str, words: Iterable[str]) -> str:
    """Return how a lesson says several values of a field: `write keys = ["C", "G"]`."""
    import json

    return f"write {field} = {json.dumps(list(words), ensure_ascii=False)}"


def near_names(text: str, names: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """Return the names that a wrong one may have meant, the likeliest first.

    Capitals, hyphens and spaces make no difference. It is the name itself where only those are wrong, else
    those that have every word of the text, else the one spelled nearly so.
    """
    from difflib import get_close_matches

    plain = {_plain(name): name for name in names}
    whole = _plain(text)
    if not whole or whole in plain:
        return (plain[whole],) if whole else ()
    words = set(whole.split("-"))
    holding = [name for name in plain if words <= set(name.split("-"))]
    near = holding or get_close_matches(whole, plain, n=1, cutoff=0.7)
    return tuple(plain[name] for name in near[:most])


def correction(word: str, known: Iterable[str], otherwise: str = "") -> str:
    """Return how to correct a mistyped word: the nearest of those known, else `otherwise`, or all of them."""
    known = tuple(known)
    near = near_names(word, known)
    return f"did you mean {listed(near)}?" if near else otherwise or f"write {listed(known)}"


def _plain(name: str) -> str:
    import re

    return "-".join(re.findall(r"[a-z0-9]+", name.lower()))
