"""Request: what the options say, made into drills.

Most options fill a field of the Drill as they stand (`Option.drill_field`). The rest is worked out here: what
the progression, the meter or the style says where an option is left open, the ladder of tempos, and a drill
for each inversion to start on.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tracks.drill import ladder
from tracks.drill.drill import Drill, numbered, usual_count_in
from tracks.drill.options import BY_NAME, meaning, today
from tracks.drill.paper import usual_paper
from tracks.progression.changes import home_key
from tracks.progression.files import names_a_file
from tracks.progression.library import entry
from tracks.progression.music import Music, is_romantext, meter_of, parse
from tracks.progression.reading import key_read_in, remark_on_reading
from tracks.progression.slips import remarks as odd_numerals
from tracks.progression.source import Source, source
from tracks.theory.errors import RequestError, listed, read
from tracks.theory.key import Key
from tracks.theory.meter import Meter
from tracks.theory.note_names import NoteNames
from tracks.theory.pitch import ascii_accidentals
from tracks.theory.tempo import parse_bpm

if TYPE_CHECKING:
    from tracks.style import Style

LADDER = ("tempos", "from", "to", "step", "rungs", "marks")
"""The options that say at which tempos a drill is played."""
WAYS_UP = ("step", "rungs", "marks")
"""The ways to build a ladder, of which one is chosen."""

BY_STYLE = ("texture", "sevenths")
"""The options that a style chooses where they are left open."""

_LONGEST_SLUG = 60


def tempos(given: Mapping[str, Any], meter: Meter) -> tuple[int, ...]:
    """Return the tempos that options ask for, in felt beats a minute.

    Raises RequestError for options that contradict each other.
    """
    ways = [name for name in WAYS_UP if given.get(name) not in (None, False)]
    if "tempos" in given and (ways or "from" in given or "to" in given):
        raise RequestError(
            "they name every tempo themselves", f"leave out {listed(LADDER[1:], 'and')}", "tempos"
        )
    if len(ways) > 1:
        raise RequestError(f"{listed(ways, 'and')} are two ways to build a ladder", "choose one", ways[0])
    if "tempos" in given:
        return ladder.chosen(_bpm("tempos", text, meter) for text in given["tempos"])
    low, high = ladder.USUAL[0], ladder.USUAL[-1]
    if "from" in given:
        low = _bpm("from", given["from"], meter)
        high = max(low, high)
    if "to" in given:
        high = _bpm("to", given["to"], meter)
        low = low if "from" in given else min(low, high)
    if given.get("marks"):
        return ladder.by_marks(low, high)
    if "rungs" in given:
        return ladder.by_rungs(low, high, given["rungs"])
    return ladder.by_step(low, high, given.get("step", ladder.USUAL_STEP))


def _bpm(name: str, text: str, meter: Meter) -> int:
    return read(name, lambda text: parse_bpm(text, meter), text)


def with_defaults(given: Mapping[str, object], defaults: Mapping[str, object]) -> dict[str, object]:
    """Return a drill's options over the lesson's defaults.

    A drill that says how its tempos go takes no other way of saying so from the defaults.
    """
    dropped: set[str] = set()
    if "tempos" in given:
        dropped.update(LADDER)
    elif any(name in given for name in LADDER):
        dropped.add("tempos")
    if any(name in given for name in WAYS_UP):
        dropped.update(WAYS_UP)
    return {name: value for name, value in defaults.items() if name not in dropped} | dict(given)


def slug(progression: str) -> str:
    """Return a folder's name for a progression: its library name, or its text in letters and hyphens."""
    words = re.sub(r"[^A-Za-z0-9]+", "-", ascii_accidentals(progression)).strip("-")
    return words[:_LONGEST_SLUG].rstrip("-") or "progression"


@dataclass(frozen=True, slots=True)
class Request:
    """What is asked of one progression: `given` are the options said, well shaped, by their names."""

    progression: str
    given: Mapping[str, Any]

    @property
    def style_name(self) -> str:
        """The style asked for by its name, or by the path of its file."""
        return str(self.given.get("style", BY_NAME["style"].default))

    @property
    def note_names(self) -> NoteNames:
        """Whose names of notes and keys the options are written in."""
        names: NoteNames = meaning("note-names", self.given.get("note-names", NoteNames.ENGLISH.value))
        return names

    @property
    def music(self) -> str:
        """The progression in English names; what names a file or one of the library stays as it is."""
        text = self.progression
        if names_a_file(text) or entry(text) or is_romantext(text):
            return text
        return self.note_names.english(text)

    def style(self, load: Callable[[str], "Style"]) -> "Style":
        """Return the style asked for, over the band asked for; raise RequestError where there is none."""
        from tracks.style.band import loaded

        return loaded(self.style_name, self._asked("band"), load)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What was corrected in reading a file, each with its place; how symbols were read; odd numerals."""
        return tuple(map(self.note_names.printed, self._remarks()))

    def _remarks(self) -> tuple[str, ...]:
        found = self._source()
        if found.name != self.music or entry(self.progression):
            return found.remarks  # a file, or a progression of the library, says what it means
        meter = self._meter(found.music)
        progression, chosen = parse(found.music, meter), self._keys(found.music, meter)
        reading = "" if "written-in" in self.given else remark_on_reading(progression, chosen)
        return (*filter(None, (reading,)), *odd_numerals(progression, chosen))

    def drills(self, style: "Style | None" = None) -> tuple[Drill, ...]:
        """Return a drill for each starting inversion; a style's preferences fill what is left open.

        Raises RequestError, in the names asked for, where there is none.
        """
        try:
            return self._drills(style)
        except RequestError as fault:
            raise fault.worded(self.note_names.printed) from fault

    def _drills(self, style: "Style | None") -> tuple[Drill, ...]:
        found = self._source()
        meter = self._meter(found.music)
        keys = self._keys(found.music, meter)
        fields: dict[str, Any] = {
            **_left_open(meter, style, bool(self.given.get("sheet"))),
            "written_in": key_read_in(parse(found.music, meter), keys),
            **self._said(),
            "progression": found.music,
            "meter": meter,
            "keys": keys,
            "tempos": tempos(self.given, meter),
        }
        fields |= {"style": style.info.name} if style else {}
        starts = fields.pop("start", (BY_NAME["start"].drill_default,))
        name = self.given.get("name", slug(found.name))
        return numbered(
            Drill(**fields, name=f"{name}-{start.value}" if start and len(starts) > 1 else name, start=start)
            for start in starts
        )

    def _said(self) -> dict[str, Any]:
        """Return the Drill's fields that options fill as they stand, and the two of the range."""
        said = {
            option.drill_field: meaning(name, value, self.note_names)
            for name, value in self.given.items()
            if (option := BY_NAME[name]).drill_field
        }
        ends = self._asked("range")
        return said | (dict(zip(("low", "high"), ends, strict=True)) if ends else {})

    def _asked(self, name: str) -> Any:
        """Return what an option asks for, None where it is left out."""
        return meaning(name, self.given[name], self.note_names) if name in self.given else None

    def _source(self) -> Source:
        try:
            return source(self.music, self.given.get("bars"))
        except RequestError as fault:
            raise (fault if fault.place else fault.at("progression")) from fault

    def _meter(self, music: Music) -> Meter:
        asked: Meter | None = self._asked("meter")
        return asked or meter_of(music)

    def _keys(self, music: Music, meter: Meter) -> tuple[Key, ...]:
        """Return the keys asked for, or the one that the progression's music speaks of."""
        chosen: tuple[Key, ...] = self._asked("keys") or (home_key(parse(music, meter)),)
        named = entry(self.progression)
        for key in chosen:
            if named and key.mode is not named.mode:
                raise RequestError(
                    f"{named.name} is a progression in {named.mode.value}, and {key} is not",
                    f"choose {named.mode.value} keys, like all-{named.mode.value}",
                    "keys",
                )
        return chosen


def _left_open(meter: Meter, style: "Style | None", on_paper: bool) -> dict[str, Any]:
    """Return what holds for a drill where nothing else is asked; a drill with a sheet holds its paper."""
    by_style: dict[str, Any] = {"texture": style.info.textures[0]} if style else {}
    by_locale: dict[str, Any] = {"paper": usual_paper()} if on_paper else {}
    return {"count_in": usual_count_in(meter), **by_style, **by_locale}


def request_of(given: Mapping[str, Any]) -> Request:
    """Return what well-shaped options ask for; one of them is the progression."""
    said = today(given)
    return Request(said.pop("progression"), said)
