"""The skills that an ear drill can train, one module each; SKILLS is all of them, as they are listed."""

from tracks.quiz.question import Level, Skill
from tracks.quiz.skills.cadences import CADENCES
from tracks.quiz.skills.degrees import DEGREES
from tracks.quiz.skills.different import DIFFERENT
from tracks.quiz.skills.echo import ECHO
from tracks.quiz.skills.intervals import INTERVAL
from tracks.quiz.skills.inversions import INVERSIONS
from tracks.quiz.skills.meter import METERS
from tracks.quiz.skills.mode import MODE
from tracks.quiz.skills.modulation import MODULATION
from tracks.quiz.skills.progressions import PROGRESSIONS
from tracks.quiz.skills.quality import QUALITY
from tracks.theory.errors import RequestError, listed, near_names

SKILLS = (
    CADENCES,
    MODE,
    INVERSIONS,
    DIFFERENT,
    INTERVAL,
    DEGREES,
    QUALITY,
    METERS,
    ECHO,
    MODULATION,
    PROGRESSIONS,
)

_BY_NAME = {skill.name: skill for skill in SKILLS}


def skill_of(name: str) -> Skill:
    """Return the skill of a name; raise RequestError, with the names there are, where there is none."""
    found = _BY_NAME.get(name.strip().lower())
    if not found:
        near = near_names(name, _BY_NAME)
        fix = f"did you mean {listed(near)}?" if near else f"choose from {', '.join(_BY_NAME)}"
        raise RequestError(f"{name!r} is no skill", fix, "skill")
    return found


def level_of(skill: Skill, number: int) -> Level:
    """Return a skill's level by its number, from 1; raise RequestError where there is none."""
    if not 1 <= number <= len(skill.levels):
        has = "; ".join(f"{place} {level.about}" for place, level in enumerate(skill.levels, start=1))
        raise RequestError(f"{skill.name} has no level {number}", f"choose from {has}", "level")
    return skill.levels[number - 1]
