"""Figures laid on chords: the parts of hands, of a bass and of drums.

How a figure meets the chords
- It starts at every bar line (a longer one at every second, third ...) and repeats until the next; with
  `anew` it starts again at every chord too, and a longer one counts its bars from the chord's first. A plan
  of phrases is figures one after another, each counted from where it begins.
- A chord that enters while a stroke is held strikes again: nothing sounds past its own chord's end. A stroke
  that anticipates is the coming chord's already, sounds on into it, and is not struck again.
- What a bass strikes first on a chord is the chord's bass: an alternate, a fifth, an octave gives way there.
- No chord is passed over: where a figure rests all through one, it is struck as it enters, and held.
- In silence nothing is struck, nor is silence anticipated. A pickup takes the end of a bar.
- A beat is the felt beat, so one figure serves 2/4 and 6/8, 4/4 and 12/8.

Loudness is even but for accents and ghost notes; the weight of a moment is played where a part is given feel
(`tracks.patterns.feel`).
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from tracks.model import ACOUSTIC_GRAND_PIANO, ChordAt, Hit, Note, Part, Role, VoicedChord
from tracks.patterns.figures import Figure, Stroke
from tracks.patterns.phrases import Plan, Section
from tracks.patterns.struck import hand_of, struck
from tracks.style import Brief
from tracks.theory.meter import Meter, Time

if TYPE_CHECKING:
    from tracks.patterns.registers import Fingered

FULL_VOLUME, BASS_VOLUME = 100, 80
"""Volumes of a hand and of a bass player, whom a sound set makes much the louder (measured on one)."""

_FIRST_ON_CHORD = {"F": "B", "P": "B", **dict.fromkeys("MVHDSN", "L")}
_DOWNBEAT, _HALF_BAR, _OFF_BEAT, _ACCENT, _GHOST = 8, 4, -6, 12, -34


class _Sound(NamedTuple):
    """A stroke on a chord: from where to where it sounds, where it was written to begin and would end."""

    start: Time
    end: Time
    written: Time
    would_end: Time
    stroke: Stroke


class _Chord(NamedTuple):
    """A chord as a part has it: from where to where, and what comes after it."""

    voiced: VoicedChord
    start: Time
    end: Time
    coming: VoicedChord | None
    coming_end: Time


def lay(
    brief: Brief,
    role: Role,
    *playing: Figure | Plan,
    loudness: int = 76,
    early: Time = 0,
    program: int = ACOUSTIC_GRAND_PIANO,
) -> Part:
    """Return the part of a hand or a bass that plays figures, or plans of them, on the brief's chords.

    The right hand takes the chord's right hand, a bass the chord's tones in its register, every other role
    the left hand. `loudness` is the velocity of a stroke without accent. `early` is how many ticks bar lines
    and chords come early for this part, as a push does; the first chord, and one after silence, stay.
    """
    notes: list[Note] = []
    # A chord that comes again is the same object: what its cells strike is worked out once.
    known: dict[tuple[object, ...], tuple[Fingered, ...]] = {}
    chords = _entering(brief, early)
    for each in playing:
        sections = _sections(each, brief, early)
        anticipated = False
        for chord in chords:
            if hand_of(chord.voiced, role) is None:
                anticipated = False
                continue
            was, anticipated = anticipated, False
            for sound, comes in _on_chord(sections, brief.meter, chord, was):
                on = chord.coming if comes and chord.coming else chord.voiced
                coming = None if comes else chord.coming
                within = sound.stroke.strikes, id(each)
                key = (id(on.right), id(on.left), id(on.at.chord), id(coming and coming.at.chord), within)
                if key not in known:
                    known[key] = struck(sound.stroke.strikes, on, coming, role, _figures(each))
                strength = max(1, min(127, loudness + _louder(sound.stroke)))
                end = min(sound.would_end, chord.coming_end) if comes else sound.end
                anticipated = anticipated or comes
                notes += [Note(sound.start, end - sound.start, p, strength, f) for p, f in known[key]]
    volume = BASS_VOLUME if role is Role.BASS else FULL_VOLUME
    return Part(role, without_overlap(notes), program=program, volume=volume)


def drum(brief: Brief, rows: Mapping[int, Figure], loudness: int = 76) -> Part:
    """Return the drums that play one figure for each General MIDI percussion key, chords or none."""
    hits = [
        Hit(sound.start, key, max(1, min(127, loudness + _louder(sound.stroke))))
        for key, each in rows.items()
        for sound in _strokes(each, brief.meter, brief.pickup, 0, brief.length)
    ]
    return Part(Role.DRUMS, hits=tuple(sorted(hits, key=lambda hit: (hit.start, hit.key))))


def beats(brief: Brief, at: ChordAt) -> tuple[tuple[Time, Time], ...]:
    """Return the start and end of each felt beat of a chord; one cut by the chord keeps what is left."""
    beat = brief.meter.beat
    first = at.start - (at.start - brief.pickup) % beat
    return tuple((max(on, at.start), min(on + beat, at.end)) for on in range(first, at.end, beat))


def weight(meter: Meter, since_downbeat: Time) -> int:
    """Return how much louder a moment is than a plain beat, in steps of velocity (convention).

    The downbeat is strongest, then the middle of a bar of four beats or more, the other beats, and
    what lies between them.
    """
    place = since_downbeat % meter.bar
    if place == 0:
        return _DOWNBEAT
    if meter.beats >= 4 and 2 * place == meter.bar:
        return _HALF_BAR
    return _OFF_BEAT if place % meter.beat else 0


def velocity(brief: Brief, at: Time, loudness: int = 76) -> int:
    """Return the velocity at a moment, 1 to 127: a beat's loudness and the moment's weight in the bar."""
    return max(1, min(127, loudness + weight(brief.meter, at - brief.pickup)))


def without_overlap(notes: list[Note]) -> tuple[Note, ...]:
    """Return the notes in order of time and pitch, each ended where its own key is struck again.

    Of two on one key at one moment the longer stays.
    """
    ordered = sorted(
        [(note.start, note.pitch.midi, -note.length, number) for number, note in enumerate(notes)]
    )
    kept: list[Note] = []
    latest: dict[int, int] = {}
    for start, key, _, number in ordered:
        place = latest.get(key)
        if place is not None:
            before = kept[place]
            if before.start == start:
                continue
            if before.start + before.length > start:
                kept[place] = replace(before, length=start - before.start)
        latest[key] = len(kept)
        kept.append(notes[number])
    return tuple(kept)


def _louder(stroke: Stroke) -> int:
    return _ACCENT * stroke.accented + _GHOST * stroke.ghost


def _figures(each: Figure | Plan) -> tuple[Figure, ...]:
    return (each,) if isinstance(each, Figure) else tuple(section.figure for section in each)


def _sections(each: Figure | Plan, brief: Brief, early: Time) -> Plan:
    """Return the plan that is played, as early as its part is."""
    plan = (Section(0, brief.length, each, brief.pickup),) if isinstance(each, Figure) else each
    return tuple(
        Section(max(0, start - early), end - early if end < brief.length else end, figure, downbeat - early)
        for start, end, figure, downbeat in plan
    )


def _entering(brief: Brief, early: Time) -> list[_Chord]:
    """Return each chord with its start and end, early where a sounding chord goes before."""
    starts = []
    before: VoicedChord | None = None
    for voiced in brief.chords:
        pushes = before and before.at.chord and before.at.length > early
        starts.append(voiced.at.start - early if pushes else voiced.at.start)
        before = voiced
    ends = [*starts[1:], brief.length]
    following = [*brief.chords[1:], None]
    coming = [voiced if voiced and voiced.at.chord else None for voiced in following]
    return [*map(_Chord, brief.chords, starts, ends, coming, [*ends[1:], brief.length])]


def _on_chord(
    sections: Plan, meter: Meter, chord: _Chord, anticipated: bool
) -> Iterator[tuple[_Sound, bool]]:
    """Yield the strokes of a chord: its bass first where a bass is struck, and one at the least.

    With each stands whether it is the coming chord's already.
    """
    first, opening = not anticipated, None
    for sound in _on_plan(sections, meter, chord):
        stroke = sound.stroke
        opening = opening or stroke
        if anticipated and stroke.coming and sound.written < chord.start:
            continue
        comes = _comes(sound, chord)
        if first and comes:
            yield _entry(stroke, chord, sound.start), False
        elif first and stroke.strikes in _FIRST_ON_CHORD:
            sound = sound._replace(stroke=replace(stroke, strikes=_FIRST_ON_CHORD[stroke.strikes]))
        first = False
        yield sound, comes
    if first:
        rests = opening or next(s.figure.strokes[0] for s in sections if s.end > chord.start)
        yield _entry(rests, chord, chord.end), False


def _on_plan(sections: Plan, meter: Meter, chord: _Chord) -> Iterator[_Sound]:
    for section in sections:
        start, end = max(section.start, chord.start), min(section.end, chord.end)
        if start < end:
            each = section.figure
            if each.shorter and chord.end - chord.start < each.length(meter):
                each = each.shorter
            yield from _strokes(each, meter, section.downbeat, start, end)


def _comes(sound: _Sound, chord: _Chord) -> bool:
    """Whether a stroke is the coming chord's already."""
    runs_into = sound.would_end >= chord.end and sound.start > chord.start
    return sound.stroke.coming and runs_into and chord.coming is not None


def _entry(stroke: Stroke, chord: _Chord, end: Time) -> _Sound:
    """Return the stroke that a chord enters with where its figure rests."""
    strikes = _FIRST_ON_CHORD.get(stroke.strikes, "A" if stroke.strikes == "K" else stroke.strikes)
    plain = Stroke(0, 1, strikes)
    return _Sound(chord.start, end, chord.start, end, plain)


def _strokes(each: Figure, meter: Meter, downbeat: Time, start: Time, end: Time) -> Iterator[_Sound]:
    """Yield all that a figure sounds between two moments, cut to fit there."""
    cell = meter.beat // each.per_beat
    length = cell * each.cells
    for begin, stop in _segments(length, each.anew, meter.bar, downbeat, start, end):
        for turn in range(begin, stop, length):
            for stroke in each.strokes:
                written = turn + cell * stroke.cell
                would_end = written + cell * stroke.cells
                sounds, ends = max(written, start), min(would_end, stop)
                if sounds < ends:
                    yield _Sound(sounds, ends, written, would_end, stroke)


def _segments(
    length: Time, anew: bool, bar: Time, downbeat: Time, start: Time, end: Time
) -> Iterator[tuple[Time, Time]]:
    """Yield where a figure begins, and up to where it repeats from there."""
    period = -(-length // bar) * bar
    first = start - (start - downbeat) % period
    if anew:
        first = start + (downbeat - start) % bar
        if start < first:
            yield start, min(first, end)
    for begin in range(first, end, period):
        yield begin, min(begin + period, end)
