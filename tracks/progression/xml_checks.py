"""A MusicXML part checked before the reader meets it: some numbers it would count to, one by one.

Format of BOUNDS: element, the least and the greatest number that makes sense in it.

Source: MusicXML 4.0 (W3C Music Notation Community Group, June 2021) for what the elements are; the bounds are
wider than music needs (convention).
"""

import re
from collections.abc import Mapping
from xml.etree.ElementTree import Element

from tracks.theory.errors import RequestError, one_line

BOUNDS: Mapping[str, tuple[float, float]] = {
    "root-alter": (-2, 2),
    "bass-alter": (-2, 2),
    "degree-alter": (-3, 3),
    "degree-value": (1, 99),
    "alter": (-4, 4),
    "octave": (-1, 12),
    "fifths": (-7, 7),
    "divisions": (1 / 1000, 1_000_000),
    "duration": (0, 10_000_000),
    "staves": (1, 99),
    "staff-lines": (0, 99),
    "multiple-rest": (0, 10_000),
    "measure-repeat": (0, 10_000),
    "actual-notes": (1, 1000),
    "normal-notes": (1, 1000),
    "diatonic": (-99, 99),
    "chromatic": (-99, 99),
    "octave-change": (-12, 12),
}
_NUMBERED = ("number", "times")
_ROOT = re.compile(r"\s*[A-G]\s*")
_TOO_LONG = re.compile(r"\d{8,}")


def check_part(part: Element) -> None:
    """Raise RequestError, naming the measure, for a number that makes no sense and a chord without a root."""
    for measure in part.findall("measure"):
        for harmony in measure.iter("harmony"):
            if harmony.findtext("kind", "").strip() != "none" and not _ROOT.fullmatch(
                harmony.findtext("root/root-step", "")
            ):
                raise RequestError(
                    f"{_place(measure)}a chord symbol has no root", "write its root in letters"
                )
        for element in (measure, *measure.iter()):
            text = element.text or ""
            if element.tag in BOUNDS:
                _check(text, measure, element.tag)
            for name in _NUMBERED:
                if _TOO_LONG.search(element.get(name, "")):
                    raise RequestError(
                        f"{_place(measure)}{element.tag} {name} {one_line(element.get(name, ''), 40)} "
                        "is larger than any in music",
                        "export the piece again",
                    )


def _check(text: str, measure: Element, tag: str) -> None:
    least, most = BOUNDS[tag]
    try:
        makes_sense = least <= float(text) <= most
    except ValueError:
        makes_sense = False
    if not makes_sense:
        raise RequestError(
            f"{_place(measure)}{tag} {one_line(text, 40)!r} is no number from {least:,g} to {most:,g}",
            "export the piece again",
        )


def _place(measure: Element) -> str:
    number = measure.get("number", "")
    return f"measure {number}: " if number and not _TOO_LONG.search(number) else ""
