"""What each note of a tune is, in words a student reads: `chord tone, third`; `approach to G from below`.

Conventions
- Two things are told of a note: what it does over its chord, and what it is part of, which is something
  that leads in, the motif, what came before, or the cadence.
- Each has its mark of a few letters, to stand under the note: `3rd`, `pass`, `to G`.
"""

from collections.abc import Sequence

from tracks.melody.context import HarmonicContext
from tracks.melody.levels import GUIDE_TONES
from tracks.melody.rhythm import Slot
from tracks.melody.rules import STEP, Choice, Kind, comes_back
from tracks.model import Why

LEADS_IN, CADENCE, MOTIF = "leads in", "cadence", "motif"

_SHORT = {"root": "root", "tonic": "tonic", "color": "color", "second": "2nd", "third": "3rd"}
_SHORT |= {"fourth": "4th", "fifth": "5th", "sixth": "6th", "seventh": "7th", "ninth": "9th"}
_SHORT |= {"raised fourth": "♯4th", "eleventh": "11th", "thirteenth": "13th"}
_COLORS = {"blues": "blues", "pentatonic": "pent"}


def explanations(line: Sequence[Choice], slots: Sequence[Slot], level: int) -> list[Why]:
    """Return what each note of a line is; where a level is about guide tones, where they lead."""
    return [_explained(line, place, slots, level) for place in range(len(line))]


def _explained(line: Sequence[Choice], place: int, slots: Sequence[Slot], level: int) -> Why:
    guided = _guided(line, place, slots) if level == GUIDE_TONES and slots[place].enters else None
    does, mark = guided or _function(line, place, slots)
    return Why(does, mark, _figure(line, place, slots))


def _figure(line: Sequence[Choice], place: int, slots: Sequence[Slot]) -> str:
    """Return what a note is part of; nothing where it only goes on."""
    choice, slot = line[place], slots[place]
    if choice.motif:
        return choice.motif
    if slot.leads:
        return LEADS_IN
    if _closes(line, place, slots):
        return CADENCE
    if slot.again is not None and comes_back(line, place, slots) and _beside_one(line, place, slots):
        return f"as in bar {slots[slot.again].number + 1}"
    return MOTIF if slot.motif == "state" else ""


def _beside_one(line: Sequence[Choice], place: int, slots: Sequence[Slot]) -> bool:
    """Return whether a note beside it in its bar comes back too: one note alone is no figure."""
    near = (n for n in (place - 1, place + 1) if 0 <= n < len(line))
    return any(slots[n].number == slots[place].number and comes_back(line, n, slots) for n in near)


def _closes(line: Sequence[Choice], place: int, slots: Sequence[Slot]) -> bool:
    """Return whether a note ends the tune, or leads by step into the one that does."""
    if slots[place].last:
        return True
    ends_next = place + 1 < len(slots) and slots[place + 1].last
    return ends_next and 0 < abs(line[place + 1].midi - line[place].midi) <= STEP


def _function(line: Sequence[Choice], place: int, slots: Sequence[Slot]) -> tuple[str, str]:
    choice, over = line[place], slots[place].context
    target = choice.target.tone.sign if choice.target else ""
    if slots[place].under:
        factor = over.factors[choice.midi % 12]
        return f"anticipates {over.chord.symbol}, its {factor}", f"early {_SHORT[factor]}"
    if choice.kind is Kind.APPROACH and target:
        return f"approach to {target} from {_side(choice)}", f"to {target}"
    if choice.kind is Kind.ENCLOSURE and target:
        return f"enclosure of {target}, from {_side(choice)}", f"round {target}"
    if choice.kind is Kind.COLOR:
        return _colored(choice, over)
    if choice.kind is Kind.STEP:
        return _stepping(line, place)
    factor = over.factors[choice.midi % 12]
    return f"chord tone, {factor}", _SHORT[factor]


def _colored(choice: Choice, over: HarmonicContext) -> tuple[str, str]:
    """Return the words for a color; its degree is the key's, since the chord has it not."""
    scale, degree = over.colors[choice.midi % 12].split()
    if choice.pitch not in over.blues:  # the blues fifth that rises, spelled otherwise
        degree = "raised fourth"
    return f"{scale} {degree} of the key", f"{_COLORS[scale]} {_SHORT[degree]}"


def _side(choice: Choice) -> str:
    return "below" if choice.target and choice.midi < choice.target.midi else "above"


def _stepping(line: Sequence[Choice], place: int) -> tuple[str, str]:
    before, after = line[place - 1], line[place + 1]
    if before.midi == after.midi:
        side = "upper" if line[place].midi > before.midi else "lower"
        return f"{side} neighbor of {before.pitch.tone.sign}", "nbr"
    return f"passing, {before.pitch.tone.sign} to {after.pitch.tone.sign}", "pass"


def _guided(line: Sequence[Choice], place: int, slots: Sequence[Slot]) -> tuple[str, str] | None:
    """Return the words for a guide tone, with what the next one does; nothing where the note is none."""
    here = line[place]
    if here.midi % 12 not in slots[place].context.guides:
        return None
    factor = slots[place].context.factors[here.midi % 12]
    words, mark = f"guide tone, {factor}", f"guide {_SHORT[factor]}"
    onward = next((n for n in range(place + 1, len(line)) if slots[n].enters), None)
    if onward is None:
        return words, mark
    after = line[onward]
    if after.midi == here.midi:
        return f"{words}, held into the next chord", mark
    moves = "falls" if after.midi < here.midi else "rises"
    return f"{words}, {moves} to {after.pitch.tone.sign}", mark
