"""A question's file read back by mido alone: what sounds, when, and what else the file says."""

import io
from random import Random
from typing import NamedTuple

import mido
import pytest

from tracks.export.midi import to_bytes
from tracks.quiz.asking import ask
from tracks.quiz.question import Level, Question
from tracks.quiz.skills import SKILLS
from tracks.quiz.sounding import sounding
from tracks.style.registry import load
from tracks.theory.key import KEY_SETS

BLOCK = load("block")
EVERY_KEY = KEY_SETS["all"]
SEEDS = range(4)

LEVELS = [
    pytest.param(skill, number, id=f"{skill.name}-{number}")
    for skill in SKILLS
    for number in range(1, len(skill.levels) + 1)
]


class Struck(NamedTuple):
    """A note as the file has it: MIDI ticks and number."""

    start: int
    end: int
    note: int


def level(name: str, number: int) -> Level:
    (skill,) = (skill for skill in SKILLS if skill.name == name)
    return skill.levels[number - 1]


def asked(grade: Level, count: int = 12, seed: int = 5) -> tuple[Question, ...]:
    return ask(grade, count, EVERY_KEY, Random(seed))


def many(skill: str, number: int) -> list[Question]:
    return [question for seed in SEEDS for question in asked(level(skill, number), 12, seed)]


def file_of(question: Question) -> mido.MidiFile:
    return mido.MidiFile(file=io.BytesIO(to_bytes(sounding(question, BLOCK, 66))))


def notes_of(question: Question) -> list[Struck]:
    now, open_notes, found = 0, dict[tuple[int, int], int](), []
    for message in mido.merge_tracks(file_of(question).tracks):
        now += message.time
        if message.type == "note_on" and message.velocity:
            open_notes[message.channel, message.note] = now
        elif message.type in ("note_on", "note_off"):
            start = open_notes.pop((message.channel, message.note))
            found.append(Struck(start, now, message.note))
    return sorted(found)


def chords_of(question: Question) -> list[list[int]]:
    """The notes that begin together, low to high, in order of time."""
    chords = dict[int, list[int]]()
    for note in notes_of(question):
        chords.setdefault(note.start, []).append(note.note)
    return [sorted(chord) for chord in chords.values()]
