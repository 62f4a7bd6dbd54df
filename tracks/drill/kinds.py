"""Kinds of values: what may stand for an option, how it is checked, and what it means.

Conventions
- A value has a *shape*: what a lesson's TOML writes for it. The command line's words are brought to the same
  shape, so that from there on nothing asks where a value came from.
- A value of the right shape is still words; `Kind.read` gives what they mean: a key, a span, a mix.
- Words that once stood for another are still read (`Kind.once`); words that people use for one of them help
  to tell what was meant (`Kind.spoken`).
"""

import re
from collections.abc import Callable, Mapping, Sequence
from enum import Enum
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

from tracks.drill.drill import BAND, Mix
from tracks.hands.options import OCTAVE, Start
from tracks.model import Role
from tracks.theory.errors import RequestError, correction, near_names
from tracks.theory.key import Key, parse_keys
from tracks.theory.meter import Meter
from tracks.theory.note_names import NoteNames
from tracks.theory.pitch import Interval, Pitch

_LARGEST = 10**12

NO_WORDS: Mapping[str, str] = MappingProxyType({})


class Shape(Enum):
    """What may be written for a value."""

    TEXT = "text in quotes"
    WHOLE = "a whole number"
    YES_NO = "true or false"
    TEXTS = "text in quotes, or a list of them"
    TEMPO = 'a whole number, or text like "half=60"'
    TEMPOS = "a whole number, or a list of them"

    @property
    def is_many(self) -> bool:
        """Whether a list may be written."""
        return self in (Shape.TEXTS, Shape.TEMPOS)


def _same(value: Any) -> Any:
    return value


def _as_written(_names: NoteNames, text: str) -> str:
    return text


def _said(value: Any) -> str:
    return str(value.value if isinstance(value, Enum) else value)


class Kind(NamedTuple):
    """A kind of value: its shape, what it means, and the words that it takes where they are few.

    `english` gives its text in English where notes or keys stand in it in other names.
    """

    shape: Shape
    metavar: str = ""
    read: Callable[[Any], Any] = _same
    say: Callable[[Any], str] = _said
    words: tuple[str, ...] = ()
    once: Mapping[str, str] = NO_WORDS
    spoken: Mapping[str, str] = NO_WORDS
    english: Callable[[NoteNames, str], str] = _as_written


def choice(choices: type[Enum], more: Sequence[str] = (), once: Mapping[str, str] = NO_WORDS) -> Kind:
    """Return the kind of one word out of a few."""
    words = (*(each.value for each in choices), *more)
    return Kind(Shape.TEXT, "|".join(words), read=choices, words=words, once=once)


def shaped(kind: Kind, value: object) -> Any:
    """Return a value as written, lists as tuples, in today's words.

    Raises RequestError where it has not the kind's shape, or is none of its words.
    """
    many = isinstance(value, list | tuple) and kind.shape.is_many
    values: Sequence[object] = value if isinstance(value, list | tuple) and many else (value,)
    for each in values:
        if type(each) not in _TYPES[kind.shape]:
            raise RequestError(f"{_plain(each)} is not {kind.shape.value}", _in_shape(kind.shape, each))
        if isinstance(each, int) and abs(each) > _LARGEST:
            raise RequestError("this number is too large for anything here", "check it")
        if kind.words and each not in kind.words and each not in kind.once:
            raise RequestError(f"{each!r} is no choice", _choices_meant(kind, str(each)))
    if not kind.shape.is_many:
        return kind.once.get(str(value), str(value)) if isinstance(value, str) else _number(kind, value)
    if not values:
        raise RequestError("an empty list", f"give {kind.shape.value}")
    return tuple(kind.once.get(str(each), str(each)) for each in values)


def _in_shape(shape: Shape, value: object) -> str:
    """Return how a value of another shape is written in this one; nothing where that cannot be told."""
    if shape is Shape.WHOLE and isinstance(value, str) and value.isdecimal():
        return f"leave out the quotes: {value}"
    if shape is Shape.YES_NO:
        return next((f"write {word}" for word, said in _YES_NO.items() if str(value).lower() in said), "")
    if shape is Shape.TEXT and isinstance(value, list) and all(isinstance(each, str) for each in value):
        return f'write "{" ".join(value)}"'
    return f'write "{value}"' if isinstance(value, int) and shape in (Shape.TEXT, Shape.TEXTS) else ""


_YES_NO = {"true": ("yes", "on", "true", "1", "y"), "false": ("no", "off", "false", "0", "none", "n")}


def _choices_meant(kind: Kind, said: str) -> str:
    """Return which of a kind's words was meant, or which several."""
    several = [_choice_meant(kind, each.strip()) for each in said.split(",")]
    if kind.shape.is_many and len(several) > 1 and all(several):
        return f"name each by itself: {' and '.join(several)}"
    return correction(_choice_meant(kind, said) or said, kind.words)


def _choice_meant(kind: Kind, said: str) -> str:
    plain = "-".join(said.lower().split())
    return kind.spoken.get(plain) or next(iter(near_names(said, kind.words, 1)), "")


def meaning(kind: Kind, value: object, names: NoteNames = NoteNames.ENGLISH) -> Any:
    """Return what is meant by a value as written, in whosever names; raise RequestError where nothing is."""
    given = shaped(kind, value)
    if isinstance(given, tuple):
        return kind.read(tuple(kind.english(names, each) for each in given))
    return kind.read(kind.english(names, given))


def from_prompt(kind: Kind, words: str | Sequence[str] | bool) -> Any:
    """Return what the command line's words say, in the kind's shape; raise RequestError as `shaped` does."""
    if kind.shape is not Shape.WHOLE:
        return shaped(kind, words)
    try:
        return int(str(words))
    except ValueError:
        raise RequestError("this takes a whole number, like 2") from None


def _number(kind: Kind, value: object) -> object:
    return str(value) if kind.shape is Shape.TEMPO else value


def _plain(value: object) -> str:
    """Return a value as TOML has it."""
    return str(value).lower() if isinstance(value, bool) else repr(value)


_TYPES: Mapping[Shape, tuple[type, ...]] = {
    Shape.TEXT: (str,),
    Shape.WHOLE: (int,),
    Shape.YES_NO: (bool,),
    Shape.TEXTS: (str,),
    Shape.TEMPO: (int, str),
    Shape.TEMPOS: (int, str),
}

_SMALLEST_IN_HALF_STEPS = OCTAVE
EVERY = "all"
"""The word for all of a few choices."""


def starts(text: str) -> tuple[Start, ...]:
    """Return the inversions that a start asks for: one, or all."""
    return tuple(Start) if text == EVERY else (Start(text),)


def mixes(texts: Sequence[str]) -> tuple[Mix, ...]:
    """Return the mixes named, each once, in the order of the list."""
    return tuple(mix for mix in Mix if EVERY in texts or mix.value in texts)


def band_parts(texts: Sequence[str]) -> tuple[Role, ...]:
    """Return the parts of the band named, each once."""
    return tuple(role for role in BAND if role.value in texts)


def hand_range(text: str) -> tuple[Pitch, Pitch]:
    """Return the lowest and highest note of a text such as `F3-C6`."""
    low, dash, high = text.partition("-")
    if not dash:
        raise RequestError(f"{text!r}: write the lowest and the highest note, like F3-C6")
    return Pitch.parse(low.strip()), Pitch.parse(high.strip())


def hand_span(text: str) -> int:
    """Return the half steps of a hand's span: `octave`, `9th` (the major one), `m10`, or 12 of them and more.

    A smaller bare number is refused: who writes 9 means a ninth as likely as nine half steps.
    """
    words = text.strip()
    if words.lower() in MIXES.spoken:
        mix = MIXES.spoken[words.lower()]
        raise RequestError(f"{text!r} is no span", f'which hands play is the mix: mixes = "{mix}"')
    if words.isdecimal() and len(words) < 4:
        if int(words) < _SMALLEST_IN_HALF_STEPS:
            raise RequestError(
                f"{words}: half steps count from {_SMALLEST_IN_HALF_STEPS}, an octave, up",
                "write 9th for a ninth, or 7th or m6 for a smaller hand",
            )
        return int(words)
    ordinal = re.fullmatch(r"(\d{1,2})(?:th|st|nd|rd)", words)
    name = "P8" if words in (_OCTAVE, "8ve") else ordinal[1] if ordinal else words
    for quality in ("P", "M", "") if ordinal else ("",):
        try:
            return Interval.parse(quality + name).semitones
        except RequestError:
            continue
    raise RequestError(f"{text!r} is no span", "write one like octave, 9th, m10, or half steps from 12 up")


_OCTAVE = "octave"


def _span(half_steps: int) -> str:
    return _OCTAVE if half_steps == OCTAVE else str(half_steps)


TEXT, WHOLE, YES_NO = Kind(Shape.TEXT, "TEXT"), Kind(Shape.WHOLE, "NUMBER"), Kind(Shape.YES_NO)
BARS = Kind(Shape.WHOLE, "BARS")
FILE, FOLDER = Kind(Shape.TEXT, "FILE", read=Path), Kind(Shape.TEXT, "FOLDER", read=Path)
KEY = Kind(Shape.TEXT, "KEY", Key.parse, english=NoteNames.english_key)
KEYS = Kind(Shape.TEXTS, "KEY", parse_keys, english=NoteNames.english_key)
METER = Kind(Shape.TEXT, "METER", Meter.parse)
TEMPO, TEMPOS = Kind(Shape.TEMPO, "BPM"), Kind(Shape.TEMPOS, "BPM")
SPAN = Kind(Shape.TEXT, "SPAN", hand_span, _span)
RANGE = Kind(Shape.TEXT, "LOW-HIGH", hand_range, english=NoteNames.english)
START = choice(Start, (EVERY,))._replace(
    read=starts,
    spoken={
        "0": "root",
        "1": "first",
        "2": "second",
        "1st": "first",
        "2nd": "second",
        "6": "first",
        "64": "second",
        "first-inversion": "first",
        "second-inversion": "second",
        "root-position": "root",
    },
)
MIXES = Kind(
    Shape.TEXTS,
    "MIX",
    mixes,
    words=(*(mix.value for mix in Mix), EVERY),
    once={"split": Mix.PANNED_APART.value},
    spoken={
        "both": "hands-together",
        "both-hands": "hands-together",
        "right": "right-alone",
        "right-hand": "right-alone",
        "rh": "right-alone",
        "left": "left-alone",
        "left-hand": "left-alone",
        "lh": "left-alone",
    },
)
PARTS = Kind(
    Shape.TEXTS, "|".join(role.value for role in BAND), band_parts, words=tuple(role.value for role in BAND)
)
