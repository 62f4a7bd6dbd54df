"""Music however it is written, a text of chords, RomanText or a lead sheet, as the progression to play."""

from functools import lru_cache
from typing import TYPE_CHECKING, TypeAlias

from tracks.progression.text import parse_text
from tracks.progression.written import Progression
from tracks.theory.errors import RequestError
from tracks.theory.meter import Meter

if TYPE_CHECKING:
    from tracks.progression.lead_sheet import LeadSheet

Music: TypeAlias = "str | LeadSheet"
"""A text as written, or the lead sheet of a file."""

_USUAL_METER = Meter(4, 4)


@lru_cache(maxsize=8)
def parse(music: Music, meter: Meter) -> Progression:
    """Return the progression that a text writes in a meter, or a lead sheet in its own.

    Raises RequestError, in one line, for every wrong place of the text with its column (in RomanText its line
    and measure) and the fix.
    """
    if not isinstance(music, str):
        return _played(music, meter)
    return _played(_from_romantext(music), meter) if is_romantext(music) else parse_text(music, meter)


def meter_of(music: Music) -> Meter:
    """Return the meter that music itself names, as a lead sheet and RomanText do; 4/4 where it names none."""
    if isinstance(music, str):
        return _from_romantext(music).meter if is_romantext(music) else _USUAL_METER
    return music.meter


def headline(music: Music) -> str:
    """Return what names music in one line: a text of one line itself, else the title of the piece, if any."""
    if isinstance(music, str):
        return _from_romantext(music).title if is_romantext(music) else " ".join(music.split())
    return music.title


def is_romantext(text: str) -> bool:
    """Return whether a text has measure lines; most have no line begun like one, and need no reader."""
    if not any(line.lstrip().startswith("m") for line in text.splitlines()):
        return False
    from tracks.progression.romantext import has_measures

    return has_measures(text)


@lru_cache(maxsize=8)
def _from_romantext(text: str) -> "LeadSheet":
    from tracks.progression.romantext import parse_romantext

    try:
        return parse_romantext(text)
    except RequestError as fault:
        raise fault.at("progression") from fault


def _played(sheet: "LeadSheet", meter: Meter) -> Progression:
    from tracks.progression.playing import progression

    try:
        played = progression(sheet)
    except RequestError as fault:
        raise fault.at("progression") from fault
    if meter != played.meter:
        raise RequestError(
            f"the progression is written in {played.meter}, not {meter}", "ask for that", "meter"
        )
    return played
