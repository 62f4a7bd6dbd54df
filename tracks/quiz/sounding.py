"""How a question sounds: its chords as a style plays them, then its notes.

The piece that sounds tells nothing else: it has no markers, no key signature, no count-in, and every file has
one time signature, whatever is played.
"""

from dataclasses import replace

from tracks.drill.drill import Drill, Mix, Sevenths
from tracks.drill.in_key import in_each_key
from tracks.model import Changes, ChordAt, Note, Part, Piece, Role, Texture, VoicedChord
from tracks.practice.arrange import arrange
from tracks.practice.mixes import at_tempo
from tracks.quiz.question import METER, Question
from tracks.style import Style


def sounding(question: Question, style: Style, bpm: int) -> Piece:
    """Return what a question sounds like in a style, at beats a minute; it names only the number."""
    piece = Piece(f"Question-{question.number:02d}", METER, (), 0, 0, (), ())
    if question.asked.chords:
        piece = _chords(question, style, bpm)
    if question.asked.notes:
        piece = _then(piece, question.asked.notes)
    return at_tempo(replace(piece, keys=(), markers=()), bpm)


def _chords(question: Question, style: Style, bpm: int) -> Piece:
    drill = Drill(
        name=f"Question-{question.number:02d}",
        progression=" ".join(question.asked.chords),
        keys=(question.key,),
        meter=METER,
        tempos=(bpm,),
        style=style.info.name,
        texture=Texture.OVER_BASS,
        start=question.start,
        sevenths=Sevenths.GUIDE_TONES,
        mixes=(Mix.HANDS_TOGETHER,),
        count_in=0,
        click=False,
    )
    (in_key,) = in_each_key(drill)
    changes, chords = in_key.changes, in_key.chords
    if question.asked.changed:
        (other,) = in_each_key(replace(drill, progression=" ".join(question.asked.again)))
        place = question.asked.changed[0] - 1
        # Only the changed chord is played otherwise: the rest keeps its very voicings, or they would tell.
        second = (*chords[:place], other.chords[place], *chords[place + 1 :])
        changes, chords = _one_after_the_other(changes, chords, second)
    return arrange(drill, style, changes, chords, bpm)


def _then(piece: Piece, notes: tuple[Note, ...]) -> Piece:
    """Return the piece with notes after it, a bar of silence between them if there is something before."""
    begin = piece.length + METER.bar if piece.length else 0
    later = tuple(replace(note, start=note.start + begin) for note in notes)
    end = max(note.end for note in later)
    part = Part(Role.MELODY, tuple(sorted(later, key=lambda note: (note.start, note.pitch.midi))))
    return replace(piece, parts=(*piece.parts, part), length=end + -end % METER.bar)


def _one_after_the_other(
    changes: Changes, first: tuple[VoicedChord, ...], second: tuple[VoicedChord, ...]
) -> tuple[Changes, tuple[VoicedChord, ...]]:
    """Return both playings with a bar of silence between them."""
    bar, key = changes.meter.bar, first[0].at.key
    silence = ChordAt(changes.length, bar, None, key, len(first) + 1, len(first))
    by = changes.length + bar
    later = tuple(
        replace(
            voiced,
            at=replace(
                voiced.at,
                start=voiced.at.start + by,
                bar=voiced.at.bar + by // bar,
                written=voiced.at.written + by // bar,
            ),
        )
        for voiced in second
    )
    chords = (*first, VoicedChord(silence), *later)
    return replace(changes, chords=tuple(v.at for v in chords), length=by + changes.length), chords
