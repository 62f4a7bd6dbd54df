"""What the hands do over the whole library, in twelve keys, three starts and both textures, counted.

Run by hand: `python -m tests.hands.audit`. docs/benchmarks.md keeps what it printed.
"""

from collections.abc import Iterator
from itertools import pairwise

from tracks.hands.both import VoicedHands, voice_in_keys
from tracks.hands.options import Sevenths, Start, VoicingOptions
from tracks.model import Changes, Texture, VoicedChord
from tracks.progression.changes import realize
from tracks.progression.library import LIBRARY, Entry
from tracks.progression.music import parse
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter
from tracks.theory.pitch import Interval

FOUR = Meter(4, 4)
TEXTURES = (Texture.DOUBLED, Texture.OVER_BASS)
WALKS = {
    "andalusian": ("i VII VI V", "minor"),
    "lament": ("i v6 iv6 V", "minor"),
    "C C/B C/Bb F/A Fm/Ab C/G": ("C C/B C/Bb F/A Fm/Ab C/G", "major"),
    "I V6 vi iii6 IV I6 ii7 V7": ("I V6 vi iii6 IV I6 ii7 V7", "major"),
    "aeolian rise": ("i VI VII i", "minor"),
}


def in_all_keys(text: str, mode: str) -> list[Changes]:
    """The changes of a text in the twelve keys of a mode; chord symbols are read in C."""
    progression = parse(text, FOUR)
    return [realize(progression, key, Key.parse("C")) for key in KEY_SETS[f"all-{mode}"]]


def voiced(changes: list[Changes], options: VoicingOptions) -> tuple[VoicedHands, ...]:
    """The hands in all keys, none where the progression cannot be played so."""
    try:
        return voice_in_keys(changes, options)
    except RequestError:
        return ()


def every_way(entry: Entry, sevenths: Sevenths = Sevenths.GUIDE_TONES) -> Iterator[tuple[VoicedHands, ...]]:
    """An entry in twelve keys, from each start and in both textures."""
    changes = in_all_keys(entry.text, entry.mode.value)
    for texture in TEXTURES:
        for start in Start:
            yield voiced(changes, VoicingOptions(texture, start, sevenths))


def lost_thirds() -> tuple[int, int]:
    """Sevenths and sixths of the library, doubled, and those without their third, the diminished apart."""
    sevenths = lost = 0
    for entry in LIBRARY:
        for hands in voiced(in_all_keys(entry.text, entry.mode.value), VoicingOptions()):
            for chord in filter(_is_seventh, hands.chords):
                sevenths += 1
                lost += _lacks_third(chord)
    return sevenths, lost


def _is_seventh(chord: VoicedChord) -> bool:
    what = chord.at.chord
    if not what or len(what.tones) < 4 or not (what.factor(7) or what.factor(6)):
        return False
    return not {Interval.parse("m3"), Interval.parse("d5")} <= set(what.intervals)


def _lacks_third(chord: VoicedChord) -> bool:
    third = chord.at.chord.third_or_suspension if chord.at.chord else None
    heard = {pitch.tone.chroma for pitch in chord.right.pitches} if chord.right else set()
    return third is not None and third.chroma not in heard


def sliding() -> tuple[int, int]:
    """Fourth to fifth degree over a bass, and how often two voices go in fifths or octaves with it."""
    cases = slides = 0
    for text in ("I IV V I", "I vi IV V", "I IV V7 I", "i iv V i", "i VI iv V", "i iv V7 i"):
        for start in Start:
            mode = "major" if text[0] == "I" else "minor"
            changes = in_all_keys(text, mode)
            for hands in voiced(changes, VoicingOptions(Texture.OVER_BASS, start)):
                for old, new in pairwise(hands.chords):
                    if (_numeral(old).upper(), _numeral(new)[:1]) == ("IV", "V"):
                        cases += 1
                        slides += _consecutives(old, new) > 1
    return cases, slides


def _numeral(chord: VoicedChord) -> str:
    return chord.at.chord.numeral if chord.at.chord else ""


def _consecutives(old: VoicedChord, new: VoicedChord) -> int:
    """The voices that stay a fifth or an octave above a bass that moves, by pitch class."""
    if not (old.right and new.right and old.at.chord and new.at.chord):
        return 0
    above = [
        [(pitch.midi - chord.chroma) % 12 for pitch in hand.pitches]
        for hand, chord in ((old.right, old.at.chord.bass), (new.right, new.at.chord.bass))
    ]
    return sum(a == b and a in (0, 7) for a, b in zip(*above, strict=False))


def sevenths_leapt(text: str, mode: str) -> tuple[int, list[str]]:
    """The steps of a bass that are played, and the keys in which it leaps a seventh instead of one."""
    steps, keys = 0, []
    for hands, key in zip(
        voiced(in_all_keys(text, mode), VoicingOptions(Texture.OVER_BASS)),
        KEY_SETS[f"all-{mode}"],
        strict=True,
    ):
        line = [chord.left.pitches[0] for chord in hands.chords if chord.left]
        leaps = [abs(new.staff_step - old.staff_step) for old, new in pairwise(line)]
        steps += leaps.count(1)
        if 6 in leaps:
            keys.append(key.name)
    return steps, keys


def one_shape() -> tuple[int, int, int]:
    """Entries; those of one shape in the keys that the range leaves free; those in all twelve."""
    free = whole = 0
    for entry in LIBRARY:
        ways = [way for way in every_way(entry) if way]
        free += all(len({_shape(hands) for hands in way if not hands.own_shape}) == 1 for way in ways)
        whole += all(not hands.own_shape for way in ways for hands in way)
    return len(LIBRARY), free, whole


def _shape(hands: VoicedHands) -> tuple[tuple[int, ...], ...]:
    """The right hand's keys above its first one."""
    keys = [[pitch.midi for pitch in chord.right.pitches] for chord in hands.chords if chord.right]
    return tuple(tuple(key - keys[0][0] for key in chord) for chord in keys)


def movement(sevenths: Sevenths) -> float:
    """The mean movement of an entry, doubled, in half steps."""
    found = [
        hands[0].movement
        for entry in LIBRARY
        if (hands := voiced(in_all_keys(entry.text, entry.mode.value)[:1], VoicingOptions(sevenths=sevenths)))
    ]
    return sum(found) / len(found)


def main() -> None:
    """Count and print."""
    sevenths, lost = lost_thirds()
    print(f"sevenths and sixths without their third: {lost} of {sevenths}")
    cases, slides = sliding()
    print(f"IV to V sliding with the bass: {slides} of {cases}")
    for name, (text, mode) in WALKS.items():
        steps, keys = sevenths_leapt(text, mode)
        print(f"sevenths leapt, {name}: {len(keys)} of 12 keys {keys or ''} ({steps} steps)")
    entries, free, whole = one_shape()
    print(
        f"one shape in every key that the range leaves free: {free} of {entries} entries; in all 12: {whole}"
    )
    for choice in (Sevenths.SMOOTHEST, Sevenths.GUIDE_TONES):
        print(f"mean movement, {choice.value}: {movement(choice):.1f} half steps")


if __name__ == "__main__":
    main()
