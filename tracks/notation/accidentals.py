"""Accidentals: which of a bar's are written.

Convention: one is written where the pitch differs from what the signature, or an accidental before it in the
same bar and on the same line or space, makes of it; never on a tied note.
"""

from dataclasses import replace
from typing import TYPE_CHECKING, TypeAlias

from tracks.theory.key import Key

if TYPE_CHECKING:
    from tracks.notation.score import Event

_Layers: TypeAlias = "tuple[tuple[Event, ...], ...]"
"""The voices of a staff in a bar."""


def with_accidentals(layers: _Layers, key: Key, ringing: dict[int, int]) -> tuple[_Layers, dict[int, int]]:
    """Return the voices with the accidentals that are written, and what is tied over the bar line.

    `ringing` maps a place on the staff to the alteration tied into this bar.
    """
    signature = {tone.step: tone.alter for tone in key.scale}
    state: dict[int, int] = {}
    tied_in = [dict(ringing) for _ in layers]
    shown = [list(voice) for voice in layers]
    order = sorted(
        (event.start, layer, place) for layer, voice in enumerate(shown) for place, event in enumerate(voice)
    )
    for _, layer, place in order:
        event = shown[layer][place]
        written = []
        for pitch in event.pitches:
            line, alter = pitch.staff_step, pitch.tone.alter
            is_tied = tied_in[layer].get(line) == alter
            written.append(not is_tied and state.get(line, signature[line % 7]) != alter)
            if written[-1]:
                state[line] = alter
        tied_in[layer] = {p.staff_step: p.tone.alter for p in event.pitches} if event.tied_on else {}
        shown[layer][place] = replace(event, shown=tuple(written))
    over = {line: alter for voice in tied_in for line, alter in voice.items()}
    return tuple(map(tuple, shown)), over
