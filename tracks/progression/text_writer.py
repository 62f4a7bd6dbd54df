"""A progression written as the text of chords that is typed at the prompt, in a line.

Conventions
- The grammar is that of `tracks.progression.text`, in beats: a chord or `/` for every felt beat, `N.C.` for
  silence, `Eb:` before the chord from which a key holds. What is repeated is written out.
- A last bar that is short, after a pickup, is filled up by its chord.
"""

from collections.abc import Iterator

from tracks.progression.written import Progression
from tracks.theory.key import Mode


def to_text(progression: Progression) -> str | None:
    """Return a progression as a text; None where a chord begins between felt beats, which has no sign."""
    beat = progression.meter.beat
    if any(chord.start % beat for chord in progression.chords):
        return None
    bars: list[list[str]] = []
    words = dict(_words(progression))
    start, to_fill = 0, progression.pickup or progression.meter.bar
    while start < progression.length:
        bars.append([words.get(moment, "/") for moment in range(start, start + to_fill, beat)])
        start, to_fill = start + to_fill, progression.meter.bar
    missing = progression.meter.beats - len(bars[0])
    bars[0] = ["/"] * missing + bars[0]
    return "| " + " | ".join(" ".join(_plainer(bar)) for bar in bars) + " |"


def _words(progression: Progression) -> Iterator[tuple[int, str]]:
    """Yield each chord's start and its word, with the key where it changes."""
    key = None
    for chord in progression.chords:
        word = chord.text or "N.C."
        if chord.key and chord.key != key:
            key = chord.key
            tonic = key.tonic.name
            word = f"{tonic if key.mode is Mode.MAJOR else tonic.lower()}: {word}"
        yield chord.start, word


def _plainer(bar: list[str]) -> list[str]:
    """Return a bar's words, a chord that fills the bar by itself."""
    whole = bar[0] != "/" and all(word == "/" for word in bar[1:])
    return bar[:1] if whole else bar
