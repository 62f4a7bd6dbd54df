"""Modulation: four chords set a key, four more end there, in the dominant's or in the relative's.

All are written in the first key's numerals. The way out is the same everywhere: a chord that both keys share,
the goal's cadential six-four, its dominant seventh, and the goal.
"""

from random import Random

from tracks.quiz.question import Asked, Level, Skill
from tracks.theory.key import Key, Mode

STAYS, DOMINANT, RELATIVE = "the home key", "the dominant key", "the relative key"
_OPENINGS = {
    Mode.MAJOR: ("I IV V7 I", "I ii6 V7 I", "I vi V7 I"),
    Mode.MINOR: ("i iv V7 i", "i iio6 V7 i", "i VI V7 i"),
}
_ENDINGS = {
    Mode.MAJOR: {
        STAYS: ("ii6 I64 V7 I", "IV I64 V7 I"),
        DOMINANT: ("vi6 V64 V7/V V", "I V64 V7/V V"),
        RELATIVE: ("ii vi64 V7/vi vi", "IV vi64 V7/vi vi"),
    },
    Mode.MINOR: {
        STAYS: ("iv i64 V7 i", "VI i64 V7 i"),
        DOMINANT: ("i v64 V7/V v", "III v64 V7/V v"),
        RELATIVE: ("iv6 III64 V7/III III", "VI III64 V7/III III"),
    },
}


def _phrase(answer: str, key: Key, rng: Random) -> Asked:
    return Asked((*rng.choice(_OPENINGS[key.mode]).split(), *rng.choice(_ENDINGS[key.mode][answer]).split()))


_TASK = "In which key does the music end?"

MODULATION = Skill(
    "modulation",
    "modulation",
    (
        Level("to the dominant or not", _TASK, (STAYS, DOMINANT), _phrase),
        Level("to the relative key or not", _TASK, (STAYS, RELATIVE), _phrase),
        Level("home, dominant or relative key", _TASK, (STAYS, DOMINANT, RELATIVE), _phrase),
    ),
    "Hutchinson, Music Theory for the 21st-Century Classroom, section 17.3 (the dominants of other keys)",
)
