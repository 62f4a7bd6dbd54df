"""Request: what the options say, made into drills. A fault names the option it stands in."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from tracks.drill import ladder
from tracks.drill.drill import BAND, BuildUp, Climb, Drill, Form, Mix, usual_count_in
from tracks.hands.voicing import Left, Sevenths, Start
from tracks.model import AudioFormat, Role, Texture
from tracks.progression.changes import home_key
from tracks.progression.library import entry
from tracks.progression.reading import key_read_in, remark_on_reading
from tracks.progression.slips import remarks as odd_numerals
from tracks.progression.source import source
from tracks.progression.text import meter_of, parse
from tracks.style import Style
from tracks.theory.errors import RequestError, listed, near_names
from tracks.theory.key import Key, parse_keys
from tracks.theory.meter import Meter
from tracks.theory.pitch import Interval, Pitch, ascii_accidentals
from tracks.theory.tempo import parse_bpm

_LONGEST_SLUG = 60
_SPOKEN_MIXES = {"both": "hands-together", "right-hand": "right", "left-hand": "left"}
_SMALLEST_IN_HALF_STEPS = 12
_Given = TypeVar("_Given")
_Meant = TypeVar("_Meant")


def read(option: str, parse_text: Callable[[_Given], _Meant], text: _Given) -> _Meant:
    """Return what a text means, or raise its fault with the option's name before it."""
    try:
        return parse_text(text)
    except RequestError as fault:
        raise RequestError(f"{option}: {fault}") from fault


@dataclass(frozen=True, slots=True)
class LadderOptions:
    """The tempo options as given; tempos are texts, for they may name a note value."""

    slowest: str | None = None
    fastest: str | None = None
    step: int | None = None
    rungs: int | None = None
    marks: bool = False
    tempos: Sequence[str] = ()

    def ladder(self, meter: Meter) -> tuple[int, ...]:
        """Return the tempos in felt beats a minute.

        Raises RequestError for options that contradict each other.
        """
        given = {
            "--step": self.step is not None,
            "--rungs": self.rungs is not None,
            "--marks": self.marks,
        }
        kinds = [name for name, is_given in given.items() if is_given]
        if self.tempos and (kinds or self.slowest or self.fastest):
            raise RequestError(
                "--tempo names every tempo itself; leave out --from, --to, --step, --rungs and --marks"
            )
        if len(kinds) > 1:
            raise RequestError(f"{' and '.join(kinds)} are two ways to build a ladder; choose one")
        if self.tempos:
            return ladder.chosen(read("--tempo", lambda t: parse_bpm(t, meter), text) for text in self.tempos)
        return self._climb(meter)

    def _climb(self, meter: Meter) -> tuple[int, ...]:
        low, high = ladder.USUAL[0], ladder.USUAL[-1]
        if self.slowest is not None:
            low = read("--from", lambda t: parse_bpm(t, meter), self.slowest)
            high = max(low, high)
        if self.fastest is not None:
            high = read("--to", lambda t: parse_bpm(t, meter), self.fastest)
            low = low if self.slowest is not None else min(low, high)
        if self.marks:
            return ladder.by_marks(low, high)
        if self.rungs is not None:
            return ladder.by_rungs(low, high, self.rungs)
        return ladder.by_step(low, high, ladder.USUAL_STEP if self.step is None else self.step)


def starts(text: str) -> tuple[Start, ...]:
    """Return the inversions that `--start` asks for."""
    if text == "all":
        return tuple(Start)
    try:
        return (Start(text),)
    except ValueError:
        choices = ", ".join(start.value for start in Start)
        raise RequestError(f"--start {text!r} is no inversion; write {choices} or all") from None


def mixes(texts: Sequence[str]) -> tuple[Mix, ...]:
    """Return the mixes named, each once, in the order of the list; none named means all."""
    if not texts or "all" in texts:
        return tuple(Mix)
    known = {mix.value: mix for mix in Mix}
    for text in texts:
        if text not in known:
            near = near_names(_SPOKEN_MIXES.get(text.lower(), text), known)
            fix = f"did you mean {listed(near)}?" if near else f"write {', '.join(known)} or all"
            raise RequestError(f"--mix {text!r} is none we know; {fix}")
    return tuple(mix for mix in Mix if mix.value in texts)


def band_parts(texts: Sequence[str]) -> tuple[Role, ...]:
    """Return the parts of the band named, each once."""
    known = {role.value: role for role in BAND}
    for text in texts:
        if text not in known:
            raise RequestError(f"--without {text!r} is no part of the band; write {' or '.join(known)}")
    return tuple(role for role in BAND if role.value in texts)


def hand_range(text: str) -> tuple[Pitch, Pitch]:
    """Return the lowest and highest note of a text such as `F3-C6`."""
    low, dash, high = text.partition("-")
    if not dash:
        raise RequestError(f"--range {text!r}: write the lowest and the highest note, like F3-C6")
    return read("--range", Pitch.parse, low.strip()), read("--range", Pitch.parse, high.strip())


def hand_span(text: str) -> int:
    """Return the half steps of a hand's span: `octave`, `9th` (the major one), `m10`, or 12 of them and more.

    A smaller bare number is refused: who writes 9 means a ninth as likely as nine half steps.
    """
    words = text.strip()
    if words.isdecimal():
        if int(words) < _SMALLEST_IN_HALF_STEPS:
            raise RequestError(
                f"--hand {words}: half steps count from {_SMALLEST_IN_HALF_STEPS}, an octave, up; "
                "write 9th for a ninth, or 7th or m6 for a smaller hand"
            )
        return int(words)
    ordinal = re.fullmatch(r"(\d{1,2})(?:th|st|nd|rd)", words)
    name = "P8" if words in ("octave", "8ve") else ordinal[1] if ordinal else words
    for quality in ("P", "M", "") if ordinal else ("",):
        try:
            return Interval.parse(quality + name).semitones
        except RequestError:
            continue
    raise RequestError(
        f"--hand {text!r} is no span; write one like octave, 9th, m10, or half steps from 12 up"
    )


def keys(texts: Sequence[str], progression: str, text: str, meter: Meter) -> tuple[Key, ...]:
    """Return the keys asked for, or the one that the progression's text speaks of."""
    chosen = read("--key", parse_keys, tuple(texts)) if texts else (home_key(parse(text, meter)),)
    named = entry(progression)
    for key in chosen:
        if named and key.mode is not named.mode:
            raise RequestError(
                f"--key: {named.name} is a progression in {named.mode.value}, and {key} is not; "
                f"choose {named.mode.value} keys, like all-{named.mode.value}"
            )
    return chosen


def slug(progression: str) -> str:
    """Return a folder's name for a progression: its library name, or its text in letters and hyphens."""
    words = re.sub(r"[^A-Za-z0-9]+", "-", ascii_accidentals(progression)).strip("-")
    return words[:_LONGEST_SLUG].rstrip("-") or "progression"


@dataclass(frozen=True, slots=True)
class Request:
    """What is asked of one progression, in the options' own words."""

    progression: str
    keys: Sequence[str] = ()
    meter: str | None = None
    texture: Texture | None = None
    start: str = "root"
    sevenths: Sevenths | None = None
    hand_range: str = "F3-C6"
    written_in: str | None = None
    style: str = "block"
    level: int = 1
    name: str | None = None
    tempos: LadderOptions = LadderOptions()
    mixes: Sequence[str] = ()
    count_in: int | None = None
    click: bool = True
    repeats: int = 1
    seed: int = 1
    midi_type: int = 1
    feel: bool | None = None
    without: Sequence[str] = ()
    lead_in: bool = False
    climb: Climb | None = None
    build_up: BuildUp | None = None
    key_cycle: bool = False
    stems: bool = False
    short_names: bool = False
    sheet: bool = False
    large_print: bool = False
    audio: AudioFormat | None = None
    bars: str | None = None
    hand: str = "octave"
    left: Left | None = None
    spread: bool = False
    form: Form = Form.PLAIN
    turn: int | None = None

    @property
    def remarks(self) -> tuple[str, ...]:
        """What was corrected in reading a file, each with its place; how symbols were read; odd numerals."""
        music = source(self.progression, self.bars)
        if music.name != self.progression or entry(self.progression):
            return music.remarks  # a file, or a progression of the library, says what it means
        meter = self._meter(music.text)
        progression, chosen = parse(music.text, meter), keys(self.keys, self.progression, music.text, meter)
        reading = "" if self.written_in else remark_on_reading(progression, chosen)
        return (*filter(None, (reading,)), *odd_numerals(progression, chosen))

    def _written_in(self, text: str, meter: Meter, chosen: tuple[Key, ...]) -> Key | None:
        if self.written_in:
            return read("--written-in", Key.parse, self.written_in)
        return key_read_in(parse(text, meter), chosen)

    def _meter(self, text: str) -> Meter:
        return read("--meter", Meter.parse, self.meter) if self.meter else meter_of(text)

    def drills(self, style: Style | None = None) -> tuple[Drill, ...]:
        """Return a drill for each starting inversion; a style's preferences fill what is left open."""
        music = source(self.progression, self.bars)
        meter = self._meter(music.text)
        chosen = keys(self.keys, self.progression, music.text, meter)
        low, high = hand_range(self.hand_range)
        wanted = starts(self.start)
        keeps_third = style is not None and style.info.keeps_third
        texture = style.info.textures[0] if style else Texture.HANDS_TOGETHER
        name = slug(music.name) if self.name is None else self.name
        return tuple(
            Drill(
                name=f"{name}-{start.value}" if len(wanted) > 1 else name,
                progression=music.text,
                keys=chosen,
                meter=meter,
                tempos=self.tempos.ladder(meter),
                style=style.info.name if style else self.style,
                level=self.level,
                texture=self.texture or texture,
                start=start,
                sevenths=self.sevenths or (Sevenths.KEEP_THIRD if keeps_third else Sevenths.SMOOTHEST),
                low=low,
                high=high,
                mixes=mixes(self.mixes),
                count_in=usual_count_in(meter) if self.count_in is None else self.count_in,
                click=self.click,
                repeats=self.repeats,
                seed=self.seed,
                midi_type=self.midi_type,
                written_in=self._written_in(music.text, meter, chosen),
                feel=self.feel,
                without=band_parts(self.without),
                lead_in=self.lead_in,
                climb=self.climb,
                build_up=self.build_up,
                key_cycle=self.key_cycle,
                stems=self.stems,
                short_names=self.short_names,
                sheet=self.sheet,
                large_print=self.large_print,
                hand=hand_span(self.hand),
                left=self.left or Left.BASS,
                spread=self.spread,
                form=self.form,
                turn=self.turn,
                audio=self.audio,
            )
            for start in wanted
        )
