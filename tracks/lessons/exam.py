"""A mock exam: what an examiner might call from a level, drawn by rng, at the tempo that is asked for.

Conventions
- One seed gives one exam. Each requirement gives so many draws; no key comes twice in a requirement before
  all have come.
- A draw is played without the track: the packs give the count-in and, for afterwards, what it should be.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from random import Random

from tracks.drill.drill import Mix
from tracks.lessons.level import Level, Requirement
from tracks.theory.errors import RequestError
from tracks.theory.key import Key

MOST_DRAWS = 24


@dataclass(frozen=True, slots=True)
class Draw:
    """One thing to play: a requirement in a key and one of its ways."""

    number: int
    requirement: Requirement
    key: Key
    way: Mapping[str, object]

    @property
    def fields(self) -> dict[str, object]:
        """The draw as a lesson's drill."""
        return {
            "name": f"{self.number:02d}-{self.requirement.name}",
            "progression": self.requirement.progression,
            "keys": [self.requirement.note_names.printed(self.key.name)],
            **self.requirement.fields,
            **self.way,
            "tempos": [self.requirement.goal],
            "mixes": [Mix.HANDS_TOGETHER.value],
        }


def exam(level: Level, seed: int, draws: int = 2) -> tuple[Draw, ...]:
    """Return an exam's draws in the order they are called.

    Raises RequestError outside 1 to 24 a requirement.
    """
    if not 1 <= draws <= MOST_DRAWS:
        raise RequestError(f"{draws} is outside 1 to {MOST_DRAWS} for each requirement", place="draws")
    rng = Random(seed)
    drawn = [
        (requirement, key, rng.choice(requirement.ways))
        for requirement in level.requirements
        for key in _keys(requirement.keys, draws, rng)
    ]
    rng.shuffle(drawn)
    return tuple(Draw(number, *each) for number, each in enumerate(drawn, 1))


def _keys(keys: tuple[Key, ...], draws: int, rng: Random) -> list[Key]:
    drawn: list[Key] = []
    while len(drawn) < draws:
        drawn += rng.sample(keys, len(keys))
    return drawn[:draws]
