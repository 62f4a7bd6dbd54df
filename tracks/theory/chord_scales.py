"""Chord scales: which scale fits a chord where it stands, its guide tones, the notes to pass over.

Conventions
- A scale's tones go up from the chord's root, spelled; a tone that the chord has is spelled as the chord
  spells it (the sharp ninth of G7(#9) is A#, whatever the scale would write).
- The key wins: the first scale of a chord is the key's own as the chord bends it, so Fm7 in Ab major takes
  F Aeolian and not F Dorian. What the books list for the kind of chord comes after it.
- A foreign bass sounds too: C/Bb bends C major's scale to Mixolydian.
- The dominant seventh of a minor key may alter what it likes: after the key's own come the altered and the
  half-whole scale. The altered one has no perfect fifth, and asks the chord to leave its own out.
- A minor sixth chord whose sixth is not the key's own, like the tonic's, takes the melodic minor scale first.
- Names of scales are those of the source below; a mode without a name of its own is told by its parent,
  `C harmonic minor from B`.

Sources: kinds of chord and their scales, and the key before the kind, R. Hutchinson, *Music Theory for the
21st-Century Classroom*, Tables 31.9.4 and 31.10.3 and section 31.10; guide tones, the same, 31.7.1 and 31.8.
Bending the key's scale letter by letter, the scales of triads, and avoid notes: convention.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from tracks.theory.chord import Chord, parse_symbol
from tracks.theory.key import Key, Mode, scale_degree
from tracks.theory.pitch import Interval, Tone

SCALES: Mapping[str, str] = {
    # modes of the major scale
    "Ionian": "P1 M2 M3 P4 P5 M6 M7",
    "Lydian": "P1 M2 M3 A4 P5 M6 M7",
    "Mixolydian": "P1 M2 M3 P4 P5 M6 m7",
    "Dorian": "P1 M2 m3 P4 P5 M6 m7",
    "Aeolian": "P1 M2 m3 P4 P5 m6 m7",
    "Phrygian": "P1 m2 m3 P4 P5 m6 m7",
    "Locrian": "P1 m2 m3 P4 d5 m6 m7",
    # modes of the melodic minor scale
    "melodic minor": "P1 M2 m3 P4 P5 M6 M7",
    "Lydian-dominant": "P1 M2 M3 A4 P5 M6 m7",
    "Mixolydian b6": "P1 M2 M3 P4 P5 m6 m7",
    "Locrian #2": "P1 M2 m3 P4 d5 m6 m7",
    "Lydian-augmented": "P1 M2 M3 A4 A5 M6 M7",
    "Phrygian-Dorian": "P1 m2 m3 P4 P5 M6 m7",
    "altered": "P1 m2 m3 d4 d5 m6 m7",
    # the harmonic minor and its mode on the dominant
    "Phrygian dominant": "P1 m2 M3 P4 P5 m6 m7",
    "harmonic minor": "P1 M2 m3 P4 P5 m6 M7",
    # scales that repeat within the octave
    "octatonic half-whole": "P1 m2 m3 M3 A4 P5 M6 m7",
    "octatonic whole-half": "P1 M2 m3 P4 d5 m6 d7 M7",
    "whole tone": "P1 M2 M3 A4 A5 m7",
    # scales of a style
    "major pentatonic": "P1 M2 M3 P5 M6",
    "minor pentatonic": "P1 m3 P4 P5 m7",
    "blues": "P1 m3 P4 d5 P5 m7",
    "bebop dominant": "P1 M2 M3 P4 P5 M6 m7 M7",
    "bebop major": "P1 M2 M3 P4 P5 A5 M6 M7",
}
"""Every named scale's intervals above its first tone, in the order in which an unlisted chord tries them."""
_SEVEN = tuple(SCALES)[: tuple(SCALES).index("harmonic minor")]
_CONTAINING = tuple(SCALES)[: tuple(SCALES).index("major pentatonic")]

# A chord's suffix -> its scales.
_PUBLISHED: dict[str, tuple[str, ...]] = {
    "maj7": ("Ionian", "Lydian"),
    "maj7(#11)": ("Lydian",),
    "maj7#5": ("Lydian-augmented",),
    "m7": ("Dorian", "Aeolian"),
    "m7b5": ("Locrian", "Locrian #2"),
    "m7b5(add9)": ("Locrian #2",),
    "dim7": ("octatonic whole-half",),
    "m(maj7)": ("melodic minor",),
    "m6/9": ("Dorian", "melodic minor"),
    "7": ("Mixolydian",),
    "7(#11)": ("Lydian-dominant",),
    "7#5": ("whole tone",),
    "7b5": ("whole tone",),
    "7(b9)": ("octatonic half-whole",),
    "7(#9)": ("octatonic half-whole",),
    "13(#11,#9)": ("octatonic half-whole",),
    "m6": ("Dorian", "melodic minor"),  # as m6/9: convention
    # 7alt, by the tones that it alters
    "7(b5,b9)": ("altered",),
    "7(b5,#9)": ("altered",),
    "7(#5,b9)": ("altered",),
    "7(#5,#9)": ("altered",),
}

# What a chord foreign to its key takes where nothing published says so; convention.
_PRACTICED: dict[str, tuple[str, ...]] = {
    "+": ("Lydian-augmented", "whole tone"),
}

_MOST_SCALES = 3
_MINOR_TRIAD = parse_symbol("Cm").intervals
_PLAIN_DOMINANTS = tuple(parse_symbol(symbol).intervals for symbol in ("C7", "C7(b9)"))
_HARMONIC = {"harmonic minor": SCALES["harmonic minor"], "harmonic major": "P1 M2 M3 P4 P5 m6 M7"}
# Over an augmented sixth: the minor scale of the key with fourth and seventh raised (from memory).
_HUNGARIAN_MINOR = "P1 M2 m3 A4 P5 m6 M7"
_AUGMENTED_SIXTHS = ("It", "Ger", "Fr")


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale from a root up, with its ASCII name: `G Mixolydian`."""

    name: str
    tones: tuple[Tone, ...]

    @property
    def chromas(self) -> frozenset[int]:
        """The pitch classes, 0 to 11."""
        return frozenset(tone.chroma for tone in self.tones)


@lru_cache(maxsize=64)
def intervals_of(name: str) -> tuple[Interval, ...]:
    """Return the intervals of a scale of the table above its first tone; KeyError for another name."""
    return _parsed(SCALES[name])


def scale(name: str, root: Tone) -> Scale:
    """Return a scale of the table on a root; KeyError for a name that is not in it."""
    return Scale(f"{root.name} {name}", tuple(root.up(interval) for interval in intervals_of(name)))


@lru_cache(maxsize=1024)
def chord_scales(chord: Chord, key: Key) -> tuple[Scale, ...]:
    """Return the scales that fit a chord in a key, the key's own first; there is always one, three at most.

    After it come those published for the kind of chord; where the key has none of its own, the nearest to it.
    """
    if _is_augmented_sixth(chord):
        return (_over_augmented_sixth(chord),)
    own = _in_key(chord, key)
    others = _altering(chord, key) or published_scales(chord) or (() if own else _practiced_scales(chord))
    nearest = sorted(others, key=lambda each: len(each.chromas - _chromas(key.scale)))
    first = (scale("melodic minor", chord.root),) if _has_foreign_sixth(chord, key) else ()
    found: dict[frozenset[int], Scale] = {}
    for each in (*first, *filter(None, (own,)), *nearest):
        found.setdefault(each.chromas, each)
    return tuple(found.values())[:_MOST_SCALES] or (_last_resort(chord, key),)


def _altering(chord: Chord, key: Key) -> tuple[Scale, ...]:
    """Return the scales that alter the dominant seventh of a minor key, none for another chord."""
    if not key.is_minor or chord.root != key.degree(5) or chord.intervals not in _PLAIN_DOMINANTS:
        return ()
    fifth = chord.root.up(Interval.parse("P5"))
    needed = _chromas(tuple(tone for tone in _sounding(chord) if tone != fifth))
    scales = (_spelled(scale(name, chord.root), chord) for name in ("altered", "octatonic half-whole"))
    return tuple(each for each in scales if each.chromas >= needed)


def _has_foreign_sixth(chord: Chord, key: Key) -> bool:
    is_minor_sixth = chord.intervals[:3] == _MINOR_TRIAD and chord.factor(6) and not chord.bass_is_foreign
    return bool(is_minor_sixth) and not set(chord.tones) <= set(key.scale)


def _sounding(chord: Chord) -> tuple[Tone, ...]:
    """Return the chord's tones, and its bass where that is none of them."""
    return (*chord.tones, chord.bass) if chord.bass_is_foreign else chord.tones


def published_scales(chord: Chord) -> tuple[Scale, ...]:
    """Return the scales published for a chord's kind, in no key; none where the table has no such chord."""
    return _on(chord, _rows()[0].get(chord.intervals, ()))


def _practiced_scales(chord: Chord) -> tuple[Scale, ...]:
    return _on(chord, _rows()[1].get(chord.intervals, _CONTAINING))


def _on(chord: Chord, names: tuple[str, ...]) -> tuple[Scale, ...]:
    """Return the scales of those names that contain a chord, on its root and spelled as it spells them."""
    scales = (_spelled(scale(name, chord.root), chord) for name in names)
    return tuple(each for each in scales if each.chromas >= _chromas(_sounding(chord)))


def guide_tones(chord: Chord) -> tuple[Tone, ...]:
    """Return the third and the seventh of a chord.

    A suspended tone stands in for the third, the sixth for the seventh; a triad has its third only, and
    a bare fifth has none.
    """
    return tuple(tone for tone in (chord.third_or_suspension, chord.seventh_or_sixth) if tone)


def avoid_notes(chord: Chord, over: Scale) -> tuple[Tone, ...]:
    """Return the tones of a scale to pass over and not to dwell on: a half step above a tone of the chord.

    The flat ninth and flat thirteenth of a dominant seventh are its colors and not among them.
    """
    chroma = chord.root.chroma
    tones = {(tone.chroma - chroma) % 12 for tone in chord.tones}
    colors = {1, 8} if {4, 10} <= tones else set()
    avoided = {(tone + 1) % 12 for tone in tones} - tones - colors
    return tuple(tone for tone in over.tones if (tone.chroma - chroma) % 12 in avoided)


def _parsed(names: str) -> tuple[Interval, ...]:
    return tuple(map(Interval.parse, names.split()))


def _chromas(tones: tuple[Tone, ...]) -> frozenset[int]:
    return frozenset(tone.chroma for tone in tones)


@lru_cache(maxsize=1)
def _rows() -> tuple[dict[tuple[Interval, ...], tuple[str, ...]], ...]:
    """Return the published table and the practiced one, by a chord's intervals."""
    return tuple(
        {parse_symbol("C" + suffix).intervals: names for suffix, names in table.items()}
        for table in (_PUBLISHED, _PRACTICED)
    )


def _spelled(each: Scale, chord: Chord) -> Scale:
    """Return the scale with the chord's own tones spelled as the chord spells them."""
    own = {tone.chroma: tone for tone in reversed(_sounding(chord))}
    return Scale(each.name, tuple(own.get(tone.chroma, tone) for tone in each.tones))


def _in_key(chord: Chord, key: Key) -> Scale | None:
    """Return the key's scale as a chord bends it, where that makes a scale the trade knows.

    What the major key cannot bend to, it borrows from the minor key on its tonic.
    """
    for mode in dict.fromkeys((key.mode, Mode.MINOR)):
        bent = _bent(chord, key.tonic, mode)
        name = _name(chord, bent)
        if name:
            return Scale(name, bent)
    return None


def _is_augmented_sixth(chord: Chord) -> bool:
    return chord.numeral.startswith(_AUGMENTED_SIXTHS)


def _over_augmented_sixth(chord: Chord) -> Scale:
    """Return the scale of the key, or of the key applied to, in which the chord is an augmented sixth."""
    tonic = chord.root.up(Interval.parse("m7" if chord.is_french_sixth else "d5"))
    tones = tuple(tonic.up(interval) for interval in _parsed(_HUNGARIAN_MINOR))
    place = tones.index(chord.root)
    return Scale(f"{tonic} Hungarian minor from {chord.root}", tones[place:] + tones[:place])


def _bent(chord: Chord, tonic: Tone, mode: Mode) -> tuple[Tone, ...]:
    """Return the seven letters of a key from a chord's root up, each the chord's own where it has it."""
    letters = {tone.step: tone for tone in (scale_degree(tonic, mode, n) for n in range(1, 8))}
    letters |= {tone.step: tone for tone in reversed(_sounding(chord))}
    return tuple(letters[(chord.root.step + step) % 7] for step in range(7))


def _name(chord: Chord, tones: tuple[Tone, ...]) -> str:
    """Return the name of seven tones over a chord, or nothing where they are no scale to play over it."""
    if not set(_sounding(chord)) <= set(tones):
        return ""
    root = tones[0]
    for name in _SEVEN:
        if tones == tuple(root.up(interval) for interval in intervals_of(name)):
            return f"{root} {name}"
    if chord.factor(5) != root.up(Interval.parse("d5")) or chord.factor(7) == root.up(Interval.parse("m7")):
        return ""
    # A diminished triad or seventh stands on the leading tone of a harmonic scale.
    for parent, names in _HARMONIC.items():
        tonic = root.up(Interval.parse("m2"))
        if {tonic.up(interval) for interval in _parsed(names)} == set(tones):
            return f"{tonic} {parent} from {root}"
    return ""


def _last_resort(chord: Chord, key: Key) -> Scale:
    """Return a scale for a chord that fits none: the key's letters, and whatever else the chord has."""
    tones = {*_bent(chord, key.tonic, key.mode), *_sounding(chord)}

    def above(tone: Tone) -> tuple[int, int]:
        return (tone.chroma - chord.root.chroma) % 12, tone.step

    return Scale(f"{key.name} with the chord's own tones", tuple(sorted(tones, key=above)))
