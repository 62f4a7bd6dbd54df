"""Keys, their signatures and scales.

Conventions
- `signature` counts sharps, flats as negative: -7 (Cb major, Ab minor) to 7.
- `degree(n)` is the natural scale's: in minor, 6 and 7 are the unraised ones.
- Names: `Eb major`, `F# minor`; in file names `Eb-major`.

Source: the signatures are those of the MIDI key signature event ("Standard MIDI Files 1.0", RP-001).
"""

import re
from dataclasses import dataclass
from enum import Enum

from tracks.theory.errors import RequestError, each_by_itself, near_names
from tracks.theory.note_names import fix, key_meant
from tracks.theory.pitch import Interval, Tone, ascii_accidentals


class Mode(Enum):
    """Major or minor."""

    MAJOR = "major"
    MINOR = "minor"


_SCALES = {
    Mode.MAJOR: ("P1", "M2", "M3", "P4", "P5", "M6", "M7"),
    Mode.MINOR: ("P1", "M2", "m3", "P4", "P5", "m6", "m7"),
}
_MAJOR_SEVENTH = Interval.parse("M7")
_INTERVALS = {mode: tuple(Interval.parse(name) for name in names) for mode, names in _SCALES.items()}
_KEY = re.compile(r"([A-G])(#*|b*|[ -]*(?:sharp|flat))[ -]*(major|minor|maj|min|m)?", re.IGNORECASE)
_ACCIDENTALS = {"sharp": "#", "flat": "b"}


def scale_degree(tonic: Tone, mode: Mode, number: int) -> Tone:
    """Return a degree, counted on past 7 where a ninth or more is meant, of the scale on any tonic."""
    return tonic.up(_INTERVALS[mode][(number - 1) % 7])


@dataclass(frozen=True, slots=True)
class Key:
    """A tonic and a mode, with a signature of at most seven sharps or flats."""

    tonic: Tone
    mode: Mode = Mode.MAJOR

    def __post_init__(self) -> None:
        if abs(self.signature) > 7:
            count = f"{abs(self.signature)} {'sharps' if self.signature > 0 else 'flats'}"
            easier = Tone(self.tonic.fifths - 12 if self.signature > 0 else self.tonic.fifths + 12)
            raise RequestError(f"{self.name} has {count}", f"write {easier.name} {self.mode.value}")

    @classmethod
    def parse(cls, text: str) -> "Key":
        """Return the key of a text such as `Eb`, `F# minor`, `E flat`, `bb` or `c` (a small letter is minor).

        Raises RequestError for a text that is no key and for a key of more than seven accidentals.
        """
        match = _KEY.fullmatch(ascii_accidentals(text.strip()))
        if not match:
            meant = key_meant(text)
            usual = "write one like Eb, F# minor or c (a small letter is minor)"
            raise RequestError(f"{text!r} is no key", fix(meant, text) if meant else usual)
        letter, accidentals, word = match.groups()
        written = accidentals.strip(" -").lower()
        minor = word.lower() in ("m", "min", "minor") if word else letter.islower()
        return cls(
            Tone.parse(letter.upper() + _ACCIDENTALS.get(written, written)),
            Mode.MINOR if minor else Mode.MAJOR,
        )

    @property
    def is_minor(self) -> bool:
        """Whether the mode is minor."""
        return self.mode is Mode.MINOR

    @property
    def leading_tone(self) -> Tone:
        """The tone a half step below the tonic, in minor the raised seventh."""
        return self.tonic.up(_MAJOR_SEVENTH)

    @property
    def signature(self) -> int:
        """Sharps in the signature; flats are negative."""
        return self.tonic.fifths - (3 if self.is_minor else 0)

    @property
    def name(self) -> str:
        """The ASCII name: `Eb major`."""
        return f"{self.tonic.name} {self.mode.value}"

    @property
    def sign(self) -> str:
        """The name as people read it: E♭ major."""
        return f"{self.tonic.sign} {self.mode.value}"

    @property
    def folder(self) -> str:
        """The name in a path, without signs that a link escapes: `Eb-major`, `F-sharp-minor`."""
        return f"{self.tonic.name.replace('#', '-sharp')}-{self.mode.value}"

    @property
    def scale(self) -> tuple[Tone, ...]:
        """The seven tones of the major or natural minor scale, tonic first."""
        return tuple(self.tonic.up(interval) for interval in _INTERVALS[self.mode])

    @property
    def scale_and_leading_tone(self) -> frozenset[Tone]:
        """The tones that chords of the key are made of: its scale, and in minor the raised seventh too."""
        return frozenset((*self.scale, self.leading_tone))

    def degree(self, number: int) -> Tone:
        """Return the tone of a scale degree, 1 to 7, in the major or natural minor scale."""
        if not 1 <= number <= 7:
            raise RequestError(f"scale degree {number} is outside 1 to 7")
        return scale_degree(self.tonic, self.mode, number)

    def transposed(self, interval: Interval) -> "Key":
        """Return the key that lies the interval above, respelled where it would pass seven accidentals."""
        fifths = self.tonic.fifths + interval.fifths
        signature = fifths - (3 if self.is_minor else 0)
        if abs(signature) > 7:
            fifths -= 12 if signature > 0 else -12
        return Key(Tone(fifths), self.mode)

    def __str__(self) -> str:
        return self.name


def _keys(mode: Mode, signatures: range) -> tuple[Key, ...]:
    return tuple(Key(Tone(sharps + (3 if mode is Mode.MINOR else 0)), mode) for sharps in signatures)


# Round the circle of fifths from no accidentals up through the sharps and back through the flats.
# The one tie at six accidentals is spelled as teachers mostly do: F# major, Eb minor (convention).
_CIRCLE_MAJOR = _keys(Mode.MAJOR, range(7)) + _keys(Mode.MAJOR, range(-5, 0))
_CIRCLE_MINOR = _keys(Mode.MINOR, range(6)) + _keys(Mode.MINOR, range(-6, 0))

KEY_SETS = {
    "all": _CIRCLE_MAJOR + _CIRCLE_MINOR,
    "all-major": _CIRCLE_MAJOR,
    "all-minor": _CIRCLE_MINOR,
    "all-30": _keys(Mode.MAJOR, range(-7, 8)) + _keys(Mode.MINOR, range(-7, 8)),
}


_UP_TO = re.compile(r"up to (\d) (sharp|flat|accidental)s?(?: (major|minor))?", re.IGNORECASE)
_ROUND = re.compile(
    r"(?:circle of )?(fifths|fourths|semitones)(?: (major|minor))?(?: from (.+))?", re.IGNORECASE
)
_CHORDS = re.compile(r"[#b]*[IViv]+[\do+]*([\s,-]+[#b]*[IViv]+[\do+]*)*")
_STEPS = {"fifths": 7, "fourths": 5, "semitones": 1}
"""How many semitones above the last each key of a cycle lies; all three come round through twelve keys."""


def parse_keys(texts: tuple[str, ...]) -> tuple[Key, ...]:
    """Return the keys of texts in order, each key once; a text is a key or a set of keys.

    Sets are those of KEY_SETS (`all-major` or `all major`); `up to 3 sharps`, `up to 2 flats minor`,
    `up to 4 accidentals`, which begin without any and put sharps before flats; and the cycles `circle of
    fifths`, `fourths from Eb`, `semitones minor`. A set is major unless it says minor or starts from a minor
    key. Raises RequestError for another text.
    """
    keys: dict[Key, None] = {}
    for text in texts:
        keys.update(dict.fromkeys(_key_set(text) or (_single(text),)))
    return tuple(keys)


def _key_set(text: str) -> tuple[Key, ...]:
    """Return the keys of a named set, none where the text names no set."""
    words = " ".join(re.split(r"[-\s]+", text.strip()))
    named = KEY_SETS.get(words.lower().replace(" ", "-"))
    if named:
        return named
    if match := _UP_TO.fullmatch(words):
        most, kind, mode = match.groups()
        return _up_to(int(most), kind.lower(), Mode((mode or "major").lower()))
    if match := _ROUND.fullmatch(words):
        cycle, mode, first = match.groups()
        start = Key.parse(first or ("a" if mode and mode.lower() == "minor" else "C"))
        start = Key(start.tonic, Mode(mode.lower())) if mode else start
        return _round(start, _STEPS[cycle.lower()])
    return ()


def is_key(text: str) -> bool:
    """Return whether a text is written as a key is, whatever its signature."""
    return bool(_KEY.fullmatch(ascii_accidentals(text.strip())))


def _all_keys(words: list[str]) -> bool:
    return len(words) > 1 and all(map(is_key, words))


def _single(text: str) -> Key:
    try:
        return Key.parse(text)
    except RequestError as fault:
        if "," in text or _all_keys(text.split()):
            words = filter(None, re.split(r"\s*,\s*" if "," in text else r"\s+", text.strip()))
            raise RequestError(f"{text!r} is several keys", each_by_itself("keys", words)) from fault
        if _CHORDS.fullmatch(text.strip()):
            fix = 'a key is a letter like Eb, and chords go first: rungwise show "I IV V" --key Eb'
            raise RequestError(f"{text!r} is chords, not a key", fix) from fault
        if text.lower().startswith(("all", "every")):
            raise RequestError(
                f"{text!r} is no set of keys", f"the sets are {', '.join(KEY_SETS)}"
            ) from fault
        near = _near_set(text)
        if not near or is_key(text):
            raise
        raise RequestError(f"{text!r} is no key and no set of keys", f"did you mean {near}?") from fault


def _near_set(text: str) -> str:
    sets = (
        *KEY_SETS,
        "circle of fifths",
        "fifths",
        "fourths",
        "semitones",
        "up to 3 sharps",
        "up to 3 flats",
    )
    return next(iter(near_names(text, sets, 1)), "")


def _up_to(most: int, kind: str, mode: Mode) -> tuple[Key, ...]:
    if most > 7:
        raise RequestError(f"up to {most} {kind}s: a signature has at most 7")
    counts = [0]
    for count in range(1, most + 1):
        counts += [count] * (kind != "flat") + [-count] * (kind != "sharp")
    return tuple(_keys(mode, range(count, count + 1))[0] for count in counts)


def _round(start: Key, step: int) -> tuple[Key, ...]:
    circle = _CIRCLE_MINOR if start.mode is Mode.MINOR else _CIRCLE_MAJOR
    by_pitch = {key.tonic.fifths * 7 % 12: key for key in circle}
    first = start.tonic.fifths * 7 % 12
    return start, *(by_pitch[(first + number * step) % 12] for number in range(1, 12))
