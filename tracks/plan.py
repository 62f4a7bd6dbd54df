"""What a drill becomes: one job for every mix and tempo of a key.

Conventions
- A job's path is relative to the pack's folder, ASCII, with `/` between parts:
  `Eb-major/Eb-major_right-alone_060.mid`. Three digits of tempo make names sort by tempo.
- Jobs come mix by mix, in each from the slowest tempo up, so that a writer may reuse what rungs share.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tracks.drill import Drill, Mix
from tracks.model import Piece, Role
from tracks.practice import at_tempo, mixed, right_hand, with_count_in
from tracks.theory.fault import Fault
from tracks.theory.key import Key


@dataclass(frozen=True, slots=True)
class Job:
    """One file to write: where, and the piece that it holds, at its tempo."""

    path: str
    key: Key
    mix: Mix
    bpm: int
    piece: Piece

    @property
    def row(self) -> dict[str, object]:
        """What a manifest says of the file besides its bytes."""
        return {"key": self.key.name, "mix": self.mix.value, "bpm": self.bpm}


def jobs(drill: Drill, key: Key, piece: Piece | Callable[[int], Piece]) -> Iterator[Job]:
    """Return the jobs of a drill in one key, from its arrangement before any count-in, mix or tempo.

    Where the style follows the tempo, `piece` makes the arrangement of a tempo; it is asked once a rung.
    Mixes that make no sense for the arrangement are passed over (see `sensible_mixes`). Raises Fault where
    none is left.
    """
    tempos = sorted(set(drill.tempos))
    arranged = [(piece(bpm), [bpm]) for bpm in tempos] if callable(piece) else [(piece, tempos)]
    counted = [(with_count_in(whole, drill.count_in, drill.click), rungs) for whole, rungs in arranged]
    for mix in sensible_mixes(drill, counted[0][0]):
        stem = f"{key.folder}/{key.folder}_{mix.value}"
        for whole, rungs in counted:
            heard = mixed(whole, mix)
            for bpm in rungs:
                yield Job(f"{stem}_{bpm:03d}.mid", key, mix, bpm, at_tempo(heard, bpm))


def sensible_mixes(drill: Drill, piece: Piece) -> tuple[Mix, ...]:
    """Return the drill's mixes that the arrangement has something for, each once.

    A mix makes no sense where the hand it names plays nothing, or where only the click would sound.
    Raises Fault where none of the drill's mixes makes sense.
    """
    mixes = tuple(mix for mix in dict.fromkeys(drill.mixes) if _makes_sense(mix, piece))
    if not mixes:
        asked = ", ".join(mix.value for mix in drill.mixes)
        raise Fault(f"mix {asked}: style {drill.style} has nothing to play there; choose another mix")
    return mixes


def _makes_sense(mix: Mix, piece: Piece) -> bool:
    right, left = right_hand(piece), Role.LEFT
    hands = {
        Mix.HANDS_TOGETHER: set(),
        Mix.RIGHT_ALONE: {right},
        Mix.YOU_PLAY_RIGHT: {right},
        Mix.LEFT_ALONE: {left},
        Mix.YOU_PLAY_LEFT: {left},
        Mix.SPLIT: {right, left},
    }[mix]
    return hands <= _playing(piece) and bool(_playing(mixed(piece, mix)) - {Role.CLICK})


def _playing(piece: Piece) -> set[Role]:
    return {part.role for part in piece.parts if part.notes or part.hits}
