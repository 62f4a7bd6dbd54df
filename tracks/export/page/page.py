"""What stands on a practice page: a drill in its keys, and the plain values that its script reads.

Conventions
- Times are ticks from the start of the music or its pickup; the page puts the count-in before it and the
  tempo on it.
- A key has one piece, or for a style that follows the tempo one for every rung.
- Numbers that keys and rungs share are written once: a part names its columns by their place in a table.
  A column of starts holds the steps from each to the next.
"""

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, field

from tracks.export.page.drawing import Drawing, Glyphs, draw
from tracks.model import NO_HEADING, Heading, Part, Piece
from tracks.notation.score import Score
from tracks.theory.meter import Meter, Time


@dataclass(frozen=True, slots=True)
class PageHand:
    """What a hand holds: MIDI numbers low to high, a finger for each, names with signs.

    `moves` pair the places of the chord before with those of this one.
    """

    midi: tuple[int, ...] = ()
    fingers: tuple[int, ...] = ()
    names: tuple[str, ...] = ()
    moves: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class PageChord:
    """A chord as the student reads and plays it; without a symbol it is silence.

    `say` is the line to say aloud, `call` the short call in time, `moves` the sentence of what moves.
    """

    start: Time
    length: Time
    place: str
    symbol: str
    numeral: str
    say: str
    call: str
    moves: str
    right: PageHand
    left: PageHand


@dataclass(frozen=True, slots=True)
class PageKey:
    """A drill in one key: its name for the manifest and for people, its score, chords and pieces."""

    name: str
    sign: str
    score: Score
    chords: tuple[PageChord, ...]
    pieces: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """A practice page. `tempos` are the ladder, slow to fast; `turn` is bars, None where none are taken.

    `language` is what it speaks at first, `de` for German; empty for the reader's own.
    """

    name: str
    title: str
    about: str
    texture: str
    style: str
    meter: Meter
    pickup: Time
    length: Time
    tempos: tuple[int, ...]
    count_in: int
    click: bool
    form: str
    turn: int | None
    keys: tuple[PageKey, ...]
    heading: Heading = NO_HEADING
    language: str = ""


@dataclass(slots=True)
class _Columns:
    """The table of columns: each different one once, in the order in which they were first asked for."""

    places: dict[tuple[int, ...], int] = field(default_factory=dict)

    def place(self, column: Iterable[int]) -> int:
        return self.places.setdefault(tuple(column), len(self.places))


def values(page: Page) -> dict[str, object]:
    """Return what the page's script reads, ready to be written as JSON."""
    columns, glyphs = _Columns(), Glyphs()
    keys = [_key_values(key, columns, glyphs) for key in page.keys]
    return {
        **{name: getattr(page, name) for name in _PLAIN},
        **_heading_values(page.heading),
        "meter": [page.meter.numerator, page.meter.denominator],
        "beat": page.meter.beat,
        "bar": page.meter.bar,
        "keys": keys,
        "glyphs": glyphs.markup(),
        "columns": list(columns.places),
    }


_PLAIN = (
    *("name", "title", "about", "texture", "style", "pickup", "length", "tempos"),
    *("count_in", "click", "form", "turn", "language"),
)


def _heading_values(heading: Heading) -> dict[str, str]:
    """Return what a lesson says over the page, days as ISO dates; empty where nothing is said."""
    days = {"date": heading.date, "due": heading.due}
    return {
        "lesson": heading.title,
        "student": heading.student,
        "notes": heading.notes,
        **{name: day.isoformat() if day else "" for name, day in days.items()},
    }


def _key_values(key: PageKey, columns: _Columns, glyphs: Glyphs) -> dict[str, object]:
    return {
        "name": key.name,
        "sign": key.sign,
        "minor": key.score.bars[0].key.is_minor,
        "chords": [asdict(chord) for chord in key.chords],
        "bars": [[bar.number, bar.start, bar.length] for bar in key.score.bars],
        "events": _events(key.score),
        "drawing": _drawing_values(draw(key.score, glyphs)),
        "pieces": [
            {"bpm": piece.bpm, "parts": [_part_values(part, columns) for part in piece.parts]}
            for piece in key.pieces
        ],
    }


def _events(score: Score) -> list[tuple[str, Time, Time]]:
    """Return every written note or chord: its name in the drawing, its start, its length."""
    return [
        (f"b{bar.number}s{staff}v{voice}e{place}", event.start, event.value.length)
        for bar in score.bars
        for staff, layers in enumerate(bar.staves, start=1)
        for voice, events in enumerate(layers, start=1)
        for place, event in enumerate(events)
        if event.pitches and event.value
    ]


def _drawing_values(drawing: Drawing) -> dict[str, object]:
    plain = asdict(drawing)
    return plain | {"bars": [[bar.start, bar.end, bar.head, bar.markup, bar.ties] for bar in drawing.bars]}


def _part_values(part: Part, columns: _Columns) -> dict[str, object]:
    head = {"role": part.role.value, "program": part.program, "pan": part.pan, "volume": part.volume}
    notes = sorted(part.notes, key=lambda note: (note.start, note.pitch.midi))
    hits = sorted(part.hits, key=lambda hit: (hit.start, hit.key))
    if hits:
        named = (_steps([h.start for h in hits]), [h.key for h in hits], [h.velocity for h in hits])
        return {**head, "hits": [columns.place(column) for column in named]}
    named_notes = (
        _steps([n.start for n in notes]),
        [n.length for n in notes],
        [n.pitch.midi for n in notes],
        [n.velocity for n in notes],
    )
    return {**head, "notes": [columns.place(column) for column in named_notes]}


def _steps(starts: Sequence[int]) -> list[int]:
    return [start - before for before, start in zip((0, *starts), starts, strict=False)]
