"""Which one is different: of three chords, or of four that are played twice."""

from random import Random

from tracks.progression.library import text_of
from tracks.quiz.notes import low, together
from tracks.quiz.question import Asked, Level, Skill
from tracks.quiz.skills.quality import QUALITIES, built
from tracks.theory.key import Key, Mode

_PLACES = ("first", "second", "third")
_TRIADS_HEARD = ("major", "minor", "diminished", "augmented")
_OF_FOUR_CHORDS = {
    Mode.MAJOR: ("fifties", "axis", "axis-from-six", "deceptive-cadence"),
    Mode.MINOR: ("andalusian", "deceptive-cadence-minor"),
}
_TRIADS = {
    Mode.MAJOR: ("I", "ii", "iii", "IV", "V", "vi"),
    Mode.MINOR: ("i", "III", "iv", "V", "VI", "VII"),
}


def _of_three(answer: str, key: Key, rng: Random) -> Asked:
    """Return three triads on one root, of which one has another quality."""
    usual, other = rng.sample(_TRIADS_HEARD, 2)
    qualities = [other if place == answer else usual for place in _PLACES]
    chords = [built(low(key.tonic), QUALITIES[quality]) for quality in qualities]
    notes = tuple(note for place, chord in enumerate(chords) for note in together(chord, 2, 3 * place))
    return Asked(notes=notes, told=f"on {key.tonic.name}: {', '.join(qualities)}")


def _of_four(answer: str, key: Key, rng: Random) -> Asked:
    """Return four chords and, for the one asked about, another that is neither it nor its neighbor."""
    chords = tuple(text_of(rng.choice(_OF_FOUR_CHORDS[key.mode])).split())
    place = int(answer.removeprefix("chord "))
    near = {chord.rstrip("0123456789") for chord in chords[place - 2 : place + 1]}
    return Asked(chords, (place, rng.choice([chord for chord in _TRIADS[key.mode] if chord not in near])))


DIFFERENT = Skill(
    "different",
    "which one is different",
    (
        Level(
            "of three chords", "Which one of the three chords is different?", _PLACES, _of_three, in_key=False
        ),
        Level(
            "of four chords, played twice",
            "Four chords are played twice. Which one is different the second time?",
            ("chord 2", "chord 3", "chord 4"),
            _of_four,
        ),
    ),
)
