"""A quiz on paper: what is asked with boxes to tick, a log, and at the end the answers on their own page."""

from tracks.export.paper import BOX, Block, Heading, Item, Items, PageBreak, Paper, Table, Words
from tracks.notation.words import for_paper
from tracks.quiz.question import Question
from tracks.quiz.quiz import Quiz, file_name
from tracks.safety import CAUTION
from tracks.theory.numeral_name import printed_text

_PLAYED = ("right the first time", "right the second time", "not yet")
"""What a student ticks where there is nothing to choose from."""
_LOGGED_DAYS = 4


def quiz_paper(quiz: Quiz) -> Paper:
    """Return the paper of a quiz."""
    count = len(quiz.questions)
    blocks: list[Block] = [
        Words(f"Quiz {quiz.seed}, {count} question{'s' if count > 1 else ''}: {quiz.level.about}."),
        Words(quiz.level.task, strong=True),
        Words(f"Listen as often as you like. Tick one box for each question. {CAUTION}"),
        Items(tuple(_question(quiz, question) for question in quiz.questions)),
        Heading("Log"),
        Table(("Day", f"Right, of {count}", "To hear again"), (("", "", ""),) * _LOGGED_DAYS),
        PageBreak(),
        Heading("Answers"),
        Items(tuple(_answer(quiz, question) for question in quiz.questions)),
    ]
    return Paper(f"Ear quiz: {quiz.title}", tuple(blocks), quiz.student, quiz.date)


def _question(quiz: Quiz, question: Question) -> Item:
    given = f": {quiz.note_names.printed(for_paper(question.given))}" if question.given else ""
    choices = quiz.level.answers or _PLAYED
    return Item(
        f"{file_name(question, quiz.heard)}{given}",
        (" ".join(f"{BOX} {quiz.note_names.printed(for_paper(choice))}" for choice in choices),),
    )


def _answer(quiz: Quiz, question: Question) -> Item:
    """Return an answer and, under it, what was played."""
    asked, key, printed = question.asked, question.key, quiz.note_names.printed
    played = [printed_text(" ".join(each), key) for each in (asked.chords, asked.again) if each]
    if asked.told and asked.told != question.answer:
        played.append(asked.told)
    where = f"{key.name}: " if quiz.level.in_key else ""
    return Item(printed(for_paper(question.answer)), (printed(for_paper(where + ", then ".join(played))),))
