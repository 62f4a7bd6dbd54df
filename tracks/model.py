"""The frozen values that cross from room to room.

Conventions
- Times and lengths are in ticks (see `tracks.theory.meter`); 0 is the start of the piece.
- Velocities are 1 to 127. Programs are 0 to 127, General MIDI's printed number less one.
- A part is a *role* (what it is for), not an instrument: two hands on one piano are two parts.
"""

from dataclasses import dataclass
from datetime import date as Date  # noqa: N812 - a field is called date
from enum import Enum

from tracks.theory.chord import Chord
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import Meter, Time
from tracks.theory.pitch import Pitch, Tone

ACOUSTIC_GRAND_PIANO = 0
CENTER = 64


class Role(Enum):
    """What a part is for."""

    RIGHT = "right hand"
    LEFT = "left hand"
    BASS = "bass"
    DRUMS = "drums"
    MELODY = "melody"
    CLICK = "click"


class Texture(Enum):
    """What the two hands do."""

    DOUBLED = "doubled"
    OVER_BASS = "over-bass"
    FOUR_PART = "four-part"

    HANDS_TOGETHER = DOUBLED
    """Its former name, by which styles may still ask for it."""


class AudioFormat(Enum):
    """A kind of audio file; the word is also how its names end."""

    MP3 = "mp3"
    FLAC = "flac"
    WAV = "wav"
    OGG = "ogg"


class PaperSize(Enum):
    """What a page is printed on."""

    A4 = "a4"
    LETTER = "letter"


@dataclass(frozen=True, slots=True)
class Why:
    """What a note does in a melody, in a teacher's words: `passing, G to A`.

    `mark` says as much as fits under the note: `pass`. `figure` is what the note is part of, where it is
    part of something: `motif, a step higher`, `as in bar 1`, `cadence`.
    """

    does: str
    mark: str
    figure: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """One note of a pitched part; `finger` is 1 (thumb) to 5, `why` tells what it does in a melody."""

    start: Time
    length: Time
    pitch: Pitch
    velocity: int = 80
    finger: int | None = None
    why: Why | None = None

    def __post_init__(self) -> None:
        if self.start < 0 or self.length <= 0:
            raise RequestError(
                f"a note at {self.start} for {self.length} ticks: start from 0, last 1 or more"
            )
        if not 1 <= self.velocity <= 127:
            raise RequestError(f"velocity {self.velocity} is outside 1 to 127")
        if self.finger is not None and not 1 <= self.finger <= 5:
            raise RequestError(f"finger {self.finger} is outside 1 to 5")

    @property
    def end(self) -> Time:
        """Where the note stops."""
        return self.start + self.length


@dataclass(frozen=True, slots=True)
class Hit:
    """One stroke of a percussion part; `key` is a General MIDI 1 percussion key, 35 to 81."""

    start: Time
    key: int
    velocity: int = 80

    def __post_init__(self) -> None:
        if self.start < 0:
            raise RequestError(f"a stroke at {self.start} ticks", "it needs a start from 0")
        if not 35 <= self.key <= 81:
            raise RequestError(f"percussion key {self.key} is outside General MIDI 1's 35 to 81")
        if not 1 <= self.velocity <= 127:
            raise RequestError(f"velocity {self.velocity} is outside 1 to 127")


@dataclass(frozen=True, slots=True)
class Pedal:
    """The sustain pedal, held down from a moment for a length."""

    start: Time
    length: Time

    def __post_init__(self) -> None:
        if self.start < 0 or self.length <= 0:
            raise RequestError(
                f"a pedal at {self.start} for {self.length} ticks: start from 0, last 1 or more"
            )

    @property
    def end(self) -> Time:
        """Where the pedal is let up."""
        return self.start + self.length


@dataclass(frozen=True, slots=True)
class Part:
    """One track. A pitched role has notes, drums and click have hits.

    `pan` is 0 (left) to 127 (right), `volume` 0 to 127. `pedals` are the sustain pedal's, in order and apart.
    """

    role: Role
    notes: tuple[Note, ...] = ()
    hits: tuple[Hit, ...] = ()
    program: int = ACOUSTIC_GRAND_PIANO
    pan: int = CENTER
    volume: int = 100
    pedals: tuple[Pedal, ...] = ()

    def __post_init__(self) -> None:
        for label, value in (("program", self.program), ("pan", self.pan), ("volume", self.volume)):
            if not 0 <= value <= 127:
                raise RequestError(f"{label} {value} of the {self.role.value} is outside 0 to 127")


@dataclass(frozen=True, slots=True)
class Marker:
    """A word at a moment: a chord's name, the count-in, the first downbeat. Text is ASCII."""

    start: Time
    text: str


@dataclass(frozen=True, slots=True)
class KeyFrom:
    """The key that holds from a moment on."""

    start: Time
    key: Key


@dataclass(frozen=True, slots=True)
class TempoFrom:
    """The tempo, in felt beats a minute, that holds from a moment on; no whole one where it slows down."""

    start: Time
    bpm: float


@dataclass(frozen=True, slots=True)
class PaceFrom:
    """The share of the tempo that is played from a moment on: 1 as chosen, less while it slows down."""

    start: Time
    share: float


@dataclass(frozen=True, slots=True)
class Hand:
    """What one hand plays for a chord: pitches low to high, a finger for each.

    `omits` are the chord's tones that neither hand plays.
    """

    pitches: tuple[Pitch, ...]
    fingers: tuple[int, ...]
    omits: tuple[Tone, ...] = ()


@dataclass(frozen=True, slots=True)
class ChordAt:
    """One chord of the changes, or silence where `chord` is None, with the key it stands in.

    `bar` counts from 1 (a pickup is bar 0). `written` numbers the chord in the text: chords that a
    repeat sign plays again share it, and are voiced alike.
    """

    start: Time
    length: Time
    chord: Chord | None
    key: Key
    bar: int
    written: int

    @property
    def end(self) -> Time:
        """Where the chord stops."""
        return self.start + self.length


@dataclass(frozen=True, slots=True)
class Changes:
    """A progression realized in a key: its chords in order, without gaps, from 0 to `length`.

    `pickup` is the length of a short first bar, 0 where there is none.
    """

    meter: Meter
    chords: tuple[ChordAt, ...]
    length: Time
    pickup: Time = 0


@dataclass(frozen=True, slots=True)
class VoicedChord:
    """A chord of the changes with both hands worked out; in silence there are no hands.

    `moves` are sentences on what moves from the chord before, `call` says it short (`top two up`) and
    `finger_calls` which hand changes an inner finger (`right hand: 2`); `last` marks the chord that ends
    the last time through.
    """

    at: ChordAt
    right: Hand | None = None
    left: Hand | None = None
    moves: tuple[str, ...] = ()
    call: str = ""
    finger_calls: tuple[str, ...] = ()
    last: bool = False


@dataclass(frozen=True, slots=True)
class Piece:
    """A finished arrangement. `bpm` is felt beats a minute, None until a rung of the ladder is chosen.

    `music_from` is where bar 1 begins: after the count-in, or after a pickup. `tempos` are later changes
    of tempo, in order of time and after 0. `paces` are those that any tempo will have, before one is chosen.
    `swing` is how much longer the drums play a felt beat's first half than its second.
    """

    title: str
    meter: Meter
    keys: tuple[KeyFrom, ...]
    length: Time
    music_from: Time
    parts: tuple[Part, ...]
    markers: tuple[Marker, ...]
    bpm: int | None = None
    tempos: tuple[TempoFrom, ...] = ()
    paces: tuple[PaceFrom, ...] = ()
    swing: float = 1.0


@dataclass(frozen=True, slots=True)
class Heading:
    """What a teacher writes over a lesson: whose it is, what it is called, its day, when it is due, notes.

    `notes` may have several lines. What is not said is empty, or None.
    """

    student: str = ""
    title: str = ""
    date: Date | None = None
    due: Date | None = None
    notes: str = ""


NO_HEADING = Heading()
"""The heading of what no lesson asked for."""
