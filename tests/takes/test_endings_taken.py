"""Takes of a drill with an ending: no alarm for a tempo that was asked to slow down, and none missed."""

from dataclasses import replace

import pytest
from player import PROFESSIONAL, perform
from recovered import asked_of

from tracks.drill.drill import Ending
from tracks.drill.request import request_of
from tracks.practice.endings import pace
from tracks.style.registry import load
from tracks.takes.expected import Asked, asked_in_each_key
from tracks.takes.judge import evaluate
from tracks.takes.take import PlayedNote, Take

PROGRESSION = "I vi ii7 V7 I IV V7 I"


def asked(ending: str, style: str = "rock") -> Asked:
    request = request_of(
        {"progression": PROGRESSION, "keys": ("Eb",), "style": style, "tempos": ("72",), "ending": ending}
    )
    found = load(style)
    return asked_in_each_key(request.drills(found)[0], found)[0]


def slowed(take: Take, by: float, start: float, last: float) -> Take:
    """The take, slower from one moment to another, in the curve of a ritardando but as far as `by`."""

    def later(at: float) -> float:
        if at <= start:
            return at
        steps = 400
        step = (min(at, last) - start) / steps
        ways = ((n + 0.5) * step / (last - start) for n in range(steps))
        slower = sum(step / max(by, 1 - (1 - pace(way)) * (1 - by) / (1 - pace(1))) for way in ways)
        return start + slower + max(at - last, 0) / by

    notes = (replace(note, onset_s=later(note.onset_s), end_s=later(note.end_s)) for note in take.notes)
    return Take(take.name, tuple(notes))


@pytest.mark.parametrize("by", [1.0, 0.7, 0.4])
@pytest.mark.parametrize("style", ["block", "rock", "ballad"])
def test_however_far_a_student_slows_down_time_is_told_of_what_came_before(style: str, by: float) -> None:
    wanted = asked(Ending.RITARDANDO.value, style)
    steady, _ = perform(wanted, replace(PROFESSIONAL, drift_percent=0.0), 5, bpm=72)
    first = min(note.onset_s for note in steady.notes)
    last = first + wanted.groups[-1].beat * 60 / 72
    take = slowed(steady, by, first + wanted.steady_to * 60 / 72, last)

    report = evaluate(take, wanted)

    assert report.notes == 0
    assert report.tries == 1
    assert report.bpm == pytest.approx(72, rel=0.01)
    assert report.longest_hesitation_s == 0
    assert report.chords[-1].late_ms is None
    assert report.in_the_way(72) == ()


def test_a_wrong_note_in_the_ritardando_is_heard() -> None:
    wanted = asked(Ending.RITARDANDO.value)
    take, _ = perform(wanted, replace(PROFESSIONAL, drift_percent=0.0), 5, bpm=72)
    final = max(take.notes, key=lambda note: note.onset_s)
    wrong = PlayedNote(final.onset_s, final.end_s, final.midi + 1, final.velocity)
    others = tuple(note for note in take.notes if note is not final)

    report = evaluate(Take(take.name, (*others, wrong)), wanted)

    assert report.notes == report.chords[-1].notes > 0


@pytest.mark.parametrize("ending", [Ending.TAG, Ending.STOP])
def test_a_tag_and_a_stop_are_asked_of_the_hands_too(ending: Ending) -> None:
    wanted, plain = asked(ending.value), asked(Ending.PLAIN.value)
    take, _ = perform(wanted, PROFESSIONAL, 3, bpm=72)

    report = evaluate(take, wanted)

    assert report.notes == 0
    assert len(wanted.chords) == len(plain.chords) + (2 if ending is Ending.TAG else 0)
    assert len(wanted.groups) != len(plain.groups)


def test_without_an_ending_the_last_bars_are_timed() -> None:
    assert asked_of("rock", PROGRESSION, "Eb").steady_to == float("inf")
