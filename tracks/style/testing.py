"""The style contract as checks, for the author of any style.

In a style's own tests:

    from tracks.style.testing import check_style
    from my_style import STYLE

    def test_keeps_the_contract():
        check_style(STYLE)

A trial is a made-up progression with all that a drill may bring: chords of two bars, of one, of half a bar
and of less than a beat, slash basses, sevenths, silence, a change of key, minor, with a pickup and without.
Every meter, texture and level the style declares is tried, all of it twice over, so that a style which
remembers or which takes chance from elsewhere is found out.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from tracks.hands.options import VoicingOptions
from tracks.model import Changes, ChordAt, Part, Role, Texture, VoicedChord
from tracks.style import RANGES, Brief, Style
from tracks.theory.chord import parse_symbol
from tracks.theory.key import Key
from tracks.theory.meter import Meter, Time

# A key and its bars; in a bar one chord fills it, two share it, `,` cuts the first off within a beat and
# `%` holds the chord before through the bar.
_TRIAL = (
    ("C", ("C", "%", "Am F", "Dm7 G7", "N.C.", "C/E,G7/F", "C N.C.")),
    ("Eb", ("Ebmaj7", "Bb7/D Eb")),
    ("c", ("Cm Fm6", "Dm7b5,G7", "Bdim7/D", "Cm")),
)
_SLOW, _FAST = 60, 200
_MOST_COMPLAINTS = 12


@dataclass(frozen=True, slots=True)
class _Case:
    """One brief to try and the words that name it."""

    words: str
    brief: Brief


def check_style(style: Style) -> None:
    """Raise AssertionError, one line for each complaint, where a style breaks the contract."""
    found = complaints(style)
    if found:
        lines = "".join(f"\n- {line}" for line in found[:_MOST_COMPLAINTS])
        more = len(found) - _MOST_COMPLAINTS
        raise AssertionError(
            f"style {style.info.name} breaks its contract:{lines}"
            + (f"\n... and {more} more" if more > 0 else "")
        )


def complaints(style: Style) -> tuple[str, ...]:
    """Return what a style breaks of the contract, a line each, with the meter, texture and level."""
    cases = tuple(_cases(style))
    found: dict[str, None] = {}
    first, played = [], set()
    for case in cases:
        parts = _play(style, case, found)
        first.append(parts)
        if parts is not None:
            played |= {part.role for part in parts if part.notes or part.hits}
            found.update(
                dict.fromkeys(f"{case.words}: {words}" for words in _broken(style, case.brief, parts))
            )
    if not found:
        for case, parts in zip(cases, first, strict=True):
            if _play(style, case, found) != parts:
                found[f"{case.words}: the same brief and seed gave other parts the second time"] = None
    for role in style.info.roles:
        if role not in played:
            found[f"the {role.value} is declared and never played"] = None
    return tuple(found)


@lru_cache(maxsize=256)
def trial(meter: Meter, texture: Texture, pickup: Time = 0) -> tuple[tuple[VoicedChord, ...], Time]:
    """Return the trial's voiced chords in a meter and their length in ticks."""
    from tracks.hands.both import voice_hands

    changes = _changes(meter, pickup)
    chords = voice_hands(changes, VoicingOptions(texture)).chords
    return (*chords[:-1], replace(chords[-1], last=True)), changes.length


def _cases(style: Style) -> Iterator[_Case]:
    info = style.info
    for meter in info.meters:
        for texture in info.textures:
            for pickup in (0, meter.beat if meter.beats > 1 else meter.division):
                chords, length = trial(meter, texture, pickup)
                for level in range(1, len(info.levels) + 1):
                    for bpm in (_SLOW, _FAST) if info.follows_tempo else (None,):
                        brief = Brief(chords, meter, length, texture, level, pickup, bpm)
                        words = f"{meter} {texture.value} level {level}" + (
                            " with a pickup" if pickup else ""
                        )
                        yield _Case(words, brief)


def _play(style: Style, case: _Case, found: dict[str, None]) -> tuple[Part, ...] | None:
    from random import Random

    try:
        parts = style.play(case.brief, Random(1))
    except Exception as error:
        found[f"{case.words}: it fails with {type(error).__name__}: {error}"] = None
        return None
    if not isinstance(parts, tuple) or not all(isinstance(part, Part) for part in parts):
        found[f"{case.words}: it gives no tuple of parts"] = None
        return None
    return parts


def _broken(style: Style, brief: Brief, parts: tuple[Part, ...]) -> Iterator[str]:
    roles = [part.role for part in parts]
    for role in dict.fromkeys(roles):
        if role not in style.info.roles:
            yield f"the {role.value} is played and not declared"
        if roles.count(role) > 1:
            yield f"the {role.value} is given twice"
    for part in parts:
        yield from _broken_by_part(part, brief)
    by_role = {part.role: part for part in parts}
    if Role.RIGHT in by_role and Role.LEFT in by_role:
        yield from _held_by_both(by_role[Role.RIGHT], by_role[Role.LEFT])


def _broken_by_part(part: Part, brief: Brief) -> Iterator[str]:
    name = part.role.value
    percussive = part.role in (Role.DRUMS, Role.CLICK)
    if part.notes if percussive else part.hits:
        yield f"the {name} has {'notes' if percussive else 'strokes of percussion'}"
    if any(note.end > brief.length for note in part.notes) or any(h.start >= brief.length for h in part.hits):
        yield f"the {name} plays on after the end"
    low, high = RANGES.get(part.role, (0, 127))
    for note in part.notes:
        if not low <= note.pitch.midi <= high:
            yield f"the {name} plays {note.pitch}, outside MIDI {low} to {high}"
    yield from (f"the {name} strikes {pitch} while it still holds it" for pitch in _struck_again(part))
    if len({(hit.start, hit.key) for hit in part.hits}) < len(part.hits):
        yield f"the {name} strikes one key twice at a moment"
    if part.role in (Role.RIGHT, Role.LEFT, Role.BASS) and _sounds_in_silence(part, brief):
        yield f"the {name} sounds where the chords are silent"


def _struck_again(part: Part) -> Iterator[str]:
    held_until: dict[int, Time] = {}
    for note in sorted(part.notes, key=lambda note: note.start):
        if note.start < held_until.get(note.pitch.midi, 0):
            yield note.pitch.name
        held_until[note.pitch.midi] = max(note.end, held_until.get(note.pitch.midi, 0))


def _held_by_both(right: Part, left: Part) -> Iterator[str]:
    held: dict[int, list[tuple[Time, Time]]] = {}
    for note in right.notes:
        held.setdefault(note.pitch.midi, []).append((note.start, note.end))
    for note in left.notes:
        if any(s < note.end and note.start < e for s, e in held.get(note.pitch.midi, ())):
            yield f"both hands hold {note.pitch}"


def _sounds_in_silence(part: Part, brief: Brief) -> bool:
    silences = [voiced.at for voiced in brief.chords if voiced.at.chord is None]
    return any(note.start < at.end and at.start < note.end for at in silences for note in part.notes)


@lru_cache(maxsize=64)
def _changes(meter: Meter, pickup: Time) -> Changes:
    chords: list[ChordAt] = []
    now: Time = 0
    if pickup:
        chords.append(ChordAt(0, pickup, parse_symbol("G7"), Key.parse("C"), bar=0, written=0))
        now = pickup
    bar = 0
    for key_name, bars in _TRIAL:
        key = Key.parse(key_name)
        for text in bars:
            bar += 1
            if text == "%":
                chords[-1] = replace(chords[-1], length=chords[-1].length + meter.bar)
            for name, start, length in _shares(text, meter) if text != "%" else ():
                chord = None if name == "N.C." else parse_symbol(name)
                chords.append(ChordAt(now + start, length, chord, key, bar, written=len(chords)))
            now += meter.bar
    return Changes(meter, tuple(chords), now, pickup)


def _shares(text: str, meter: Meter) -> tuple[tuple[str, Time, Time], ...]:
    """Return name, start and length of each chord of a bar."""
    names = text.replace(",", " ").split()
    if len(names) == 1:
        return ((names[0], 0, meter.bar),)
    cut = meter.division if "," in text or meter.beats == 1 else (meter.beats + 1) // 2 * meter.beat
    return ((names[0], 0, cut), (names[1], cut, meter.bar - cut))
