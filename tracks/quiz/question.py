"""What a drill is made of: a skill has levels, a level makes questions, a question plays and is answered.

Conventions
- A question plays chords, written in numerals, each for a bar of METER; or notes; or chords, a bar of silence
  and then notes.
- Notes are in ticks from their own beginning. A felt beat is a quarter note in every file, whatever the music
  is felt in: the file's time signature would tell.
"""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random
from typing import TypeAlias

from tracks.drill.drill import Start
from tracks.model import Note
from tracks.theory.key import Key, Mode
from tracks.theory.meter import Meter

METER = Meter(2, 4)

MODES = (("major", Mode.MAJOR), ("minor", Mode.MINOR))


@dataclass(frozen=True, slots=True)
class Asked:
    """What a question plays: chords in numerals, then notes; where chords come twice, the one that changes.

    `changed` is the place of that chord, counted from 1, and the numeral that stands there instead. `told`
    says in words what the notes are, for whoever has answered.
    """

    chords: tuple[str, ...] = ()
    changed: tuple[int, str] | None = None
    notes: tuple[Note, ...] = ()
    told: str = ""

    @property
    def again(self) -> tuple[str, ...]:
        """The chords as played the second time; none where there is no second time."""
        if not self.changed:
            return ()
        place, other = self.changed
        return (*self.chords[: place - 1], other, *self.chords[place:])


@dataclass(frozen=True, slots=True)
class Question:
    """One question: its number from 1, its answer, what it plays, and the right hand's first inversion.

    `given` is what the student is told beforehand, such as the note to begin on.
    """

    number: int
    answer: str
    key: Key
    asked: Asked
    start: Start
    given: str = ""


Maker: TypeAlias = Callable[[str, Key, Random], Asked]
"""What makes a question: the answer it must have, the key, the source of chance."""


@dataclass(frozen=True, slots=True)
class Level:
    """A grade of a skill: what is asked, the answers to choose from, and the maker of a question for one.

    `about` tells the grade apart from the others. Without answers the student plays, and what is told of the
    notes is the answer. `modes` tells the mode that an answer needs, where it needs one. Where nothing is
    heard `in_key`, the key drawn gives only the note from which is built. `given` tells the student something
    of a question beforehand.
    """

    about: str
    task: str
    answers: tuple[str, ...]
    make: Maker
    modes: tuple[tuple[str, Mode], ...] = ()
    in_key: bool = True
    given: Callable[[Key, Asked], str] | None = None


@dataclass(frozen=True, slots=True)
class Skill:
    """What is trained, from the easiest level to the hardest; `source` is where its terms are from."""

    name: str
    title: str
    levels: tuple[Level, ...]
    source: str = "convention"


def only_in(mode: Mode, answers: tuple[str, ...]) -> tuple[tuple[str, Mode], ...]:
    """Return the modes of a level that is asked in one mode alone."""
    return tuple((answer, mode) for answer in answers)
