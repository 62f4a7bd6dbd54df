"""What a player shows of an audio file: title, album, track number, key, tempo.

Conventions
- Text is ASCII. The album is the pack, the track number the file's place in it, so that a player sorts
  files as they are meant to be practiced.
- Each kind of file keeps tags its own way; a module each writes them into a file that has none.
"""

from dataclasses import dataclass

from tracks.safety import CAUTION_IN_A_TAG
from tracks.theory.key import Key
from tracks.theory.pitch import ascii_accidentals

ARTIST = "Rungwise"


@dataclass(frozen=True, slots=True)
class Tags:
    """A file's tags; `key` and `bpm` (felt beats a minute) are left out where they would tell too much."""

    title: str
    album: str
    track: int
    key: Key | None = None
    bpm: int | None = None

    @property
    def comment(self) -> str:
        """Key and tempo in words, for players that have no field for them, and a caution."""
        facts = [f"Key {self.key.name}."] if self.key else []
        facts += [f"Tempo {self.bpm} beats a minute."] if self.bpm else []
        return " ".join([*facts, CAUTION_IN_A_TAG])

    @property
    def tempo(self) -> str:
        """The tempo in digits, empty where there is none."""
        return str(self.bpm or "")


def ascii_text(text: str) -> bytes:
    """Return a text in ASCII: musical signs as b and #, what has no letter as a question mark."""
    return ascii_accidentals(text).encode("ascii", "replace")
