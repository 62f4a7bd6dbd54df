"""Motifs: a bar's tune that returns, moves in sequence, and is answered upside down.

Conventions
- A motif is the letter steps between the notes of the bar that stated it last; it is taken up where a bar has
  the same rhythm, in the scale of the chords there, so that a major second may come back as a minor one.
- Where one of its quantized notes would miss the chord, it may bend by a step, once.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import takewhile

from tracks.melody.rhythm import Slot
from tracks.melody.rules import Choice, Kind

_LIKES_MOTIF, _LIKES_BENT = 400.0, 100.0
_INTERVALS = ("", "step", "third", "fourth", "fifth", "sixth", "seventh", "octave")

# What a bar does -> how it likes to lie above or below the motif, in letter steps; other places less.
_LIKED_PLACES = {"return": (0,), "sequence": (-1, 1, -2, 2), "answer": (0, 1, 2, 3, 4)}
_ELSEWHERE = 0.05


def motif_choices(
    line: Sequence[Choice], place: int, slots: Sequence[Slot]
) -> Iterator[tuple[Choice, float]]:
    """Yield the ways to take the motif up from a place, each a choice that promises the rest of its bar."""
    slot = slots[place]
    if slot.motif in ("", "state") or slot.leads or not _begins(place, slots):
        return
    stated, here = _stated(place, slots), _bar(place, slots)
    if not stated or _rhythm(stated, slots) != _rhythm(here, slots):
        return
    upside_down = -1 if slot.motif == "answer" else 1
    staff = [line[number].pitch.staff_step for number in stated]
    offsets = [upside_down * (step - staff[0]) for step in staff]
    for pitch in slot.context.tones:
        away = pitch.staff_step - staff[0]
        notes = _laid(pitch.staff_step, offsets, [slots[n] for n in here])
        bent = sum(
            note.pitch.staff_step != pitch.staff_step + offset
            for note, offset in zip(notes, offsets, strict=False)
        )
        if len(notes) == len(here) and bent <= 1 and (slot.motif != "sequence" or away):
            yield _promised(notes, slot.motif, away, bent > 0)


def _laid(first: int, offsets: Sequence[int], slots: Sequence[Slot]) -> list[Choice]:
    """Return the motif's notes from a line or space of the staff on, up to one that does not fit at all."""
    fitted = (_fitted(first + offset, slot) for offset, slot in zip(offsets, slots, strict=True))
    return [note for note in takewhile(bool, fitted) if note]


def _promised(notes: Sequence[Choice], motif: str, away: int, bent: bool) -> tuple[Choice, float]:
    """Return the motif's first note, which promises the others, and how it is liked so far from the motif."""
    words = _words(motif, away) + (", bent to fit the chord" if bent else "")
    first, *others = (replace(note, motif=words) for note in notes)
    likes = (_LIKES_BENT if bent else _LIKES_MOTIF) * (1 if away in _LIKED_PLACES[motif] else _ELSEWHERE)
    return replace(first, then=tuple(others)), likes


def _stated(place: int, slots: Sequence[Slot]) -> list[int]:
    for number in range(place - 1, -1, -1):
        if slots[number].motif == "state":
            return _bar(next(n for n, slot in enumerate(slots) if slot.number == slots[number].number), slots)
    return []


def _begins(place: int, slots: Sequence[Slot]) -> bool:
    before = slots[place - 1] if place else None
    return before is None or before.number != slots[place].number or before.leads


def _bar(place: int, slots: Sequence[Slot]) -> list[int]:
    """Return the places of a bar from one on, less what leads into it."""
    same = takewhile(lambda n: slots[n].number == slots[place].number, range(place, len(slots)))
    return [n for n in same if not slots[n].leads]


def _rhythm(places: Sequence[int], slots: Sequence[Slot]) -> list[int]:
    return [slots[n].into for n in places]


def _fitted(staff: int, slot: Slot) -> Choice | None:
    """Return the note of a slot on a line or space of the staff, or a chord's own a step away."""
    tones = {pitch.staff_step: pitch for pitch in slot.context.tones}
    if staff in tones:
        return Choice(tones[staff], tones[staff].midi)
    scale = {pitch.staff_step: pitch for pitch in slot.context.scale}
    if not slot.quantized and staff in scale:
        return Choice(scale[staff], scale[staff].midi, Kind.STEP)
    near = next((tones[step] for step in (staff - 1, staff + 1) if step in tones), None)
    return Choice(near, near.midi) if near else None


def _words(part: str, away: int) -> str:
    if part == "answer":
        return "motif answered, upside down"
    if away == 0:
        return "motif again"
    size = abs(away)
    name = _INTERVALS[size] if size < len(_INTERVALS) else "long way"
    return f"motif, {'an' if name == 'octave' else 'a'} {name} {'higher' if away > 0 else 'lower'}"
