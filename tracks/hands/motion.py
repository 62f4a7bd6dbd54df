"""What moves from one voicing to the next: its size in numbers, and the words a student follows.

Conventions
- Voices are matched low to high. Where the voicings differ in size, the matching is the cheapest one that
  keeps their order and gives every note a partner.
- Sizes are in semitones, so a note respelled on its own key holds.
- Words are ASCII (`Bb`), small letters, without a full stop.
"""

from collections.abc import Sequence

from tracks.hands.close_position import unplayed_eleventh
from tracks.hands.tendency import leading_tones
from tracks.theory.chord import Chord
from tracks.theory.errors import listed
from tracks.theory.key import Key
from tracks.theory.pitch import Pitch, Tone

Size = tuple[int, int, int]

_INTERVALS = (
    "",
    "a half step",
    "a whole step",
    "a minor third",
    "a major third",
    "a fourth",
    "a tritone",
    "a fifth",
    "a minor sixth",
    "a major sixth",
    "a minor seventh",
    "a major seventh",
)
_OCTAVES = ("", "an octave", "two octaves", "three octaves", "four octaves", "five octaves")
_VOICES = {
    1: ("the note",),
    2: ("bottom", "top"),
    3: ("bottom", "middle", "top"),
    4: ("bottom", "lower middle", "upper middle", "top"),
}
_ALL = {2: "both", 3: "all three", 4: "all four"}
_FACTORS = ("root", "second", "third", "fourth", "fifth", "sixth", "seventh", "octave", "ninth")
_MORE_FACTORS = {9: "tenth", 10: "eleventh", 11: "twelfth", 12: "thirteenth"}


def matching(before: Sequence[int], after: Sequence[int]) -> tuple[tuple[int, int], ...]:
    """Return pairs of places, low to high, that match the notes (MIDI numbers) of two voicings."""
    return _match(before, after)[1]


def size(before: Sequence[int], after: Sequence[int]) -> Size:
    """Return the semitones moved in all, how many voices move, and the sum of the squared moves."""
    return _match(before, after)[0]


def _match(before: Sequence[int], after: Sequence[int]) -> tuple[Size, tuple[tuple[int, int], ...]]:
    if len(before) == len(after):
        moves = [abs(low - high) for low, high in zip(before, after, strict=True)]
        places = range(len(before))
        return (sum(moves), sum(map(bool, moves)), sum(move * move for move in moves)), tuple(
            zip(places, places, strict=True)
        )
    best: dict[tuple[int, int], tuple[Size, tuple[tuple[int, int], ...]]] = {}
    for i, old in enumerate(before):
        for j, new in enumerate(after):
            # One to one stands first, so that no note has two partners where one costs as little.
            ways = [best[place] for place in ((i - 1, j - 1), (i - 1, j), (i, j - 1)) if place in best]
            so_far, pairs = min(ways, key=lambda way: way[0]) if ways else ((0, 0, 0), ())
            move = abs(old - new)
            total = (so_far[0] + move, so_far[1] + bool(move), so_far[2] + move * move)
            best[i, j] = (total, (*pairs, (i, j)))
    return best[len(before) - 1, len(after) - 1]


def interval_words(semitones: int) -> str:
    """Return the words of a size in semitones, 1 or more: `a half step`, `an octave and a fourth`."""
    octaves, rest = divmod(semitones, 12)
    return " and ".join(filter(None, (_OCTAVES[octaves], _INTERVALS[rest])))


def what_moves(before: tuple[Pitch, ...], after: tuple[Pitch, ...]) -> str:
    """Return the sentence of what moves between two voicings of up to four voices, low to high.

    What holds comes first, then the others from the bottom up; voices that move alike stand together. A
    note that divides `splits`, notes that come together `meet`; they are named by the voicing before. Voices
    that share a pitch are one note.
    """
    olds_apart, news_apart = list(dict.fromkeys(before)), list(dict.fromkeys(after))
    names = _VOICES[len(olds_apart)]
    together: dict[str, list[str]] = {}
    for olds, news in groups([old.midi for old in before], [new.midi for new in after]):
        words = _group_words(olds_apart[olds[0]], [news_apart[place] for place in news], meet=len(olds) > 1)
        together.setdefault(words, []).extend(names[place] for place in olds)
    holding = together.pop("hold", [])
    if holding:
        together = {"hold": holding, **together}
    return ", ".join(_clause(voices, words, len(names)) for words, voices in together.items())


def groups(before: Sequence[int], after: Sequence[int]) -> list[tuple[list[int], list[int]]]:
    """Return the matched places of two voicings' notes (MIDI numbers), those that share a partner together.

    Voices that share a key are one note.
    """
    pairs = matching(before, after)
    olds_apart, news_apart = list(dict.fromkeys(before)), list(dict.fromkeys(after))
    found: list[tuple[list[int], list[int]]] = []
    for i, j in pairs:
        old, new = olds_apart.index(before[i]), news_apart.index(after[j])
        if found and (found[-1][0][-1] == old or found[-1][1][-1] == new):
            olds, news = found[-1]
            found[-1] = (list(dict.fromkeys([*olds, old])), list(dict.fromkeys([*news, new])))
        else:
            found.append(([old], [new]))
    return found


def _group_words(old: Pitch, news: list[Pitch], meet: bool) -> str:
    if meet:
        return f"meet on {listed([new.tone.name for new in news], 'and')}"
    if len(news) > 1:
        return f"splits to {listed([new.tone.name for new in news], 'and')}"
    return _move_words(old, news[0]) or "hold"


def _move_words(old: Pitch, new: Pitch) -> str:
    move = new.midi - old.midi
    return f"{'up' if move > 0 else 'down'} {interval_words(abs(move))}" if move else ""


def _clause(voices: list[str], words: str, count: int) -> str:
    who = _ALL[count] if len(voices) == count > 1 else listed(voices, "and")
    return f"{who} {words}s" if words == "hold" and len(voices) == 1 else f"{who} {words}"


def what_left_hand_does(before: Pitch, after: Pitch) -> str:
    """Return the sentence for a left hand that plays single notes: `left hand up a fourth to F`."""
    words = _move_words(before, after)
    return f"left hand {words} to {after.tone.name}" if words else "left hand holds"


def left_out(chord: Chord, omits: tuple[Tone, ...], key: Key) -> str:
    """Return the sentence of what a voicing leaves out: `left out: B, the leading tone`; "" for nothing.

    Any other tone is called by its place in the chord: `left out: G, the fifth`. The natural eleventh of a
    thirteenth chord is not missed.
    """
    told = [
        f"{tone.name}, the {'leading tone' if _leads(chord, tone, key) else factor_name(chord, tone)}"
        for tone in omits
        if tone != unplayed_eleventh(chord)
    ]
    return "left out: " + ", and ".join(told) if told else ""


def _leads(chord: Chord, tone: Tone, key: Key) -> bool:
    """Return whether a tone is the chord's leading tone; the third of a blues chord leads nowhere."""
    is_applied = "/" in chord.numeral.replace("/o", "")
    is_foreign = tone not in key.scale or tone == key.leading_tone
    return tone in leading_tones(chord, key) and (is_applied or is_foreign)


def factor_name(chord: Chord, tone: Tone) -> str:
    """Return what a tone is in its chord: `root`, `fifth`, `ninth`.

    An augmented sixth is counted from its flat sixth, as its symbol is.
    """
    if chord.named_root != chord.root:
        return _FACTORS[chord.named_root.interval_to(tone).steps]
    steps = chord.intervals[chord.tones.index(tone)].steps
    return _MORE_FACTORS.get(steps) or _FACTORS[steps]
