"""The one table of what may be asked of a drill: a row an option.

From it follow the command line of every command, its help and its completions (`tracks.cli.options`), the
fields of lessons and levels and their JSON schemas (`tracks.lessons`), the command that shows a pack's notes,
and what reaches the Drill (`tracks.drill.request`). To add an option, add a row here and the code that obeys
it: the field of the Drill, which holds its default, and whatever reads that field.

Conventions
- An option has one name, its lesson's: words with hyphens, a list in the plural. Faults know it by this name.
- Its default is the Drill's. `usual` says in words what holds where it is left open until the style, the
  progression or the meter is known.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from enum import Enum
from functools import partial
from typing import Any, NamedTuple

from tracks.drill import kinds, ladder
from tracks.drill.drill import TURNS, BuildUp, Climb, Drill, Ending, Form
from tracks.drill.kinds import Kind
from tracks.hands.options import HIGHEST_RIGHT, LOWEST_RIGHT, Left, Sevenths
from tracks.model import AudioFormat, PaperSize, Texture
from tracks.theory.errors import read
from tracks.theory.note_names import NoteNames


class Group(Enum):
    """The headings that options stand under in help."""

    HANDS = "Chords and hands"
    SOUND = "Sound and style"
    TEMPOS = "Tempos and mixes"
    FILES = "Files and paper"


class Option(NamedTuple):
    """An option: its name, its kind of value and what it is for; then where it is said, where not everywhere.

    `commands` take it; `flag` is its name there, without dashes, `short` its letter. A lesson's drill says
    it unless `lesson` is False. `level` is its name in a level, where a list of what is played in turn has
    its own; None where a level does not say it. `field` is the Drill's field that it fills as it stands;
    None where the request works that out. `once` is its former name, still read; `spoken` what people
    say.
    """

    name: str
    kind: Kind
    help: str
    group: Group | None = None
    commands: tuple[str, ...] = ("make",)
    flag: str = ""
    short: str = ""
    lesson: bool = True
    level: str | None = ""
    field: str | None = ""
    usual: str = ""
    once: str = ""
    spoken: tuple[str, ...] = ()
    complete: Callable[[str], list[str]] | None = None

    @property
    def at_prompt(self) -> str:
        """The option's name at the prompt, without dashes."""
        return self.flag or self.name

    @property
    def in_level(self) -> str:
        """The option's name in a level; empty where a level does not say it."""
        return "" if self.level is None else self.level or self.name

    @property
    def drill_field(self) -> str:
        """The Drill's field that the option fills as it stands; empty where the request works it out."""
        return "" if self.field is None else self.field or self.name.replace("-", "_")

    @property
    def drill_default(self) -> object:
        """What the Drill's field holds where the option is left out; None where it fills none."""
        held = Drill.__dataclass_fields__.get(self.drill_field)
        return held.default if held else None

    @property
    def default(self) -> str:
        """What holds where the option is left out, in words; empty where that goes without saying."""
        if self.usual or not self.drill_field:
            return self.usual
        value = self.drill_default
        if isinstance(value, bool):
            return self.name if value else ""
        return "" if value is None or isinstance(value, tuple) else self.kind.say(value)

    @property
    def described(self) -> str:
        """What the option is for, and its default."""
        return f"{self.help} [default: {self.default}]" if self.default else self.help


def _progressions(begun: str) -> list[str]:
    from tracks.progression.library import LIBRARY

    return [entry.name for entry in LIBRARY if entry.name.startswith(begun)]


def _keys(begun: str) -> list[str]:
    from tracks.theory.key import KEY_SETS

    names = [*KEY_SETS, *(key.folder for key in KEY_SETS["all-30"])]
    return [name for name in names if name.lower().startswith(begun.lower())]


def _styles(begun: str) -> list[str]:
    from tracks.style.registry import names

    return [name for name in names() if name.startswith(begun)]


_BOTH = ("show", "make")
_LOW, _HIGH = ladder.USUAL[0], ladder.USUAL[-1]

PROGRESSION = Option(
    "progression", kinds.TEXT._replace(metavar="PROGRESSION"),
    'Chords as text ("I vi IV V7", "1 6 4 57", "| Dm7 G7 | C |"), a name from `rungwise progressions`, or a '
    "file: RomanText (.rntxt) or a lead sheet in MusicXML (.musicxml, .mxl, .xml).",
    commands=_BOTH, level="progressions", field=None, complete=_progressions,
)  # fmt: skip
"""What everything else is asked of; at the prompt it has no dashes."""

OPTIONS: Sequence[Option] = (
    Option(
        "keys", kinds.KEYS,
        'A key: Eb, "F# minor", c (small is minor); or a set: all-major, all-minor, all, all-30, '
        '"up to 3 sharps", "circle of fifths", "fourths from Eb", semitones.',
        Group.HANDS, _BOTH, flag="key", short="k", field=None, complete=_keys,
        usual="that of the progression", spoken=("keys", "key", "transpose", "tonality"),
    ),
    Option(
        "texture",
        kinds.choice(Texture, once={"hands-together": Texture.DOUBLED.value})._replace(
            spoken={
                **dict.fromkeys(("parallel", "octaves", "together", "unison", "both"), Texture.DOUBLED.value),
                **dict.fromkeys(("satb", "chorale", "4-part", "four"), Texture.FOUR_PART.value),
                **dict.fromkeys(("bass", "left-bass"), Texture.OVER_BASS.value),
            }
        ),
        "What the hands do: the left doubles the right an octave below, chords over a bass line, or "
        "four-part keyboard style by the rules of part-writing.",
        Group.HANDS, _BOTH, short="t", level="textures", usual="the style's first",
    ),
    Option(
        "start", kinds.START,
        "The inversion of the right hand's first chord; all makes one of each.",
        Group.HANDS, _BOTH, level="starts", spoken=("inversion", "position"),
        usual="root; in four parts what suits the ending",
    ),
    Option(
        "meter", kinds.METER, "A time signature, like 6/8, C or C|.",
        Group.HANDS, _BOTH, short="m", field=None, usual="the file's, else 4/4",
    ),
    Option(
        "bars", kinds.TEXT._replace(metavar="FIRST-LAST"),
        "Only these measures of a progression's file, like 5-12.", Group.HANDS, _BOTH, field=None,
    ),
    Option(
        "sevenths", kinds.choice(Sevenths, once={"keep-third": Sevenths.GUIDE_TONES.value}),
        "Seventh chords: three notes with the guide tones, third and seventh; three without third or fifth, "
        "whichever is smoothest; or all four.",
        Group.HANDS, _BOTH, usual="guide-tones",
    ),
    Option(
        "range", kinds.RANGE, "The notes that the right hand stays within.",
        Group.HANDS, _BOTH, field=None, usual=f"{LOWEST_RIGHT}-{HIGHEST_RIGHT}",
    ),
    Option(
        "hand", kinds.SPAN,
        "The widest span that the hand holds at ease: octave, 9th, m10, or half steps from 12 up. Wider "
        "voicings are never given.",
        Group.HANDS, _BOTH,
    ),
    Option(
        "left", kinds.choice(Left),
        "The left hand over a bass: the bass line alone, or shells, the bass with the third or seventh.",
        Group.HANDS, _BOTH,
    ),
    Option(
        "spread", kinds.YES_NO,
        "Spread voicings over a bass, for advanced players: the second voice from the top drops an octave, "
        "into the left hand.",
        Group.HANDS, _BOTH,
    ),
    Option(
        "written-in", kinds.KEY,
        "The key that the chord symbols are written in, to transpose them to the keys asked for.",
        Group.HANDS, _BOTH,
    ),
    Option(
        "note-names",
        kinds.choice(NoteNames)._replace(
            spoken={"deutsch": "german", "de": "german", "en": "english", "us": "english", "uk": "british"}
        ),
        "The names that you write and read: English; British, with crotchets and semitones; or German, "
        "with H, Es and c-Moll. File names and JSON stay English.",
        Group.HANDS, _BOTH,
    ),
    Option(
        "style", kinds.TEXT._replace(metavar="STYLE"),
        "A style from `rungwise styles`, or the path of a .py file.",
        Group.SOUND, short="s", level="styles", complete=_styles,
    ),
    Option(
        "band", kinds.TEXT._replace(metavar="STYLE"),
        "A band under an improvised tune: the bass, drums and comping of this style.",
        Group.SOUND, complete=_styles,
    ),
    Option("level", kinds.WHOLE, "The style's grade, from 1, the easiest.", Group.SOUND),
    Option(
        "feel", kinds.YES_NO,
        "Play as a band does, with swing, weighted beats and small chance; or exactly as written.",
        Group.SOUND, usual="feel in band styles only", once="touch",
    ),
    Option("without", kinds.PARTS, "Leave a part of the band out.", Group.SOUND),
    Option(
        "lead-in", kinds.YES_NO,
        "A drum fill in the last bar of the count-in, instead of bare clicks.", Group.SOUND,
    ),
    Option("seed", kinds.WHOLE, "Another number gives another tune.", Group.SOUND),
    Option(
        "audio", kinds.choice(AudioFormat),
        "Also a sound file beside every MIDI file, to play on a phone; all are equally loud.", Group.SOUND,
        spoken=("mp3", "wav", "sound"),
    ),
    Option(
        "audio-only", kinds.YES_NO, "Only the sound files, without MIDI.", Group.SOUND,
    ),
    Option(
        "from", kinds.TEMPO, "The slowest tempo, in felt beats a minute.",
        Group.TEMPOS, level=None, field=None, usual=f"{_LOW}",
    ),
    Option(
        "to", kinds.TEMPO, "The fastest tempo.",
        Group.TEMPOS, level=None, field=None, usual=f"{_HIGH}",
    ),
    Option(
        "step", kinds.WHOLE, "Climb by so many beats a minute.",
        Group.TEMPOS, level=None, field=None, usual=f"{ladder.USUAL_STEP}", spoken=("by",),
    ),
    Option(
        "rungs", kinds.WHOLE, "Climb in so many tempos, each the same ratio faster.",
        Group.TEMPOS, level=None, field=None,
    ),
    Option(
        "marks", kinds.YES_NO, "Climb by the metronome's traditional marks.",
        Group.TEMPOS, level=None, field=None,
    ),
    Option(
        "tempos", kinds.TEMPOS, "A tempo, instead of a ladder: 72, half=60, dotted-quarter=60.",
        Group.TEMPOS, flag="tempo", level=None, field=None, spoken=("bpm", "speed", "tempos", "tempo"),
    ),
    Option(
        "mixes", kinds.MIXES, f"What sounds: {', '.join(kinds.MIXES.words)}.",
        Group.TEMPOS, flag="mix", level=None, usual="all that sound different",
        spoken=("hands", "mixes", "mix"),
    ),
    Option(
        "count-in", kinds.BARS, "Bars of click first.", Group.TEMPOS, usual="1, or 2 of short bars",
    ),
    Option("click", kinds.YES_NO, "Let the click go on through the music, or not.", Group.TEMPOS),
    Option("repeats", kinds.WHOLE, "Times played in all.", Group.TEMPOS),
    Option(
        "form", kinds.choice(Form),
        "Who plays when: the track throughout; track and you in turn, two bars or four (trading fours) each, "
        "the band going on; echo, where the track plays and then waits; or the melody left out, for you to "
        "improvise.",
        Group.TEMPOS,
    ),
    Option(
        "turn", kinds.WHOLE._replace(metavar="|".join(map(str, TURNS))),
        "Bars in a turn of call-and-response or echo.", Group.TEMPOS, usual="2",
    ),
    Option(
        "ending",
        kinds.choice(Ending)._replace(
            spoken=dict.fromkeys(("rit", "rit.", "rall", "rallentando", "slower"), Ending.RITARDANDO.value)
        ),
        "How it ends: on the last chord, held; with a ritardando into it; or, where a band plays, with a tag "
        "(the last cadence again) or a stop (the last bar in stop time, the last chord short). The practice "
        "page goes round and has none.",
        Group.TEMPOS,
    ),
    Option(
        "climb", kinds.choice(Climb),
        "Also one file that climbs the whole ladder, a count-in before each tempo: a file for each mix, or "
        "one with right, left and both hands in turn at every tempo.",
        Group.TEMPOS, level=None,
    ),
    Option(
        "build-up", kinds.choice(BuildUp),
        "Also a file that adds one chord at a time, from the first forwards or from the last backwards.",
        Group.TEMPOS,
    ),
    Option(
        "key-cycle", kinds.YES_NO,
        'Also one file through all the keys in their order, as in "fourths from C", with a bar of click to '
        "change hands.",
        Group.TEMPOS, level=None,
    ),
    Option(
        "sheet", kinds.YES_NO,
        "Also an engraved sheet for every key (PDF, and MusicXML to edit), and one PDF of all.", Group.FILES,
        spoken=("pdf", "print", "sheets"),
    ),
    Option(
        "large-print", kinds.YES_NO, "Set the sheet in large print, for young or low-vision readers.",
        Group.FILES,
    ),
    Option(
        "explain", kinds.YES_NO,
        "Tell on the sheet, under every note of an improvised tune, what it does: chord tone, passing tone, "
        "approach.",
        Group.FILES,
    ),
    Option(
        "paper", kinds.choice(PaperSize), "The size of paper to print on.",
        Group.FILES, usual="letter where your locale prints on it, else a4",
    ),
    Option(
        "page", kinds.YES_NO,
        "Also a practice page: one HTML file of all keys that plays, listens and waits, in any browser.",
        Group.FILES,
    ),
    Option(
        "stems", kinds.YES_NO,
        "Also every part in a file of its own at the top tempo, and a zip of them, for a sequencer.",
        Group.FILES,
    ),
    Option(
        "audio-stems", kinds.choice(AudioFormat),
        "Also every part as a sound file by itself at the top tempo, from bar one, for a sequencer.",
        Group.FILES,
    ),
    Option(
        "gm-reset", kinds.YES_NO,
        "Begin every MIDI file with a General MIDI reset, and choose programs with their bank.", Group.FILES,
    ),
    Option(
        "type", kinds.WHOLE._replace(metavar="0|1"),
        "The MIDI file type: 1, or 0 for pianos that read only that.", Group.FILES, field="midi_type",
    ),
    Option(
        "short-names", kinds.YES_NO,
        "File names of 8 letters and 3, for old digital pianos; most want MIDI type 0 too.", Group.FILES,
    ),
    Option(
        "name", kinds.TEXT._replace(metavar="NAME"), "The folder's name: letters, digits, - and _.",
        Group.FILES, field=None, usual="from the progression",
    ),
)  # fmt: skip
"""Every option of a drill, in the order of help. A level's weeks have their own tempos, mixes and climbs."""

TUNES = "improvise"
"""The style whose tunes are told."""
WHICH_TUNE = ("level", "seed", "repeats", "form", "turn")
"""The options that say which of them it is."""

BY_NAME: Mapping[str, Option] = {option.name: option for option in (PROGRESSION, *OPTIONS)}
_ONCE: Mapping[str, Option] = {option.once: option for option in OPTIONS if option.once}


def of_command(command: str) -> tuple[Option, ...]:
    """Return the options that a command takes, in the order of help."""
    return tuple(option for option in OPTIONS if command in option.commands)


def former(known: Mapping[str, Option]) -> Mapping[str, Option]:
    """Return the options, of those known, that once had another name, by that name."""
    return {old: option for old, option in _ONCE.items() if option.name in known}


def today(given: Mapping[str, Any]) -> dict[str, Any]:
    """Return options in today's names; an option said in both is taken from today's."""
    renamed = {_ONCE[name].name: value for name, value in given.items() if name in _ONCE}
    return renamed | {name: value for name, value in given.items() if name not in _ONCE}


def remarks_on(given: Mapping[str, object]) -> Iterator[tuple[str, str]]:
    """Yield the name of every option said in a former name or word, and what to write now."""
    for name, value in given.items():
        if name in _ONCE:
            yield name, f"{name} is now called {_ONCE[name].name}"
        option = BY_NAME.get(name)
        for word in value if isinstance(value, list | tuple) else (value,):
            if option and isinstance(word, str) and word in option.kind.once:
                yield name, f"{name} {word} is now called {option.kind.once[word]}"


def meaning(name: str, value: object, names: NoteNames = NoteNames.ENGLISH) -> Any:
    """Return what is meant by the value of an option, with notes and keys in whosever names.

    Raises RequestError at the option where nothing is meant.
    """
    return read(name, partial(kinds.meaning, BY_NAME[name].kind, names=names), value)
