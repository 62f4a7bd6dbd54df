"""A quiz as the files of a pack: what sounds, and the paper with its answers at the back.

Conventions
- A file's name is `question-01.mid`, its tags and its row in the manifest hold its number and tempo: none of
  them gives the answer away. The answers stand only at the end of `quiz.md`.
- The paper is Markdown, to read, print or put on a screen.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from tracks.export.midi import to_bytes
from tracks.extras import need_for
from tracks.model import AudioFormat, Piece
from tracks.pack.folder import PackFile
from tracks.quiz.questions import Question, level_of, sounding
from tracks.safety import CAUTION
from tracks.style import Style
from tracks.theory.key import Key
from tracks.theory.pitch import signs

PAPER = "quiz.md"


@dataclass(frozen=True, slots=True)
class Quiz:
    """A quiz as asked for, with its questions."""

    name: str
    level: int
    seed: int
    bpm: int
    keys: tuple[Key, ...]
    questions: tuple[Question, ...]
    audio: AudioFormat | None = None

    @property
    def record(self) -> dict[str, object]:
        """What the manifest says of it: enough to make it again, and no answer."""
        return {
            "name": self.name,
            "quiz": level_of(self.level).title,
            "level": self.level,
            "questions": len(self.questions),
            "seed": self.seed,
            "bpm": self.bpm,
            "keys": [key.name for key in self.keys],
            "audio": self.audio.value if self.audio else None,
        }


def quiz_files(quiz: Quiz, style: Style, soundfont: Path | None = None) -> Iterator[PackFile]:
    """Yield the MIDI files, then the audio where it is asked for, then the paper.

    Raises RequestError where the SoundFont cannot be read.
    """
    need_for(sheet=False, audio=bool(quiz.audio))
    pieces = [sounding(question, style, quiz.bpm) for question in quiz.questions]
    for question, piece in zip(quiz.questions, pieces, strict=True):
        yield PackFile(file_name(question, "mid"), to_bytes(piece), _row(quiz, question))
    if quiz.audio:
        recorded = _recorded(quiz, pieces, quiz.audio, soundfont)
        for question, content in zip(quiz.questions, recorded, strict=True):
            yield PackFile(file_name(question, quiz.audio.value), content, _row(quiz, question))
    about = {"key": None, "mix": None, "bpm": None, "question": None}
    yield PackFile(PAPER, paper(quiz).encode("utf-8"), about)


def file_name(question: Question, ending: str) -> str:
    """Return the name of a question's file."""
    return f"question-{question.number:02d}.{ending}"


def paper(quiz: Quiz) -> str:
    """Return the question paper with the answers at its end."""
    level = level_of(quiz.level)
    boxes = " ".join(f"☐ {answer}" for answer in level.answers)
    lines = [
        f"# Ear quiz: {level.title}",
        "",
        f"Level {quiz.level}, quiz {quiz.seed}, {len(quiz.questions)} questions.",
        "",
        f"**{level.task}** Listen as often as you like and tick one answer.",
        "",
        CAUTION,
        "",
        *(f"{question.number}. `{file_name(question, _heard(quiz))}` {boxes}" for question in quiz.questions),
        "",
        "---",
        "",
        "Stop here until every question is ticked: the answers follow.",
        "",
        "---",
        "",
        "## Answers",
        "",
        *(f"{question.number}. {_told(question)}" for question in quiz.questions),
    ]
    return "\n".join(lines) + "\n"


def _heard(quiz: Quiz) -> str:
    return quiz.audio.value if quiz.audio else "mid"


def _told(question: Question) -> str:
    """Return an answer with what was played."""
    asked = question.asked
    played = f"{question.key.sign}: {signs(' '.join(asked.chords))}"
    again = f", then {signs(' '.join(asked.again))}" if asked.changed else ""
    return f"**{question.answer}**. {played}{again}"


def _row(quiz: Quiz, question: Question) -> dict[str, object]:
    return {"key": None, "mix": None, "bpm": quiz.bpm, "question": question.number}


def _recorded(
    quiz: Quiz, pieces: Sequence[Piece], audio: AudioFormat, soundfont: Path | None
) -> Iterator[bytes]:
    from tracks.export.audio.render import Recording, Renderer
    from tracks.export.audio.soundfont import soundfont as font
    from tracks.export.audio.synth import Synth
    from tracks.export.audio.tags import Tags

    recordings = (
        Recording(piece, Tags(f"Question {question.number:02d}", quiz.name, question.number, bpm=quiz.bpm))
        for question, piece in zip(quiz.questions, pieces, strict=True)
    )
    return Renderer(Synth(font(soundfont)), audio).record(recordings)
