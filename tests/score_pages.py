"""MusicXML of pieces in 4/4, written bar by bar: the bars as a notation program would export them."""

from collections.abc import Sequence
from dataclasses import dataclass

HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0">'
    '<part-list><score-part id="P1"><part-name>M</part-name></score-part></part-list><part id="P1">'
)
ATTRIBUTES = (
    "<attributes><divisions>4</divisions><key><fifths>0</fifths></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
)


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar of one chord: its number as printed, the root, quarter notes, and the signs at its lines."""

    number: str
    root: str
    quarters: int = 4
    opens: bool = False
    closes: bool = False
    ending: int = 0
    times: int = 2


def score_xml(bars: Sequence[Bar]) -> str:
    """Return the MusicXML of bars."""
    measures = (
        f'<measure number="{bar.number}"{_implicit(bar)}>{"" if place else ATTRIBUTES}{_left(bar)}'
        f"<harmony><root><root-step>{bar.root}</root-step></root><kind>major</kind></harmony>"
        f"<note><rest/><duration>{4 * bar.quarters}</duration></note>{_right(bar)}</measure>"
        for place, bar in enumerate(bars)
    )
    return f"{HEAD}{''.join(measures)}</part></score-partwise>"


def _implicit(bar: Bar) -> str:
    return "" if bar.number.isdecimal() and bar.number != "0" else ' implicit="yes"'


def _left(bar: Bar) -> str:
    ending = f'<ending number="{bar.ending}" type="start"/>' if bar.ending else ""
    repeat = '<repeat direction="forward"/>' if bar.opens else ""
    return f'<barline location="left">{ending}{repeat}</barline>' if ending or repeat else ""


def _right(bar: Bar) -> str:
    kind = "stop" if bar.closes else "discontinue"
    ending = f'<ending number="{bar.ending}" type="{kind}"/>' if bar.ending else ""
    times = f' times="{bar.times}"' if bar.times != 2 else ""
    repeat = f'<repeat direction="backward"{times}/>' if bar.closes else ""
    return f'<barline location="right">{ending}{repeat}</barline>' if ending or repeat else ""
