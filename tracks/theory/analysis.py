"""The numeral of a chord in a key: what `numeral` reads, written.

Conventions
- The result reads back, in the same key, to the same root, tones and bass (a foreign bass is not shown).
- A major triad or dominant seventh that is not the key's own and lies a fifth above one of its chords is
  written as applied to it (V7/V), and so is a diminished chord a half step below one (viio7/V).
  The tonic's own dominant seventh stays Id7, as the blues has it. Convention.
"""

from tracks.theory.chord import Chord
from tracks.theory.chord_kinds import BY_NAME
from tracks.theory.degree import parse_degree
from tracks.theory.key import Key, Mode
from tracks.theory.numeral import parse_numeral
from tracks.theory.pitch import Interval, Tone, accidentals

_MOST_ACCIDENTALS = 7
_ROMANS = ("I", "II", "III", "IV", "V", "VI", "VII")
_TRIAD_FIGURES, _SEVENTH_FIGURES = ("", "6", "64"), ("7", "65", "43", "42")
_NAMES = ("m2", "m3", "M3", "d5", "P5", "A5", "m7")
_m2, _m3, _M3, _d5, _P5, _A5, _m7 = (Interval.parse(name) for name in _NAMES)
_DOMINANTS = (BY_NAME["major"].intervals, BY_NAME["dominant"].intervals)
_LEADING = tuple(BY_NAME[name].intervals for name in ("diminished", "diminished-seventh", "half-diminished"))


def numeral_of(chord: Chord, key: Key, *, suspensions: bool = True) -> str:
    """Return the chord's Roman numeral in a key, with its figure and what the figure leaves unsaid.

    Without `suspensions`, `[sus4]` is written as the `[no3][add4]` that other readers of RomanText know.
    """
    stem, under = _applied(chord, key) or (_stem(chord, key), "")
    qualities = ("", "d") if chord.factor(7) and stem[-1] in "IViv" else ("",)
    candidates = [
        _completed(stem + quality + _figure(chord), under, chord, key, suspensions=suspensions)
        for quality in qualities
    ]
    return min(candidates, key=lambda numeral: numeral.count("["))


def _intervals(chord: Chord) -> dict[int, Interval]:
    return {interval.steps: interval for interval in chord.intervals}


def _stem(chord: Chord, key: Key) -> str:
    """Return accidentals, degree and quality, without figures."""
    tones = _intervals(chord)
    minor = tones.get(2) == _m3
    steps = (chord.root.step - key.tonic.step) % 7
    alter = (chord.root.fifths - key.degree(steps + 1).fifths) // 7
    if key.is_minor and steps in (5, 6):
        alter = _written(alter, raised=minor)
    roman = _ROMANS[steps].lower() if minor else _ROMANS[steps]
    quality = ""
    if minor and tones.get(4) == _d5:
        quality = "/o" if tones.get(6) == _m7 else "o"
    elif tones.get(2) == _M3 and tones.get(4) == _A5:
        quality = "+"
    return accidentals(alter) + roman + quality


def _written(alter: int, *, raised: bool) -> int:
    """Return the accidentals of a minor key's sixth or seventh degree that lies so far from the natural."""
    if raised:
        return 0 if alter == 1 else alter if alter > 1 else alter - 1
    return alter if alter >= 0 else alter - 1


def _applied(chord: Chord, key: Key) -> tuple[str, str] | None:
    """Return the stem of an applied chord and the numeral under its slash, where it is one."""
    if chord.root == key.tonic or key.scale_and_leading_tone.issuperset(chord.tones):
        return None
    if chord.intervals in _DOMINANTS:
        target, stem = Tone(chord.root.fifths - 1), "V"
    elif chord.intervals in _LEADING:
        target, stem = chord.root.up(_m2), "vii/o" if chord.factor(7) == chord.root.up(_m7) else "viio"
    else:
        return None
    for degree in range(2, 8):
        diatonic = parse_degree(str(degree), key)
        if diatonic.root == target and diatonic.factor(5) == target.up(_P5):
            return stem, "/" + diatonic.numeral
    return None


def _figure(chord: Chord) -> str:
    """Return the figures of the bass's place among root, third, fifth and seventh."""
    figures = _SEVENTH_FIGURES if chord.factor(7) else _TRIAD_FIGURES
    places = [chord.root, chord.factor(3), chord.factor(5), chord.factor(7)][: len(figures)]
    return figures[places.index(chord.bass)] if chord.bass in places else figures[0]


def _completed(stem: str, under: str, chord: Chord, key: Key, *, suspensions: bool) -> str:
    """Return the numeral with a bracket for each tone that its figure does not say."""
    wanted, said = _intervals(chord), _intervals(parse_numeral(stem + under, key))
    brackets = ""
    if suspensions and 2 not in wanted and 2 in said and (suspended := {1, 3} & wanted.keys()):
        steps = max(suspended)
        brackets += _added("sus", stem, under, wanted[steps], key)
        said = {**said, steps: wanted[steps]}
        del said[2]
    for steps in sorted(said.keys() - wanted.keys()):
        brackets += f"[no{steps + 1}]"
    for steps in sorted(wanted):
        if steps not in said:
            brackets += _added("add", stem, under, wanted[steps], key)
        elif wanted[steps] != said[steps]:
            brackets += f"[{_accidentals(said[steps], wanted[steps])}{steps + 1}]"
    return stem + brackets + under


def _added(word: str, stem: str, under: str, interval: Interval, key: Key) -> str:
    number = interval.steps + 1
    own = _intervals(parse_numeral(f"{stem}[{word}{number}]{under}", key))[interval.steps]
    return f"[{word}{_accidentals(own, interval)}{number}]"


def _accidentals(given: Interval, wanted: Interval) -> str:
    return accidentals((wanted.fifths - given.fifths) // 7)


def likely_key(chords: tuple[Chord, ...], only: Mode | None = None) -> Key:
    """Return the key that holds the most of the chords' tones, of one mode `only` where that is asked.

    Where several do, one whose tonic chord ends or begins the progression is preferred, then the one
    of the fewest accidentals, then major. Convention: leading tones count as a minor key's own; dominant
    sevenths on the first chord's root and on its fourth and fifth are a blues, in that root's key.
    """
    blues = _blues_key(chords)
    if blues and only is not Mode.MINOR:
        return blues

    def fit(key: Key) -> tuple[int, int, int, bool]:
        own = key.scale_and_leading_tone
        held = sum(tone in own for chord in chords for tone in chord.tones)
        third = key.degree(3)
        home = sum(
            weight
            for weight, chord in ((2, chords[-1]), (1, chords[0]))
            if chord.root == key.tonic and chord.factor(3) == third
        )
        return held, home, -abs(key.signature), key.mode is Mode.MAJOR

    modes = (only,) if only else tuple(Mode)
    keys = [
        Key(Tone(sharps + (3 if mode is Mode.MINOR else 0)), mode)
        for mode in modes
        for sharps in range(-7, 8)
    ]
    return max(keys, key=fit)


def _blues_key(chords: tuple[Chord, ...]) -> Key | None:
    sevenths = {chord.root for chord in chords if chord.intervals == BY_NAME["dominant"].intervals}
    tonic = chords[0].root
    if not sevenths.issuperset((tonic, Tone(tonic.fifths - 1), Tone(tonic.fifths + 1))):
        return None
    return Key(tonic) if abs(tonic.fifths) <= _MOST_ACCIDENTALS else None
