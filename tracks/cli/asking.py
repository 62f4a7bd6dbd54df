"""The few questions that a colleague would ask before writing a lesson, put at the prompt one by one.

An answer that cannot be played is told why at once, and the question is put again.
"""

import re
from collections.abc import Callable
from datetime import date
from functools import partial
from typing import Any

import typer

from tracks.cli.saying import say
from tracks.drill import kinds
from tracks.drill.drill import Mix
from tracks.drill.request import request_of, slug
from tracks.extras import have
from tracks.lessons.lesson import lesson_text
from tracks.model import Heading
from tracks.progression.library import entry
from tracks.theory.errors import RequestError
from tracks.theory.key import Key, is_key
from tracks.theory.pitch import Tone

_HANDS = {
    "one by one": [Mix.RIGHT_ALONE, Mix.LEFT_ALONE, Mix.HANDS_TOGETHER],
    "together": [Mix.HANDS_TOGETHER],
    "right": [Mix.RIGHT_ALONE],
    "left": [Mix.LEFT_ALONE],
}

_FILES: dict[str, dict[str, object]] = {
    "paper": {"sheet": True},
    "large print": {"sheet": True, "large-print": True},
    "phone": {"audio": "mp3"},
    "browser": {"page": True},
    "old piano": {"type": 0, "short-names": True},
    "sequencer": {"stems": True, "audio-stems": "wav"},
}
"""What a student plays from or along with, and the files that it asks for."""


def asked_lesson() -> str:
    """Ask at the prompt, and return the text of the lesson that the answers describe."""
    say("A few questions, and the lesson is written. Return takes what stands in brackets.", beside=True)
    student = _ask("Who is it for (may be left empty)", "", str.strip)
    progression = _ask("Which chords, or which progression by name", "I IV V7 I", _progression)
    keys = _ask("In which keys", _usual_keys(progression), partial(_keys, progression))
    hands = _ask(f"Which hands: {', '.join(_HANDS)}", "one by one", _hands)
    first = _ask("From what tempo", "60", _slowest)
    goal = _ask("To what tempo", str(max(first, 84)), partial(_goal, first))
    fields = _ask(f"Played with: {', '.join(_FILES)}", _usual_files(), _files)
    drill = {
        "name": slug(progression),
        "progression": progression,
        "keys": keys,
        **({"from": first, "to": goal, "step": 8} if goal > first else {"tempos": goal}),
        "mixes": hands,
        **fields,
    }
    title = f"{student}'s lesson" if student else "A lesson"
    return lesson_text(Heading(student=student, title=title, date=date.today()), [drill])


def _ask(question: str, usual: str, read: Callable[[str], Any]) -> Any:
    """Return what is meant by an answer; put the question again until there is a meaning."""
    while True:
        try:
            answer = str(typer.prompt(question, default=usual, show_default=bool(usual), err=True)).strip()
        except typer.Abort:
            say(beside=True)  # what follows stands on a line of its own
            raise
        try:
            return read(answer)
        except RequestError as fault:
            say(f"  {fault.told}", beside=True)


def _progression(text: str) -> str:
    request_of({"progression": text}).drills()
    return text


def _usual_keys(progression: str) -> str:
    """Return the keys to begin with: three of a named progression's mode, else the one that chords are in."""
    (home,) = request_of({"progression": progression}).drills()[0].keys
    if home.is_minor and entry(progression):
        return "A minor, E minor, D minor"
    return "C, G, F" if home == Key(Tone(0)) or entry(progression) else home.name


def _keys(progression: str, text: str) -> list[str]:
    keys = [word.strip() for word in text.split(",") if word.strip()]
    if len(keys) == 1 and all(map(is_key, text.split())):
        keys = text.split()
    request_of({"progression": progression, "keys": kinds.shaped(kinds.KEYS, keys)}).drills()
    return keys


def _hands(text: str) -> list[str]:
    if text.lower() in kinds.MIXES.spoken:
        return [kinds.MIXES.spoken[text.lower()]]
    if text.lower() not in _HANDS:
        raise RequestError(f"{text!r} is none of them", f"write {', '.join(_HANDS)}")
    return [mix.value for mix in _HANDS[text.lower()]]


def _files(text: str) -> dict[str, object]:
    """Return a drill's fields for what it is played with, none for `nothing`: then it is MIDI."""
    said = [word.strip().lower() for word in text.split(",") if word.strip()]
    fields: dict[str, object] = {}
    for word in said if said != ["nothing"] else ():
        if word not in _FILES:
            raise RequestError(f"{word!r} is none of them", f"write {', '.join(_FILES)}, or nothing")
        fields |= _FILES[word]
    return fields


def _usual_files() -> str:
    """Return what most play from, as far as it is installed."""
    usual = [word for word, extra in (("paper", "sheets"), ("phone", "audio")) if have(extra)]
    return ", ".join(usual) or "nothing"


def _slowest(text: str) -> int:
    if len(re.findall(r"\d+", text)) > 1 and "=" not in text:
        raise RequestError(f"{text!r} is more than one tempo", "write the slowest; the fastest is asked next")
    return _bpm(text)


def _bpm(text: str) -> int:
    from tracks.theory.meter import Meter
    from tracks.theory.tempo import parse_bpm

    return parse_bpm(text, Meter(4, 4))


def _goal(first: int, text: str) -> int:
    goal = _bpm(text)
    if goal < first:
        raise RequestError(f"{goal} is slower than {first}", "write the fastest tempo")
    return goal
