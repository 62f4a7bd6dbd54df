"""How the hands are asked to voice the chords: what a teacher may choose, with the usual choice.

Conventions
- Pitches bound the right hand, both included. A hand's span is in semitones.

Source: an octave as the hand's usual span, and the right hand's range, are convention.
"""

from dataclasses import dataclass
from enum import Enum

from tracks.model import Texture
from tracks.theory.errors import RequestError
from tracks.theory.pitch import Pitch

OCTAVE = 12
SMALLEST_HAND, LARGEST_HAND = 7, 19

LOWEST_RIGHT = Pitch.parse("F3")
HIGHEST_RIGHT = Pitch.parse("C6")


class Start(Enum):
    """The inversion of the right hand's first chord."""

    ROOT = "root"
    FIRST = "first"
    SECOND = "second"


class Sevenths(Enum):
    """How a right hand plays a seventh chord: its guide tones, the smoothest three notes, or four."""

    GUIDE_TONES = "guide-tones"
    SMOOTHEST = "smoothest"
    FOUR = "four"

    @classmethod
    def _missing_(cls, value: object) -> "Sevenths | None":
        """Read the word that files of earlier versions have."""
        return cls.GUIDE_TONES if value == "keep-third" else None


class Left(Enum):
    """What the left hand plays under chords over a bass: the bass alone, or a shell on it."""

    BASS = "bass"
    SHELLS = "shells"


@dataclass(frozen=True, slots=True)
class VoicingOptions:
    """How the hands are asked to voice.

    Without a `start` four parts choose one for their ending, and other textures take the root position.
    `low` and `high` bound the right hand, both included; `hand` is the widest span of either hand in
    semitones; `spread` drops the second voice from the top by an octave, into the left hand. Raises
    RequestError for options that the texture does not take.
    """

    texture: Texture = Texture.DOUBLED
    start: Start | None = None
    sevenths: Sevenths = Sevenths.GUIDE_TONES
    low: Pitch = LOWEST_RIGHT
    high: Pitch = HIGHEST_RIGHT
    hand: int = OCTAVE
    left: Left = Left.BASS
    spread: bool = False

    def __post_init__(self) -> None:
        if not SMALLEST_HAND <= self.hand <= LARGEST_HAND:
            raise RequestError(
                f"{self.hand} half steps is outside {SMALLEST_HAND} (a fifth) to {LARGEST_HAND} (an "
                "octave and a fifth)",
                place="hand",
            )
        options = {"left": self.left is Left.SHELLS, "spread": self.spread}
        asked = [option for option, is_asked in options.items() if is_asked]
        if asked and self.texture is not Texture.OVER_BASS:
            raise RequestError(
                f"it needs chords over a bass, not {self.texture.value}", "choose over-bass", asked[0]
            )
        if len(asked) > 1:
            raise RequestError(
                "shells and spread both want the left hand's upper note", "choose one", asked[0]
            )

    @property
    def has_left_pairs(self) -> bool:
        """Whether the left hand plays the bass with another note of the chord."""
        return self.spread or self.left is Left.SHELLS
