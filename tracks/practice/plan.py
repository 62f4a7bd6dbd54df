"""What a drill becomes: one job for every mix and tempo of a key, and what else it asks for.

Conventions
- A job's path is `tracks.practice.naming`'s: relative to the pack's folder, ASCII, with `/` between parts.
- Jobs come mix by mix, in each from the slowest tempo up, so that a writer may reuse what rungs share.
- An *arrangement* is a piece before any count-in, mix or tempo; for a style that follows the tempo it is
  the maker of one for a tempo, asked once a rung.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from tracks.drill.drill import Climb, Drill, Form, Mix, usual_count_in
from tracks.model import Part, Piece, Role
from tracks.practice.climb import Section, build_up, in_a_row
from tracks.practice.forms import soloist
from tracks.practice.mixes import at_tempo, mixed, on_bar_lines, right_hand, with_count_in
from tracks.practice.naming import HANDS_IN_TURN, Kind, path
from tracks.theory.errors import RequestError, listed
from tracks.theory.key import Key
from tracks.theory.meter import Time

Arrangement: TypeAlias = Piece | Callable[[int], Piece]


@dataclass(frozen=True, slots=True)
class Job:
    """One file to write: where, and the piece that it holds, at its tempo.

    `about` is what a manifest says of it further, where it is no rung of the ladder.
    """

    path: str
    key: Key
    mix: Mix
    bpm: int
    piece: Piece
    about: Mapping[str, object] = field(default_factory=dict)

    @property
    def row(self) -> dict[str, object]:
        """What a manifest says of the file besides its bytes."""
        return {"key": self.key.name, "mix": self.mix.value, "bpm": self.bpm, **self.about}


def jobs(drill: Drill, key: Key, arrangement: Arrangement) -> Iterator[Job]:
    """Return the jobs of a drill in one key: every mix at every tempo, and the climb where it is asked for.

    Mixes that make no sense for the arrangement are passed over (see `sensible_mixes`). Raises RequestError
    where none is left.
    """
    counted = [
        (with_count_in(whole, drill.count_in, drill.click, drill.lead_in), rungs)
        for whole, rungs in _arranged(drill, arrangement)
    ]
    for mix in sensible_mixes(drill, counted[0][0]):
        for whole, rungs in counted:
            heard = mixed(whole, mix)
            for bpm in rungs:
                place = path(drill, Kind.RUNG, key, mix.value, (bpm,))
                yield Job(place, key, mix, bpm, at_tempo(heard, bpm))
    if drill.climb:
        yield from _climbs(drill, key, counted)


def build_up_jobs(drill: Drill, key: Key, arrangement: Arrangement, starts: Sequence[Time]) -> Iterator[Job]:
    """Return the jobs that build the progression up a chord at a time, a count-in before each step.

    `starts` are where the chords begin, in ticks from the start of the arrangement. Raises RequestError where
    they are too many, or no mix makes sense.
    """
    if not drill.build_up:
        return
    for whole, rungs in _arranged(drill, arrangement):
        steps = [
            (label, with_count_in(step, drill.count_in, drill.click, drill.lead_in))
            for label, step in build_up(whole, starts, drill.build_up)
        ]
        for mix in sensible_mixes(drill, whole):
            row = in_a_row([(label, mixed(step, mix)) for label, step in steps])
            for bpm in rungs:
                place = path(drill, Kind.BUILD_UP, key, mix.value, (bpm,))
                about = {"kind": Kind.BUILD_UP.value, "order": drill.build_up.value}
                yield Job(place, key, mix, bpm, at_tempo(row, bpm), about)


def key_cycle_jobs(drill: Drill, arranged: Sequence[tuple[Key, Arrangement]]) -> Iterator[Job]:
    """Return the jobs that go through all the keys in one file, with click to change hands between them."""
    first = arranged[0][0]
    about = {"kind": Kind.KEY_CYCLE.value, "keys": [key.name for key, _ in arranged]}
    others = [usual_count_in(drill.meter)] * (len(arranged) - 1)
    for by_key, rungs in _arranged_alike(drill, arranged):
        counted = [
            (key.name, with_count_in(whole, bars, drill.click, drill.lead_in))
            for (key, whole), bars in zip(by_key, [drill.count_in, *others], strict=True)
        ]
        for mix in sensible_mixes(drill, by_key[0][1]):
            row = in_a_row((label, mixed(whole, mix)) for label, whole in counted)
            for bpm in rungs:
                place = path(drill, Kind.KEY_CYCLE, None, mix.value, (bpm,))
                yield Job(place, first, mix, bpm, at_tempo(row, bpm), about)


def stem_jobs(drill: Drill, key: Key, arrangement: Arrangement) -> Iterator[Job]:
    """Return a job for every part by itself, for a sequencer's tracks, at the goal, the drill's top tempo.

    One tempo serves all: a sequencer sets its own. All have the same length, start at bar one without a
    count-in and end at a bar line.
    """
    goal = max(drill.tempos)
    whole = arrangement(goal) if callable(arrangement) else arrangement
    placed = on_bar_lines(with_count_in(whole, 0, drill.click))
    for part in placed.parts:
        if part.notes or part.hits:
            place = path(drill, Kind.STEM, key, part.role.value, (goal,))
            about = {"kind": Kind.STEM.value, "part": part.role.value}
            stem = at_tempo(replace(placed, parts=(part,)), goal)
            yield Job(place, key, Mix.HANDS_TOGETHER, goal, stem, about)


def _arranged(drill: Drill, arrangement: Arrangement) -> list[tuple[Piece, list[int]]]:
    """Return each arrangement there is with the tempos that share it, slow to fast."""
    tempos = sorted(set(drill.tempos))
    return [(arrangement(bpm), [bpm]) for bpm in tempos] if callable(arrangement) else [(arrangement, tempos)]


def _arranged_alike(
    drill: Drill, arranged: Sequence[tuple[Key, Arrangement]]
) -> Iterator[tuple[list[tuple[Key, Piece]], list[int]]]:
    """Yield every key's arrangement, and the tempos that share it."""
    every = [_arranged(drill, arrangement) for _, arrangement in arranged]
    for same_tempos in zip(*every, strict=True):
        by_key = [(key, whole) for (key, _), (whole, _) in zip(arranged, same_tempos, strict=True)]
        yield by_key, same_tempos[0][1]


def _climbs(drill: Drill, key: Key, counted: Sequence[tuple[Piece, list[int]]]) -> Iterator[Job]:
    mixes = sensible_mixes(drill, counted[0][0])
    rungs = [(bpm, whole) for whole, tempos in counted for bpm in tempos]
    tempos = [bpm for bpm, _ in rungs]

    def climb(sound: str, mix: Mix, sections: list[Section]) -> Job:
        place = path(drill, Kind.CLIMB, key, sound, tempos)
        about = {"kind": Kind.CLIMB.value, "tempos": tempos}
        return Job(place, key, mix, tempos[0], in_a_row(sections), about)

    if drill.climb is Climb.HANDS_IN_TURN:
        turns = [mix for mix in _IN_TURN if _makes_sense(mix, counted[0][0])]
        sections = [_rung(whole, mix, bpm) for bpm, whole in rungs for mix in turns]
        yield climb(HANDS_IN_TURN, Mix.HANDS_TOGETHER, sections)
        return
    for mix in mixes:
        yield climb(mix.value, mix, [_rung(whole, mix, bpm) for bpm, whole in rungs])


_IN_TURN = (Mix.RIGHT_ALONE, Mix.LEFT_ALONE, Mix.HANDS_TOGETHER)


def _rung(whole: Piece, mix: Mix, bpm: int) -> Section:
    return f"{bpm} a minute, {mix.value}", at_tempo(mixed(whole, mix), bpm)


def sensible_mixes(drill: Drill, piece: Piece) -> tuple[Mix, ...]:
    """Return the drill's mixes that the arrangement has something for, each once.

    Where the drill names none, they are those that sound different from the ones before them: without a band
    the track that leaves out the right hand is the left hand alone. A mix makes no sense where the hand it
    names plays nothing, where only the click would sound, or where turns are taken with somebody who is not
    heard.
    Raises RequestError where none of the drill's mixes makes sense.
    """
    sensible = [mix for mix in Mix if _makes_sense(mix, piece) and _is_called(mix, piece, drill.form)]
    if drill.mixes is None and sensible:
        return _unlike(sensible, piece)
    asked_for = drill.mixes or tuple(Mix)
    mixes = tuple(mix for mix in dict.fromkeys(asked_for) if mix in sensible)
    if not mixes:
        asked = ", ".join(mix.value for mix in asked_for)
        why = f"style {drill.style} has nothing to play there"
        if any(_makes_sense(mix, piece) for mix in asked_for):
            why = f"the {soloist(piece).value} is silent there, which the form {drill.form.value} needs"
        fix = f"choose {listed([mix.value for mix in sensible])}" if sensible else "choose another style"
        raise RequestError(f"{asked}: {why}", fix, "mixes")
    return mixes


def _unlike(mixes: Sequence[Mix], piece: Piece) -> tuple[Mix, ...]:
    """Return the mixes that do not sound as one before them does."""
    heard: list[tuple[Part, ...]] = []
    unlike = []
    for mix in mixes:
        parts = mixed(piece, mix).parts
        if parts not in heard:
            unlike.append(mix)
            heard.append(parts)
    return tuple(unlike)


def _is_called(mix: Mix, piece: Piece, form: Form) -> bool:
    """Whether the calls of a form in turns are heard: without the soloist nobody calls."""
    in_turn = form in (Form.CALL_AND_RESPONSE, Form.TRADING_FOURS)
    return not in_turn or soloist(piece) in _playing(mixed(piece, mix))


def _makes_sense(mix: Mix, piece: Piece) -> bool:
    right, left = right_hand(piece), Role.LEFT
    hands = {
        Mix.HANDS_TOGETHER: set(),
        Mix.RIGHT_ALONE: {right},
        Mix.YOU_PLAY_RIGHT: {right},
        Mix.LEFT_ALONE: {left},
        Mix.YOU_PLAY_LEFT: {left},
        Mix.PANNED_APART: {right, left},
    }[mix]
    return hands <= _playing(piece) and bool(_playing(mixed(piece, mix)) - {Role.CLICK})


def _playing(piece: Piece) -> set[Role]:
    return {part.role for part in piece.parts if part.notes or part.hits}
