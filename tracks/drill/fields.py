"""The fields by which a lesson says what a drill is: the words of the command line, in a file.

Format of FIELDS: name, what it is for, its shape, and the words that may stand in it where they are few.
A field is called as the option is, without dashes; a list takes its plural. The reader, the JSON schema and
the starter's test all take the table as it stands here.
"""

from collections.abc import Mapping
from enum import Enum
from typing import Any, NamedTuple

from tracks.drill.drill import BuildUp, Climb, Form, Mix
from tracks.drill.request import LadderOptions, Request
from tracks.hands.options import Left, Sevenths, Start
from tracks.model import AudioFormat, Texture
from tracks.theory.errors import RequestError, correction


class Shape(Enum):
    """What may stand in a field."""

    TEXT = "text in quotes"
    WHOLE = "a whole number"
    YES_NO = "true or false"
    TEXTS = "text in quotes, or a list of them"
    TEMPO = 'a whole number, or text like "half=60"'
    TEMPOS = "a whole number, or a list of them"


class Field(NamedTuple):
    """A field: what it is for, its shape, and the words allowed where they are few."""

    about: str
    shape: Shape
    words: tuple[str, ...] = ()


def _values(choices: type[Enum]) -> tuple[str, ...]:
    return tuple(choice.value for choice in choices)


FIELDS: Mapping[str, Field] = {
    "name": Field("The folder's name: letters, digits, - and _. Left out, it comes from the progression.", Shape.TEXT),
    "progression": Field("Chords as text, a name from `rungwise progressions`, or the path of a file.", Shape.TEXT),
    "bars": Field("Only these measures of a progression's file, like 5-12.", Shape.TEXT),
    "keys": Field('A key, a list of keys, or a set such as "all major", "up to 3 sharps", "circle of fifths".', Shape.TEXTS),
    "written-in": Field("The key that chord symbols are written in, to transpose them.", Shape.TEXT),
    "meter": Field("A time signature, such as 4/4.", Shape.TEXT),
    "texture": Field("What the hands do.", Shape.TEXT, _values(Texture)),
    "start": Field("The inversion of the right hand's first chord; all makes one drill of each.", Shape.TEXT, (*_values(Start), "all")),
    "sevenths": Field("How seventh chords are played.", Shape.TEXT, (*_values(Sevenths), "keep-third")),
    "range": Field("The notes that the right hand stays within, like F3-C6.", Shape.TEXT),
    "hand": Field("The widest span that the hand holds at ease: octave, 9th, m10, or half steps.", Shape.TEXT),
    "left": Field("The left hand over a bass: the bass line, or shells on it.", Shape.TEXT, _values(Left)),
    "spread": Field("Spread voicings over a bass, for advanced players.", Shape.YES_NO),
    "style": Field("A style from `rungwise styles`, or the path of a .py file.", Shape.TEXT),
    "level": Field("The style's grade, from 1, the easiest.", Shape.WHOLE),
    "tempos": Field("Every tempo, in felt beats a minute, instead of a ladder.", Shape.TEMPOS),
    "from": Field("The slowest tempo of the ladder.", Shape.TEMPO),
    "to": Field("The fastest tempo of the ladder.", Shape.TEMPO),
    "step": Field("Climb by so many beats a minute.", Shape.WHOLE),
    "rungs": Field("Climb in so many tempos, each the same ratio faster.", Shape.WHOLE),
    "marks": Field("Climb by the metronome's traditional marks.", Shape.YES_NO),
    "mixes": Field("Which parts sound.", Shape.TEXTS, (*_values(Mix), "all")),
    "count-in": Field("Bars of click first.", Shape.WHOLE),
    "click": Field("Whether the click goes on through the music.", Shape.YES_NO),
    "repeats": Field("Times played in all.", Shape.WHOLE),
    "seed": Field("Another number gives another tune.", Shape.WHOLE),
    "feel": Field("Whether parts are played as a band would or as written. Left out, the style says.", Shape.YES_NO),
    "without": Field("Parts of the band that keep silent.", Shape.TEXTS),
    "lead-in": Field("Whether the drums lead in at the end of the count-in.", Shape.YES_NO),
    "form": Field("Who plays when: the track throughout, or you in turn with it or over it.", Shape.TEXT, _values(Form)),
    "turn": Field("Bars in a turn of call-and-response or echo: 2 or 4.", Shape.WHOLE),
    "type": Field("The MIDI file type: 1, or 0 for pianos that read only that.", Shape.WHOLE),
    "climb": Field("Also one file that climbs the whole ladder.", Shape.TEXT, _values(Climb)),
    "build-up": Field("Also a file that adds one chord at a time.", Shape.TEXT, _values(BuildUp)),
    "key-cycle": Field("Also one file through all the keys, with a bar to change hands.", Shape.YES_NO),
    "stems": Field("Also every part in a file of its own, and a zip of them.", Shape.YES_NO),
    "sheet": Field("Also an engraved sheet for every key, as PDF and MusicXML.", Shape.YES_NO),
    "large-print": Field("Set the sheet in large print.", Shape.YES_NO),
    "audio": Field("Also every file as sound.", Shape.TEXT, _values(AudioFormat)),
    "short-names": Field("File names of 8 letters and 3, for old digital pianos.", Shape.YES_NO),
}  # fmt: skip

OPTIONS = {"keys": "key", "tempos": "tempo", "mixes": "mix"}
"""The options that have another name than their field."""

_ATTRIBUTES = {"range": "hand_range", "type": "midi_type", "from": "slowest", "to": "fastest"}
_LADDER = ("tempos", "from", "to", "step", "rungs", "marks")
_WAYS_UP = ("step", "rungs", "marks")
_ENUMS: Mapping[str, type[Enum]] = {
    "texture": Texture,
    "sevenths": Sevenths,
    "left": Left,
    "climb": Climb,
    "form": Form,
    "audio": AudioFormat,
    "build-up": BuildUp,
}


def checked(field: Field, value: object) -> object:
    """Return the value of a field, lists as tuples; raise RequestError where it has not the field's shape."""
    many = isinstance(value, list) and field.shape in (Shape.TEXTS, Shape.TEMPOS)
    values = value if isinstance(value, list) and many else [value]
    for each in values:
        if type(each) not in _TYPES[field.shape]:
            raise RequestError(f"{_plain(each)} is not {field.shape.value}")
        if field.words and each not in field.words:
            raise RequestError(f"{each!r} is none of its words; {correction(str(each), field.words)}")
    if field.shape in (Shape.TEXTS, Shape.TEMPOS):
        if not values:
            raise RequestError(f"an empty list; give {field.shape.value}")
        return tuple(map(str, values))
    return str(value) if field.shape is Shape.TEMPO else value


def with_defaults(given: Mapping[str, object], defaults: Mapping[str, object]) -> dict[str, object]:
    """Return a drill's fields over the lesson's defaults.

    A drill that says how its tempos go takes no other way of saying so from the defaults.
    """
    dropped: set[str] = set()
    if "tempos" in given:
        dropped.update(_LADDER)
    elif any(name in given for name in _LADDER):
        dropped.add("tempos")
    if any(name in given for name in _WAYS_UP):
        dropped.update(_WAYS_UP)
    return {name: value for name, value in defaults.items() if name not in dropped} | dict(given)


def request_of(fields: Mapping[str, object]) -> Request:
    """Return what checked fields ask for, in the words of the command line's own request."""
    asked: dict[str, Any] = {}
    tempos: dict[str, Any] = {}
    for name, value in fields.items():
        meant = _ENUMS[name](value) if name in _ENUMS else value
        into = tempos if name in _LADDER else asked
        into[_ATTRIBUTES.get(name, name.replace("-", "_"))] = meant
    return Request(**asked, tempos=LadderOptions(**tempos))


_TYPES: Mapping[Shape, tuple[type, ...]] = {
    Shape.TEXT: (str,),
    Shape.WHOLE: (int,),
    Shape.YES_NO: (bool,),
    Shape.TEXTS: (str,),
    Shape.TEMPO: (int, str),
    Shape.TEMPOS: (int, str),
}


def _plain(value: object) -> str:
    """Return a value as TOML has it."""
    return str(value).lower() if isinstance(value, bool) else repr(value)
