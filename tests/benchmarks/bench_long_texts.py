"""What a text of twice the length costs: about twice the time, whatever is in it.

Run by hand: `python tests/benchmarks/bench_long_texts.py`. The ratios hold from machine to machine, the
seconds do not. What is longer than we play is refused, and that in time too.
"""

import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import NamedTuple

from tracks.hands.both import voice_hands
from tracks.hands.options import Sevenths, VoicingOptions
from tracks.model import Texture
from tracks.progression.changes import realize
from tracks.progression.music import parse
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import Meter
from tracks.theory.pitch import Pitch

FOUR = Meter(4, 4)
SEVENTHS = "Imaj7 vi7 ii7 V7 bVIImaj7 iii7 V7/ii bVI7".split()
WIDE = VoicingOptions(
    Texture.DOUBLED,
    low=Pitch.parse("A0"),
    high=Pitch.parse("C8"),
    hand=19,
    sevenths=Sevenths.FOUR,
)


class Row(NamedTuple):
    """What was read: how many words, and the seconds of the processor for as many and for half of them."""

    name: str
    words: int
    half: float
    whole: float


def read(text: str) -> None:
    """Read a text, refused or not."""
    with suppress(RequestError):
        parse(text, FOUR)


def voiced(text: str, options: VoicingOptions) -> None:
    """Read a text and voice it in a key."""
    voice_hands(realize(parse(text, FOUR), Key.parse("C")), options)


def sevenths(count: int) -> str:
    """Return so many sevenths."""
    return " ".join(SEVENTHS[place % len(SEVENTHS)] for place in range(count))


def with_endings(count: int) -> str:
    """Return a text of so many chords played, most in a repeat."""
    return f"|: {' | '.join(sevenths(count // 2).split())} :| I |"


TRIED: tuple[tuple[str, int, Callable[[int], object]], ...] = (
    ("a key at every chord, refused for its length", 32_000, lambda n: read("C:I " * n)),
    ("repeats that never end, refused", 32_000, lambda n: read("|: " * n + "I")),
    ("every word wrong in a way of its own", 2_000, lambda n: read(" ".join(f"Q{k}" for k in range(n)))),
    (
        "sevenths of four notes, A0 to C8, a hand of an octave and a fifth",
        1_600,
        lambda n: voiced(sevenths(n), WIDE),
    ),
    (
        "four parts, half of it repeated",
        1_600,
        lambda n: voiced(with_endings(n), VoicingOptions(Texture.FOUR_PART)),
    ),
)


def seconds(work: Callable[[int], object], count: int) -> float:
    """Return the processor time that one run takes."""
    began = time.process_time()
    work(count)
    return time.process_time() - began


def measured() -> Iterator[Row]:
    """Yield a row for everything tried, after one run that fills the tables."""
    for name, count, work in TRIED:
        work(count // 8)
        yield Row(name, count, seconds(work, count // 2), seconds(work, count))


def main() -> None:
    """Print the table."""
    for row in measured():
        sizes = f"{row.words // 2:,} in {row.half:.2f} s, {row.words:,} in {row.whole:.2f} s"
        print(f"{row.name}: {sizes}: {row.whole / row.half:.1f}")


if __name__ == "__main__":
    main()
