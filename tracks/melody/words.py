"""What each note of a tune is, in words a student reads: `chord tone, third`; `approach to G from below`."""

from collections.abc import Sequence

from tracks.melody.levels import GUIDE_TONES, MOTIFS
from tracks.melody.rhythm import Slot
from tracks.melody.rules import Choice, Kind


def explanations(line: Sequence[Choice], slots: Sequence[Slot], level: int) -> list[str]:
    """Return what each note of a line is, and what its level is about.

    That is guide tones and where they lead, or what the tune brings back.
    """
    return [_explained(line, place, slots, level) for place in range(len(line))]


def _explained(line: Sequence[Choice], place: int, slots: Sequence[Slot], level: int) -> str:
    slot = slots[place]
    words = _guided(line, place, slots) if level == GUIDE_TONES and slot.enters else ""
    words = words or _function(line, place, slots)
    returns = _returns(line, place, slots) if level == MOTIFS else ""
    return f"{returns}: {words}" if returns else words


def _returns(line: Sequence[Choice], place: int, slots: Sequence[Slot]) -> str:
    """Return what a note states of the tune, or brings back."""
    choice, slot = line[place], slots[place]
    if choice.motif or slot.leads:
        return choice.motif
    if slot.again is not None and line[slot.again].pitch == choice.pitch:
        return f"as in bar {slots[slot.again].number + 1}"
    return "motif" if slot.motif == "state" else ""


def _function(line: Sequence[Choice], place: int, slots: Sequence[Slot]) -> str:
    choice, over = line[place], slots[place].context
    if slots[place].under:
        return f"anticipates {over.chord.symbol}, its {over.factors[choice.midi % 12]}"
    if choice.kind is Kind.APPROACH and choice.target:
        return f"approach to {choice.target.tone.sign} from {_side(choice)}"
    if choice.kind is Kind.ENCLOSURE and choice.target:
        return f"enclosure of {choice.target.tone.sign}, from {_side(choice)}"
    if choice.kind is Kind.COLOR:
        return over.colors[choice.midi % 12]
    if choice.kind is Kind.STEP:
        return _stepping(line, place)
    return f"chord tone, {over.factors[choice.midi % 12]}"


def _side(choice: Choice) -> str:
    return "below" if choice.target and choice.midi < choice.target.midi else "above"


def _stepping(line: Sequence[Choice], place: int) -> str:
    before, after = line[place - 1], line[place + 1]
    if before.midi == after.midi:
        side = "upper" if line[place].midi > before.midi else "lower"
        return f"{side} neighbor of {before.pitch.tone.sign}"
    return f"passing, {before.pitch.tone.sign} to {after.pitch.tone.sign}"


def _guided(line: Sequence[Choice], place: int, slots: Sequence[Slot]) -> str:
    """Return the words for a guide tone, with what the next one does; nothing where the note is none."""
    here = line[place]
    if here.midi % 12 not in slots[place].context.guides:
        return ""
    words = f"guide tone, {slots[place].context.factors[here.midi % 12]}"
    onward = next((n for n in range(place + 1, len(line)) if slots[n].enters), None)
    if onward is None:
        return words
    after = line[onward]
    if after.midi == here.midi:
        return f"{words}, held into the next chord"
    moves = "falls" if after.midi < here.midi else "rises"
    return f"{words}, {moves} to {after.pitch.tone.sign}"
