"""A drill played: what a style makes of it in one key, worked out once for all that is written from it.

Conventions
- MIDI files, audio and sheets take their notes from one `Played`, so that a style is asked once for each key,
  or once for each tempo where it follows the tempo.
- *As written* is what stands on paper, without feel or form; an *arrangement* is what sounds.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache, cached_property

from tracks.drill.drill import Drill, Ending, Form
from tracks.drill.in_key import DrillInKey, in_each_key
from tracks.model import Piece
from tracks.practice.arrange import as_written, with_drills_feel
from tracks.practice.forms import formed
from tracks.practice.plan import Arrangement, Job, build_up_jobs, jobs
from tracks.style import Style
from tracks.theory.key import Key


class Played:
    """A drill in one key as a style plays it; every arrangement is made when it is first asked for, and kept.

    Whatever is asked of it raises RequestError where the style cannot play the drill, or breaks its contract.
    """

    def __init__(self, drill: Drill, style: Style, in_key: DrillInKey) -> None:
        self.drill, self.style, self.in_key = drill, style, in_key
        self._written: dict[int | None, Piece] = {}

    @property
    def key(self) -> Key:
        """The key that it is played in."""
        return self.in_key.key

    def written(self, bpm: int | None) -> Piece:
        """Return the piece as it is written; the tempo matters only to a style that follows it."""
        at = bpm if self.style.info.follows_tempo else None
        if at not in self._written:
            in_key = self.in_key
            self._written[at] = as_written(self.drill, self.style, in_key.changes, in_key.chords, at)
        return self._written[at]

    @cached_property
    def arrangement(self) -> Arrangement:
        """The piece with its feel and in its form, or for a style that follows the tempo the maker of one."""
        if self.style.info.follows_tempo:
            return cache(self._sounding)
        return self._sounding(None)

    @cached_property
    def once(self) -> Arrangement:
        """The same, played through once, without any form or ending: what is built up chord by chord."""
        plain = replace(self.drill, repeats=1, form=Form.PLAIN, turn=None, ending=Ending.PLAIN)
        return self.arrangement if plain == self.drill else Played(plain, self.style, self.in_key).arrangement

    def jobs(self) -> Iterator[Job]:
        """Yield what a student plays along with: every rung of every mix, the climb, what is built up."""
        yield from jobs(self.drill, self.key, self.arrangement)
        if self.drill.build_up:
            starts = [voiced.at.start for voiced in self.in_key.chords if voiced.at.chord]
            yield from build_up_jobs(self.drill, self.key, self.once, starts)

    def _sounding(self, bpm: int | None) -> Piece:
        return formed(with_drills_feel(self.written(bpm), self.drill, self.style, bpm), self.drill)


def played_in_each_key(drill: Drill, style: Style) -> Iterator[Played]:
    """Yield the drill played in each of its keys.

    Raises RequestError, before the first, where the progression cannot be read or voiced.
    """
    yield from (Played(drill, style, in_key) for in_key in in_each_key(drill))
