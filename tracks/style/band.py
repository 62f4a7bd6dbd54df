"""A band under a tune: one style's melody over another's bass, drums and comping.

Conventions
- The two are one pianist and a band: the right hand has the tune, the left comps as the band's style does
  where both hands comp, bass and drums play theirs. The tune is the one it would be without a band.
- The band hears the tune, and leaves room where it is busy. It plays at the tune's level, or at its own
  highest below that, and its feel is everybody's.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from tracks.model import Part, Role, Texture
from tracks.style.contract import Brief, Style
from tracks.style.playing import play
from tracks.theory.errors import RequestError

if TYPE_CHECKING:
    from random import Random

_BANDS = (Role.LEFT, Role.BASS, Role.DRUMS)


def loaded(name: str, band: str | None, load: Callable[[str], Style]) -> Style:
    """Return the style of a name, its tune over the band of another's where there is one.

    Raises RequestError, at `style` or `band`, as `load` does and where the two do not go together.
    """
    style = _at("style", load, name)
    return _at("band", lambda other: over_band(style, load(other)), band) if band else style


def over_band(style: Style, band: Style) -> Style:
    """Return a style of one's tune over the other's band; raise RequestError where there is none."""
    tune, under = style.info, band.info
    if Role.MELODY not in tune.roles:
        raise RequestError(f"style {tune.name} plays no melody over a band", "choose the style improvise")
    if Role.MELODY in under.roles or Texture.DOUBLED not in under.textures:
        raise RequestError(f"style {under.name} is no band for a melody", "choose another, like swing")
    meters = tuple(meter for meter in tune.meters if meter in under.meters)
    info = replace(
        tune,
        meters=meters,
        roles=(Role.MELODY, *(role for role in _BANDS if role in under.roles)),
        textures=(Texture.DOUBLED,),
        follows_tempo=tune.follows_tempo or under.follows_tempo,
        feel=under.feel,
    )

    def together(brief: Brief, rng: "Random") -> tuple[Part, ...]:
        melody = tuple(part for part in play(style, brief, rng) if part.role is Role.MELODY)
        heard = tuple(note for part in melody for note in part.notes)
        below = replace(brief, level=min(brief.level, len(under.levels)), melody=heard)
        return (*melody, *(part for part in play(band, below, rng) if part.role in _BANDS))

    return Style(info, together)


def _at(place: str, work: Callable[[str], Style], name: str) -> Style:
    try:
        return work(name)
    except RequestError as fault:
        raise (fault if fault.place[:1] in (("style",), ("band",)) else fault.at(place)) from fault
