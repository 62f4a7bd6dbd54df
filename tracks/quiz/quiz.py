"""A quiz as asked for, with its questions."""

from dataclasses import dataclass

from tracks.model import AudioFormat, PaperSize
from tracks.quiz.question import Level, Question, Skill
from tracks.quiz.skills import level_of
from tracks.theory.key import Key
from tracks.theory.note_names import NoteNames


@dataclass(frozen=True, slots=True)
class Quiz:
    """A quiz: a skill at one of its levels (from 1), the questions, and how it is handed out.

    `student` and `date` are empty where they are to be filled in on the paper; `bpm` is beats a minute.
    """

    name: str
    skill: Skill
    number: int
    seed: int
    bpm: int
    keys: tuple[Key, ...]
    questions: tuple[Question, ...]
    audio: AudioFormat | None = None
    student: str = ""
    date: str = ""
    large_print: bool = False
    paper: PaperSize = PaperSize.A4
    note_names: NoteNames = NoteNames.ENGLISH

    @property
    def level(self) -> Level:
        """The level that the questions are of."""
        return level_of(self.skill, self.number)

    @property
    def title(self) -> str:
        """The skill and the level, in words."""
        return f"{self.skill.title}, level {self.number}"

    @property
    def heard(self) -> str:
        """How the names of the files end that are listened to."""
        return self.audio.value if self.audio else "mid"

    @property
    def record(self) -> dict[str, object]:
        """What the manifest says of it: enough to make it again, and no answer."""
        return {
            "name": self.name,
            "quiz": self.skill.name,
            "level": self.number,
            "questions": len(self.questions),
            "seed": self.seed,
            "bpm": self.bpm,
            "keys": [key.name for key in self.keys],
            "audio": self.audio.value if self.audio else None,
            "student": self.student,
            "date": self.date,
            "large-print": self.large_print,
            "paper": self.paper.value,
            "note-names": self.note_names.value,
        }


def file_name(question: Question, ending: str) -> str:
    """Return the name of a question's file, which tells its number and nothing else."""
    return f"question-{question.number:02d}.{ending}"
