"""A quiz as the files of a pack: what sounds, and the paper with its answers at the back.

Conventions
- A file's name is `question-01.mid`, its tags and its row in the manifest hold its number and tempo: none of
  them gives the answer away. The answers stand only on the last page of the paper.
- The paper is plain text, and a PDF too where the extra that sets it is installed.
"""

from collections.abc import Iterator, Sequence
from pathlib import Path

from tracks.export.midi import to_bytes
from tracks.extras import need_for
from tracks.model import AudioFormat, Piece
from tracks.pack.folder import NO_RUNG, PackFile
from tracks.pack.papers import paper_files
from tracks.quiz.paper import quiz_paper
from tracks.quiz.question import Question
from tracks.quiz.quiz import Quiz, file_name
from tracks.quiz.sounding import sounding
from tracks.style import Style

PAPER = "quiz"
"""What the paper's files are called, without their endings."""


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
    about = {**NO_RUNG, "question": None}
    for name, content in paper_files(PAPER, quiz_paper(quiz), large=quiz.large_print, size=quiz.paper):
        yield PackFile(name, content, about)


def _row(quiz: Quiz, question: Question) -> dict[str, object]:
    return {**NO_RUNG, "bpm": quiz.bpm, "question": question.number}


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
