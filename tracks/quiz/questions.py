"""Ear drills: cadences and progressions to recognize by listening, at graded levels.

Conventions
- A *quiz* is questions of one level; a question is a key, chords written in numerals, and its answer.
- The source of chance is handed in, seeded: the same one asks the same questions.
- The answers of a level come as evenly as they can, in an order of chance.
- Every chord lasts a bar of 2/4, the right hand's chords over a bass that plays what the figures say.
- The piece that sounds tells nothing else: it has no markers, no key signature and no count-in.

Source: convention. The cadences are the library's; each has the name that it has on both sides of the
Atlantic.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from random import Random
from typing import TypeAlias

from tracks.drill.drill import Drill, Mix, Sevenths, Start
from tracks.drill.in_key import in_each_key
from tracks.model import Changes, ChordAt, Piece, Texture, VoicedChord
from tracks.practice.arrange import arrange
from tracks.practice.mixes import at_tempo
from tracks.progression.library import text_of
from tracks.style import Style
from tracks.theory.errors import RequestError
from tracks.theory.key import Key, Mode
from tracks.theory.meter import Meter

MOST_QUESTIONS = 99
METER = Meter(2, 4)

_TRIES = 20
_CADENCES = {
    "perfect (authentic)": "authentic-cadence",
    "plagal": "plagal-cadence",
    "half (imperfect)": "half-cadence",
    "deceptive (interrupted)": "deceptive-cadence",
}
_LEADING_TO = {
    Mode.MAJOR: {"V7": ("IV", "ii6", "vi"), "IV": ("vi", "I6", "iii")},
    Mode.MINOR: {"V7": ("iv", "ii/o6", "VI"), "iv": ("VI", "i6", "III")},
}
_IN_BOTH_MODES = (
    "authentic-cadence",
    "plagal-cadence",
    "half-cadence",
    "deceptive-cadence",
    "primary-chords",
    "cadential-six-four",
)
_FIGURES = {"root position": "", "first inversion": "6", "second inversion": "64"}
_OF_FOUR_CHORDS = {
    Mode.MAJOR: ("fifties", "axis", "axis-from-six", "deceptive-cadence"),
    Mode.MINOR: ("andalusian", "deceptive-cadence-minor"),
}
_TRIADS = {
    Mode.MAJOR: ("I", "ii", "iii", "IV", "V", "vi"),
    Mode.MINOR: ("i", "III", "iv", "V", "VI", "VII"),
}
_TO_INVERT = {Mode.MAJOR: ("I", "ii", "IV", "V", "vi"), Mode.MINOR: ("i", "iv", "V", "VI")}


@dataclass(frozen=True, slots=True)
class Asked:
    """What a question plays: chords in numerals and, where it plays twice, the chord that changes.

    `changed` is the place of that chord, counted from 1, and the numeral that stands there instead.
    """

    chords: tuple[str, ...]
    changed: tuple[int, str] | None = None

    @property
    def again(self) -> tuple[str, ...]:
        """The chords as played the second time; none where there is no second time."""
        if not self.changed:
            return ()
        place, other = self.changed
        return (*self.chords[: place - 1], other, *self.chords[place:])


@dataclass(frozen=True, slots=True)
class Question:
    """One question: its number from 1, its answer, what it plays, and the right hand's first inversion."""

    number: int
    answer: str
    key: Key
    asked: Asked
    start: Start


Maker: TypeAlias = Callable[[str, Mode, Random], Asked]


@dataclass(frozen=True, slots=True)
class Level:
    """A grade: what to listen for, the possible answers, and the maker of a question that has one of them.

    `modes` tells the mode that an answer needs, where it needs one.
    """

    title: str
    task: str
    answers: tuple[str, ...]
    make: Maker
    modes: tuple[tuple[str, Mode], ...] = ()


def ask(level: int, count: int, keys: tuple[Key, ...], rng: Random) -> tuple[Question, ...]:
    """Return `count` questions of `level`, drawn from `keys`.

    Raises RequestError for a level or a count there is not, and for keys of one mode where both are asked
    about.
    """
    grade = level_of(level)
    if not 1 <= count <= MOST_QUESTIONS:
        raise RequestError(f"questions {count} is outside 1 to {MOST_QUESTIONS}")
    needed = dict(grade.modes)
    for mode in needed.values():
        if not any(key.mode is mode for key in keys):
            raise RequestError(f"level {level} asks {grade.title}, and no key is {mode.value}; add one")
    questions: list[Question] = []
    for number, answer in enumerate(_evenly(grade.answers, count, rng), start=1):
        drawn = [_drawn(number, answer, grade, keys, rng) for _ in range(_TRIES)]
        asked_before = {(question.key, question.asked) for question in questions}
        fresh = (question for question in drawn if (question.key, question.asked) not in asked_before)
        questions.append(next(fresh, drawn[0]))
    return tuple(questions)


def level_of(number: int) -> Level:
    """Return the level of a number, from 1; raise RequestError where there is none."""
    if not 1 <= number <= len(LEVELS):
        levels = "; ".join(f"{place} {level.title}" for place, level in enumerate(LEVELS, start=1))
        raise RequestError(f"level {number} is none of the ear drills'; choose from {levels}")
    return LEVELS[number - 1]


def sounding(question: Question, style: Style, bpm: int) -> Piece:
    """Return what a question sounds like in a style, at felt beats a minute; it names only the number."""
    drill = Drill(
        name=f"Question-{question.number:02d}",
        progression=" ".join(question.asked.chords),
        keys=(question.key,),
        meter=METER,
        tempos=(bpm,),
        style=style.info.name,
        texture=Texture.OVER_BASS,
        start=question.start,
        sevenths=Sevenths.GUIDE_TONES,
        mixes=(Mix.HANDS_TOGETHER,),
        count_in=0,
        click=False,
    )
    (in_key,) = in_each_key(drill)
    changes, chords = in_key.changes, in_key.chords
    if question.asked.changed:
        (other,) = in_each_key(replace(drill, progression=" ".join(question.asked.again)))
        place = question.asked.changed[0] - 1
        # Only the changed chord is played otherwise: the rest keeps its very voicings, or they would tell.
        second = (*chords[:place], other.chords[place], *chords[place + 1 :])
        changes, chords = _one_after_the_other(changes, chords, second)
    piece = arrange(drill, style, changes, chords, bpm)
    return at_tempo(replace(piece, keys=(), markers=()), bpm)


def _drawn(number: int, answer: str, grade: Level, keys: tuple[Key, ...], rng: Random) -> Question:
    modes = tuple(dict.fromkeys(key.mode for key in keys))
    mode = dict(grade.modes).get(answer) or rng.choice(modes)
    key = rng.choice([key for key in keys if key.mode is mode])
    return Question(number, answer, key, grade.make(answer, mode, rng), rng.choice(tuple(Start)))


def _evenly(answers: tuple[str, ...], count: int, rng: Random) -> list[str]:
    """Return so many answers, each as often as the others or once more, shuffled."""
    whole, rest = divmod(count, len(answers))
    deck = [*answers] * whole + rng.sample(answers, rest)
    rng.shuffle(deck)
    return deck


def _one_after_the_other(
    changes: Changes, first: tuple[VoicedChord, ...], second: tuple[VoicedChord, ...]
) -> tuple[Changes, tuple[VoicedChord, ...]]:
    """Return both playings with a bar of silence between them."""
    bar, key = changes.meter.bar, first[0].at.key
    silence = ChordAt(changes.length, bar, None, key, len(first) + 1, len(first))
    by = changes.length + bar
    later = tuple(
        replace(
            voiced,
            at=replace(
                voiced.at,
                start=voiced.at.start + by,
                bar=voiced.at.bar + by // bar,
                written=voiced.at.written + by // bar,
            ),
        )
        for voiced in second
    )
    chords = (*first, VoicedChord(silence), *later)
    return replace(changes, chords=tuple(v.at for v in chords), length=by + changes.length), chords


# The levels.


def _library(name: str, mode: Mode) -> tuple[str, ...]:
    return tuple(text_of(f"{name}-minor" if mode is Mode.MINOR else name).split())


def _tonic(mode: Mode) -> str:
    return "i" if mode is Mode.MINOR else "I"


def _cadence(answer: str, mode: Mode, rng: Random) -> Asked:
    """Return the tonic, a chord that leads on, and the last two chords of the library's cadence."""
    ending = _library(_CADENCES[answer], mode)[-2:]
    return Asked((_tonic(mode), rng.choice(_LEADING_TO[mode][ending[0]]), *ending))


def _major_or_minor(_answer: str, mode: Mode, rng: Random) -> Asked:
    return Asked(_library(rng.choice(_IN_BOTH_MODES), mode))


def _inversion(answer: str, mode: Mode, rng: Random) -> Asked:
    """Return a cadence that sets the key, and a triad of it over the bass asked for."""
    target = rng.choice(_TO_INVERT[mode]) + _FIGURES[answer]
    return Asked((_tonic(mode), "V7", _tonic(mode), target))


def _changed_chord(answer: str, mode: Mode, rng: Random) -> Asked:
    """Return four chords and, for the one asked about, another that is neither it nor its neighbor."""
    chords = tuple(text_of(rng.choice(_OF_FOUR_CHORDS[mode])).split())
    place = int(answer.removeprefix("chord "))
    near = {_without_figure(chord) for chord in chords[place - 2 : place + 1]}
    return Asked(chords, (place, rng.choice([chord for chord in _TRIADS[mode] if chord not in near])))


def _without_figure(numeral: str) -> str:
    return numeral.rstrip("0123456789")


LEVELS = (
    Level("cadences", "How does the phrase end?", tuple(_CADENCES), _cadence),
    Level(
        "major or minor",
        "Is the key major or minor?",
        ("major", "minor"),
        _major_or_minor,
        (("major", Mode.MAJOR), ("minor", Mode.MINOR)),
    ),
    Level(
        "inversions",
        "The last chord: which of its notes is in the bass?",
        tuple(_FIGURES),
        _inversion,
    ),
    Level(
        "the changed chord",
        "Four chords are played twice: which one is another the second time?",
        ("chord 2", "chord 3", "chord 4"),
        _changed_chord,
    ),
)
