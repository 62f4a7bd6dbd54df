"""How much is asked for, before any work: bars, files, sound, bytes, and about how long it takes.

Conventions
- Everything is worked out from the drill's options and its text, before anything is voiced or played. Counts
  are of the most there may be: mixes that make no sense for a style are passed over later.
- More than a bound is a mistake far more often than a wish: it is refused, with the estimate and the fix.
  What takes more than a minute is told before it begins.

The rates are rough (docs/hardening.md), taken from single runs: enough to tell a minute from
an hour.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from tracks.drill.drill import Climb, Drill, Ending, Mix
from tracks.model import AudioFormat, Role
from tracks.practice.endings import LONG_TAG
from tracks.progression.music import parse
from tracks.progression.written import Progression
from tracks.style import Style
from tracks.theory.errors import RequestError
from tracks.theory.tempo import seconds

MOST_BARS = 10_000
MOST_FILES = 200_000
MOST_SOUND_S = 900.0
WORTH_TELLING_S = 60.0

_BYTES_A_SECOND = {
    AudioFormat.WAV: 192_000,
    AudioFormat.FLAC: 53_000,
    AudioFormat.MP3: 16_000,
    AudioFormat.OGG: 15_000,
}
_BYTES_A_CHORD, _BYTES_A_FILE, _BYTES_A_SHEET = 90, 900, 60_000
_S_A_FILE, _S_A_CHORD, _S_A_VOICING = 0.0004, 0.00002, 0.001
_S_A_SECOND_OF_SOUND, _S_A_SHEET, _S_A_CHORD_ON_PAPER = 0.03, 0.15, 0.02
_WITH_A_BAND = {Mix.YOU_PLAY_RIGHT, Mix.YOU_PLAY_LEFT}
"""Where there are two hands only, leaving out one is the other alone."""
_STEMS = 6
"""A part each, and the zip."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """What a drill comes to: the bars of a file, the longest sound, and the rest of it all."""

    bars: int = 0
    files: int = 0
    longest_sound_s: float = 0.0
    sound_s: float = 0.0
    size: int = 0
    work_s: float = 0.0

    def __str__(self) -> str:
        sound = f", {_lasting(self.sound_s)} of sound" if self.sound_s else ""
        return f"about {self.files:,} files{sound}, {_sized(self.size)}"


def estimate(drill: Drill, style: Style) -> Estimate:
    """Return what a drill comes to; raise RequestError where its progression cannot be read."""
    written = parse(drill.progression, drill.meter)
    chords = len(written.chords) * drill.repeats
    tracks = _tracks(drill, style, written)
    played_s = sum(count * lasts_s for count, lasts_s in tracks)
    sound_s = played_s if drill.audio else 0.0
    keys, count = len(drill.keys), sum(count for count, _ in tracks)
    sheets = 2 * (keys + 1) * drill.sheet + drill.page
    chords_played = chords * played_s / max(tracks[0][1], 1.0)
    files = count * (2 if drill.audio else 1) + keys * _STEMS * drill.stems + sheets
    return Estimate(
        bars=-(-written.length * drill.repeats // drill.meter.bar),
        files=files,
        longest_sound_s=max(lasts_s for _, lasts_s in tracks) if drill.audio else 0.0,
        sound_s=sound_s,
        size=round(
            count * _BYTES_A_FILE
            + chords_played * _BYTES_A_CHORD
            + (sound_s * _BYTES_A_SECOND[drill.audio] if drill.audio else 0)
            + sheets * _BYTES_A_SHEET
        ),
        work_s=files * _S_A_FILE
        + chords_played * _S_A_CHORD
        + keys * len(written.chords) * _S_A_VOICING
        + sound_s * _S_A_SECOND_OF_SOUND
        + sheets * _S_A_SHEET
        + (keys * chords * _S_A_CHORD_ON_PAPER if sheets else 0),
    )


def _tracks(drill: Drill, style: Style, written: Progression) -> list[tuple[int, float]]:
    """Return how many tracks there are of each length in seconds; the rungs of the ladder come first."""
    tag = LONG_TAG * (drill.ending is Ending.TAG)
    length = written.length * drill.repeats + (drill.count_in + tag) * drill.meter.bar
    keys, mixes = len(drill.keys), len(drill.mixes or _unlike(style))
    rungs = [seconds(length, bpm, drill.meter) for bpm in drill.tempos]
    found = [(keys * mixes, lasts_s) for lasts_s in rungs]
    if drill.build_up:
        times = (len(written.chords) + 1) / 2 / drill.repeats
        found += [(keys * mixes, lasts_s * times) for lasts_s in rungs]
    if drill.key_cycle:
        found += [(mixes, lasts_s * keys) for lasts_s in rungs]
    if drill.climb is Climb.HANDS_IN_TURN:
        found.append((keys, 3 * sum(rungs)))
    elif drill.climb:
        found.append((keys * mixes, sum(rungs)))
    return found


def _unlike(style: Style) -> tuple[Mix, ...]:
    """Return the mixes that are made where none is named: those that do not sound like one before them."""
    has_band = bool({Role.BASS, Role.DRUMS} & set(style.info.roles))
    return tuple(Mix) if has_band else tuple(mix for mix in Mix if mix not in _WITH_A_BAND)


def total(estimates: Iterable[Estimate]) -> Estimate:
    """Return what several drills come to: the largest bars and sound of all, and the sums of the rest."""
    every = tuple(estimates)
    return Estimate(
        bars=max((each.bars for each in every), default=0),
        files=sum(each.files for each in every),
        longest_sound_s=max((each.longest_sound_s for each in every), default=0.0),
        sound_s=sum(each.sound_s for each in every),
        size=sum(each.size for each in every),
        work_s=sum(each.work_s for each in every),
    )


def check(asked: Estimate) -> None:
    """Raise RequestError, with the estimate and the fix, for more than is ever meant."""
    if asked.bars > MOST_BARS:
        raise RequestError(
            f"this is {asked.bars:,} bars, more than {MOST_BARS:,}", "ask for fewer repeats", "repeats"
        )
    if asked.longest_sound_s > MOST_SOUND_S:
        raise RequestError(
            f"the longest sound would last {_lasting(asked.longest_sound_s)}, "
            f"more than {_lasting(MOST_SOUND_S)}",
            "ask for fewer repeats, keys in a cycle or rungs in a climb, or a faster tempo",
            "audio",
        )
    if asked.files > MOST_FILES:
        raise RequestError(
            f"this is {asked}, more than {MOST_FILES:,} files", "ask for fewer keys, tempos or mixes at once"
        )


def remark(asked: Estimate) -> str:
    """Return what is told before work that takes more than a minute; nothing before less."""
    if asked.work_s <= WORTH_TELLING_S:
        return ""
    return f"this makes {asked}; it may take {_lasting(asked.work_s)}, and Ctrl-C stops it"


def _lasting(time_s: float) -> str:
    for unit, name in ((86_400, "day"), (3600, "hour"), (60, "minute")):
        if time_s >= unit:
            count = round(time_s / unit)
            return f"{count:,} {name}{'s' if count > 1 else ''}"
    return f"{round(time_s)} seconds"


def _sized(size: int) -> str:
    for unit, name in ((10**12, "TB"), (10**9, "GB"), (10**6, "MB")):
        if size >= unit:
            return f"{size / unit:,.0f} {name}"
    return f"{size / 1000:,.0f} kB"
