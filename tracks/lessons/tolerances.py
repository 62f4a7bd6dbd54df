"""What is asked of a take before it is called ready: each tolerance named, with where it comes from.

Conventions
- Milliseconds, percent, and felt beats, as the names say. Notes are wrong, missing and extra ones together.
- A teacher sets any of them in a level, under `[check]`, by the same names with hyphens. What is together,
  steady or without drift is remarked on by itself; where the teacher sets its limit, the limit decides.

Sources
- `on_time_ms`: 50 ms, the onset window of note tracking as it is scored: mir_eval 0.8.2,
  transcription.match_notes (after MIREX).
- `together_ms`: 75 ms from the first to the last note of both hands; 22 professionals of the Vienna 4x22
  corpus keep 96 % of their chords within it, and 94 % of one hand's within 50 ms (measured for this project).
- `steady_percent`: 5 % of the beat, twice the just noticeable 2.5 % of one displaced tone (Friberg and
  Sundberg, "Time discrimination in a monotonic, isochronous sequence", JASA 98, 1995), which is our judgment.
- `drift_percent`: 6 %, about two just noticeable differences over six beats and more, 3 % each (Drake and
  Botte, "Tempo sensitivity in auditory sequences", Perception & Psychophysics 54, 1993); two is our judgment.
- The rest is the verdict's own (convention): tempo within 2 %, one note to a key, no hesitation over half a
  beat, no restart.
"""

from collections.abc import Mapping
from dataclasses import Field, dataclass, fields
from pathlib import Path
from typing import Any

from tracks.lessons.toml import Document, read_document
from tracks.theory.errors import RequestError


@dataclass(frozen=True, slots=True)
class Tolerances:
    """The most that a ready take may show, and from where on timing is remarked on.

    `decided` are those of the timing's that a teacher has set, so that a take beyond them is not ready.
    """

    tempo_slack_percent: float = 2.0
    most_notes: int = 1
    hesitation_beats: float = 0.5
    most_restarts: int = 0
    on_time_ms: float = 50.0
    one_hand_ms: float = 50.0
    together_ms: float = 75.0
    steady_percent: float = 5.0
    drift_percent: float = 6.0
    decided: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        for field in _limits():
            value = getattr(self, field.name)
            if not 0 <= value <= 1000:
                raise RequestError(f"{value} is outside 0 to 1000", place=field.name.replace("_", "-"))


def _limits() -> "tuple[Field[Any], ...]":
    return tuple(field for field in fields(Tolerances) if field.name != "decided")


USUAL = Tolerances()
TOLERANCES: Mapping[str, float] = {
    field.name.replace("_", "-"): getattr(USUAL, field.name) for field in _limits()
}
"""The usual value of every tolerance, by the name that a level has for it."""


def read_tolerances(level: Path) -> Tolerances:
    """Return what a level sets under `[check]`, the usual for the rest.

    Raises RequestError with file, line and field for what is unknown or no such number.
    """
    document = read_document(level)
    table = document.table("check")
    known = {field.name.replace("_", "-"): field for field in _limits()}
    document.check_known(("check",), table, known)
    given: dict[str, Any] = {
        known[name].name: _number(document, name, value) for name, value in table.items()
    }
    try:
        return Tolerances(**given, decided=frozenset(given))
    except RequestError as fault:
        raise document.fault(("check", *fault.place), fault.reason, fault.fix) from fault


def _number(document: Document, name: str, value: object) -> float:
    whole_only = name.startswith("most-")
    if isinstance(value, bool) or not isinstance(value, int | float) or (whole_only and value != int(value)):
        what = "a whole number" if whole_only else "a number"
        raise document.fault(("check", name), f"{value!r} is not {what}", f"write {name} = 1")
    return value
