"""Drill: what a teacher asks for, checked.

Conventions
- `tempos` are felt beats a minute, ascending, each once.
- `low` and `high` bound the right hand (inclusive); `hand` is the widest span of a hand, in semitones.
- `feel` plays parts as a band would, or as written; None leaves it to the style.
- `without` are the parts of the band left out; `lead_in` fills the last bar of the count-in on the drums.
- `mixes` are written even where two of them sound alike; None are all that sound different.
- `number` is the drill's place in its lesson, where short names need it to be told from the others.
- `progression` is the text as written (see `tracks.progression.text` for how it is read), or the lead sheet
  that a file holds.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from enum import Enum

from tracks.hands.options import HIGHEST_RIGHT as HIGHEST_RIGHT
from tracks.hands.options import LOWEST_RIGHT as LOWEST_RIGHT
from tracks.hands.options import OCTAVE, VoicingOptions
from tracks.hands.options import Left as Left
from tracks.hands.options import Sevenths as Sevenths
from tracks.hands.options import Start as Start
from tracks.model import AudioFormat, PaperSize, Role, Texture
from tracks.progression.lead_sheet import LeadSheet
from tracks.progression.music import headline
from tracks.theory.errors import RequestError, read
from tracks.theory.key import Key
from tracks.theory.meter import Meter
from tracks.theory.names import check_portable
from tracks.theory.note_names import NoteNames
from tracks.theory.pitch import Pitch
from tracks.theory.tempo import check_bpm

MOST_COUNT_IN_BARS = 8
MOST_REPEATS = 64
MOST_TOLD_SHORTLY = 26
"""How many drills of a lesson short names have a letter for."""
TURNS = (2, 4)
"""Bars of a turn."""

_NAME = re.compile(r"[A-Za-z0-9_-]{1,80}")


class Mix(Enum):
    """Which parts sound, in the order in which they are practiced."""

    RIGHT_ALONE = "right-alone"
    LEFT_ALONE = "left-alone"
    HANDS_TOGETHER = "hands-together"
    YOU_PLAY_RIGHT = "you-play-right"
    YOU_PLAY_LEFT = "you-play-left"
    PANNED_APART = "panned-apart"


class Climb(Enum):
    """How one file climbs the whole ladder: each mix in its own file, or right, left, both at every rung."""

    EACH_MIX = "each-mix"
    HANDS_IN_TURN = "hands-in-turn"


class Form(Enum):
    """Who plays when: the track throughout, or track and student in turn, or the student over the band."""

    PLAIN = "plain"
    CALL_AND_RESPONSE = "call-and-response"
    TRADING_FOURS = "trading-fours"
    ECHO = "echo"
    MELODY_OUT = "melody-out"


class Ending(Enum):
    """How the music ends: its last chord held, slower into it, the last cadence again, or in stop time."""

    PLAIN = "plain"
    RITARDANDO = "ritardando"
    TAG = "tag"
    STOP = "stop"


class BuildUp(Enum):
    """From which end a progression is built up, a chord at a time."""

    FORWARDS = "forwards"
    BACKWARDS = "backwards"


def check_name(name: str) -> str:
    """Return a pack's name; raise RequestError for one that is not 1 to 80 letters, digits, - and _."""
    if not _NAME.fullmatch(name):
        meant = re.sub(r"[^A-Za-z0-9_-]+", "-", name).strip("-")[:80]
        use = "use 1 to 80 letters, digits, - and _ only"
        raise RequestError(f"{name!r} is no name", f"{use}, like {meant}" if meant else use, "name")
    check_portable(name)
    return name


BAND = (Role.BASS, Role.DRUMS)
"""The parts that can be left out."""


_USUAL = VoicingOptions()
_VOICING = tuple(field.name for field in fields(VoicingOptions))


@dataclass(frozen=True, slots=True)
class Drill:
    """A progression, the keys to play it in, and how; the defaults are those of every option left out."""

    name: str
    progression: str | LeadSheet
    keys: tuple[Key, ...]
    meter: Meter
    tempos: tuple[int, ...]
    style: str = "block"
    level: int = 1
    texture: Texture = _USUAL.texture
    start: Start | None = _USUAL.start
    sevenths: Sevenths = _USUAL.sevenths
    low: Pitch = _USUAL.low
    high: Pitch = _USUAL.high
    mixes: tuple[Mix, ...] | None = None
    count_in: int = 1
    click: bool = True
    repeats: int = 1
    seed: int = 1
    midi_type: int = 1
    written_in: Key | None = None
    feel: bool | None = None
    without: tuple[Role, ...] = ()
    lead_in: bool = False
    climb: Climb | None = None
    build_up: BuildUp | None = None
    key_cycle: bool = False
    stems: bool = False
    gm_reset: bool = False
    short_names: bool = False
    sheet: bool = False
    large_print: bool = False
    explain: bool = False
    paper: PaperSize = PaperSize.A4
    page: bool = False
    audio: AudioFormat | None = None
    audio_stems: AudioFormat | None = None
    audio_only: bool = False
    hand: int = _USUAL.hand
    left: Left = _USUAL.left
    spread: bool = _USUAL.spread
    form: Form = Form.PLAIN
    turn: int | None = None
    ending: Ending = Ending.PLAIN
    number: int = 1
    band: str | None = None
    note_names: NoteNames = NoteNames.ENGLISH

    def __post_init__(self) -> None:
        check_name(self.name)
        if not self.keys or not self.tempos or self.mixes == ():
            raise RequestError(f"drill {self.name}: it needs a key, a tempo and a mix at least")
        for bpm in self.tempos:
            read("tempos", check_bpm, bpm)
        for place, value, lowest, highest in (
            ("count-in", self.count_in, 0, MOST_COUNT_IN_BARS),
            ("repeats", self.repeats, 1, MOST_REPEATS),
            ("type", self.midi_type, 0, 1),
            ("level", self.level, 1, 9),
        ):
            if not lowest <= value <= highest:
                raise RequestError(f"{value} is outside {lowest} to {highest}", place=place)
        self._check_compatible()

    @property
    def voicing(self) -> VoicingOptions:
        """How the hands are asked to voice."""
        return VoicingOptions(**{name: getattr(self, name) for name in _VOICING})

    @property
    def is_heard(self) -> bool:
        """Whether any of its files is audio."""
        return bool(self.audio or self.audio_stems)

    @property
    def headline(self) -> str:
        """What names the progression where there is one line for it: its chords, or the title of a piece."""
        return headline(self.progression)

    @property
    def bars_in_turn(self) -> int | None:
        """The bars of a turn where the form takes turns: as asked, else four when trading fours, else two."""
        if self.form in (Form.PLAIN, Form.MELODY_OUT):
            return None
        return self.turn or (4 if self.form is Form.TRADING_FOURS else 2)

    def _check_form(self) -> None:
        if self.turn is None:
            return
        if self.turn not in TURNS:
            raise RequestError(f"{self.turn}: a turn lasts {' or '.join(map(str, TURNS))} bars", place="turn")
        if self.bars_in_turn is None:
            raise RequestError(f"the form {self.form.value} has no turns", "leave it out", "turn")
        if self.form is Form.TRADING_FOURS and self.turn != 4:
            raise RequestError(
                f"trading fours is in fours, not in turns of {self.turn}",
                "choose the form call-and-response",
                "turn",
            )

    def _check_compatible(self) -> None:
        """Raise RequestError for incompatible options."""
        _ = self.voicing
        self._check_form()
        for role in self.without:
            if role not in BAND:
                raise RequestError(
                    f"only bass and drums go, not the {role.value}", "for a hand choose a mix", "without"
                )
        for option, conflicts, reason, fix in (
            ("lead-in", self.lead_in and not self.count_in, "it is played in the count-in",
             "give a count-in of 1 bar or more"),
            ("climb", self.climb and len(set(self.tempos)) < 2, "one tempo is no ladder",
             "give two or more, or leave it out"),
            ("key-cycle", self.key_cycle and len(set(self.keys)) < 2, "one key is no cycle",
             "give two keys or more, or leave it out"),
            ("audio-only", self.audio_only and not self.audio, "there is no audio", "ask for audio too"),
            ("audio-stems", self.audio_stems is AudioFormat.MP3,
             "an MP3 begins late, and stems begin at bar one", "choose wav, flac or ogg"),
            ("large-print", self.large_print and not self.sheet, "it is the sheet's size",
             "ask for the sheet too"),
            ("explain", self.explain and not self.sheet, "it is told on the sheet", "ask for the sheet too"),
            ("explain", self.explain and self.form is Form.MELODY_OUT, "the melody is left out",
             "choose another form"),
            ("short-names", not 1 <= self.number <= MOST_TOLD_SHORTLY,
             f"they tell {MOST_TOLD_SHORTLY} drills of a lesson apart", "put the rest into a second lesson"),
            ("range", self.high.midi - self.low.midi < OCTAVE,
             f"{self.low} to {self.high} is too small for a hand", "give it an octave at least"),
        ):  # fmt: skip
            if conflicts:
                raise RequestError(reason, fix, option)


def numbered(drills: Iterable[Drill]) -> tuple[Drill, ...]:
    """Return the drills of a lesson, those with short names by their place in it.

    Raises RequestError where it is past the last that short names tell.
    """
    return tuple(
        replace(drill, number=number) if drill.short_names else drill
        for number, drill in enumerate(drills, 1)
    )


def usual_count_in(meter: Meter) -> int:
    """Return the bars of count-in where none are asked for: two where a bar has under three felt beats."""
    return 2 if meter.beats < 3 else 1
