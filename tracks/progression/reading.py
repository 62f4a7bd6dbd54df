"""In which key chord symbols are read, and so what they are transposed from.

Conventions
- Symbols name no key. With one key asked for, they sound as written where every chord is made of that key's
  tones, or where its tonic is the root of the first or last chord, as in a blues; else, and with several
  keys, they are read in the likeliest key of the mode asked for, and transposed. `--written-in` or a key in
  the text overrules both. A minor key's own tones include its leading tone.
"""

from collections.abc import Sequence

from tracks.progression.written import Progression, Writing
from tracks.theory.analysis import likely_key
from tracks.theory.chord import Chord, parse_symbol
from tracks.theory.key import Key


def key_read_in(progression: Progression, keys: Sequence[Key]) -> Key | None:
    """Return the key that chord symbols are transposed from to `keys`; None where they sound as written.

    It is None too for a text that says its own key, and for one that is not in symbols.
    """
    chords = _chords(progression)
    if not chords or (len(keys) == 1 and _sounds_as_written(chords, keys[0])):
        return None
    return likely_key(chords, keys[0].mode)


def remark_on_reading(progression: Progression, keys: Sequence[Key]) -> str:
    """Return a remark on how chord symbols were read where another reading was as near; else nothing."""
    chords = _chords(progression)
    if not chords:
        return ""
    likely = likely_key(chords, keys[0].mode)
    if key_read_in(progression, keys):
        if keys == (likely,):
            return ""
        return f"the chord symbols are read in {likely} and transposed; --written-in names another key"
    if keys[0] == likely or _fits(chords, keys[0]):
        return ""
    return (
        f"the chord symbols sound as written, in {keys[0]}; "
        f'--written-in "{likely}" reads them so and transposes them'
    )


def _chords(progression: Progression) -> tuple[Chord, ...]:
    """Return the chords of a text in symbols that names no key; none of any other."""
    if progression.writing is not Writing.SYMBOLS or progression.first_key:
        return ()
    return tuple(parse_symbol(chord.text) for chord in progression.chords if chord.text)


def _sounds_as_written(chords: tuple[Chord, ...], key: Key) -> bool:
    return _fits(chords, key) or key.tonic in (chords[0].root, chords[-1].root)


def _fits(chords: tuple[Chord, ...], key: Key) -> bool:
    return all(key.scale_and_leading_tone.issuperset(chord.tones) for chord in chords)
