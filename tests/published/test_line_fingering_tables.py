"""The fingering model against its published table and against the fingerings that handbooks print.

Sources
- Spans and rules: R. Parncutt, J. Sloboda, E. Clarke, M. Raekallio, P. Desain, "An Ergonomic Model of
  Keyboard Fingering for Melodic Fragments", Music Perception 14(4), 1997, as two open-source transcriptions
  give them; the one cell in which they differ (greatest relaxed span of 1-5) is not tested.
- Scales: University of Evansville, scale fingerings; C. C. Chang, Fundamentals of Piano Practice, tables
  1.III.5; they agree in the major keys. Harmonic minor scales as the first of them has them.
- Arpeggios: Bellingham Music Teachers Association, Scale and Arpeggio Fingering DrillInKey.

The model was made for short fragments and prefers, at the ends of a scale, what a fragment would: so the test
holds how often it gives the handbook's fingering, note for note and thumb for thumb, and how near the
handbook's fingering comes to the easiest.
"""

from itertools import combinations

import pytest

from tracks.hands.fingering import left_fingers, right_fingers
from tracks.hands.line_fingering import SPANS, LineHand, difficulty, line_fingers
from tracks.theory.chord_kinds import KINDS, ChordKind
from tracks.theory.key import Key
from tracks.theory.pitch import Interval, Pitch, Tone

MAJOR = {
    "C": ("12312345", "54321321"), "G": ("12312345", "54321321"), "D": ("12312345", "54321321"),
    "A": ("12312345", "54321321"), "E": ("12312345", "54321321"), "B": ("12312345", "43214321"),
    "F": ("12341234", "54321321"), "F#": ("23412312", "43213214"), "Db": ("23123412", "32143213"),
    "Ab": ("34123123", "32143213"), "Eb": ("31234123", "32143213"), "Bb": ("41231234", "32143213"),
}  # fmt: skip
HARMONIC_MINOR = {
    "a": ("12312345", "54321321"), "e": ("12312345", "54321321"), "d": ("12312345", "54321321"),
    "g": ("12312345", "54321321"), "c": ("12312345", "54321321"), "b": ("12312345", "43214321"),
    "f": ("12341231", "54321321"), "f#": ("34123123", "43213214"), "c#": ("34123123", "32143213"),
    "g#": ("34123123", "32143213"), "eb": ("31234123", "21432132"), "bb": ("41231234", "21321432"),
}  # fmt: skip
ARPEGGIOS = {
    "C": ("1231235", "5421421"), "G": ("1231235", "5421421"), "D": ("1231235", "5321321"),
    "A": ("1231235", "5321321"), "E": ("1231235", "5321321"), "B": ("1231235", "5321321"),
    "F#": ("1231235", "5321321"), "Db": ("4124124", "2142142"),
}  # fmt: skip
LOWEST = {LineHand.RIGHT: 60, LineHand.LEFT: 40}
HANDS = tuple(LineHand)

Line = tuple[list[Pitch], LineHand, str]


def climbing(tones: list[Tone], count: int, lowest: int) -> list[Pitch]:
    line: list[Pitch] = []
    for place in range(count):
        line.append(Pitch.at_or_above(tones[place % len(tones)], line[-1].midi + 1 if line else lowest))
    return line


def scale_tones(name: str) -> list[Tone]:
    key = Key.parse(name)
    return [*key.scale[:6], key.tonic.up(Interval.parse("M7"))]


def scales(table: dict[str, tuple[str, str]]) -> list[Line]:
    return [
        (climbing(scale_tones(name), 8, LOWEST[hand]), hand, printed)
        for name, both in table.items()
        for hand, printed in zip(HANDS, both, strict=True)
    ]


def arpeggios() -> list[Line]:
    return [
        (climbing([Key.parse(name).degree(n) for n in (1, 3, 5)], 7, LOWEST[hand]), hand, printed)
        for name, both in ARPEGGIOS.items()
        for hand, printed in zip(HANDS, both, strict=True)
    ]


def ours(line: Line) -> str:
    return "".join(map(str, line_fingers(line[0], line[1])))


def dearer(line: Line) -> int:
    """How many points the printed fingering costs beyond the easiest."""
    pitches, hand, printed = line
    return difficulty(pitches, [int(f) for f in printed], hand) - difficulty(
        pitches, line_fingers(pitches, hand), hand
    )


def thumbs(fingers: str) -> list[int]:
    return [place for place, finger in enumerate(fingers) if finger == "1"]


def test_span_table_keeps_the_rules_that_its_authors_made_it_by() -> None:
    for (low, high), span in SPANS.items():
        assert span.max_comfortable == span.max_practical - 2
        assert span.min_comfortable == span.min_practical + (2 if low == 1 else 0)
        if low > 1:
            assert span.max_relaxed == 2 * (high - low)
            assert span.min_relaxed == span.max_relaxed - 1


@pytest.mark.parametrize("key", ["C", "G", "D", "A", "E", "B"])
def test_white_key_scales_are_fingered_as_printed(key: str) -> None:
    for line in scales({key: MAJOR[key]}):
        assert ours(line) == line[2]


@pytest.mark.parametrize(
    ("table", "exact", "thumbs_agree", "notes"),
    [(MAJOR, 15, 22, 0.92), (HARMONIC_MINOR, 11, 19, 0.78)],
    ids=["major", "harmonic minor"],
)
def test_scales_agree_with_the_handbooks_as_often_as_measured(
    table: dict[str, tuple[str, str]], exact: int, thumbs_agree: int, notes: float
) -> None:
    lines = scales(table)
    assert sum(ours(line) == line[2] for line in lines) >= exact
    assert sum(thumbs(ours(line)) == thumbs(line[2]) for line in lines) >= thumbs_agree
    alike = sum(a == b for line in lines for a, b in zip(ours(line), line[2], strict=True))
    assert alike / sum(len(line[2]) for line in lines) >= notes
    assert max(map(dearer, lines)) <= 12


def test_arpeggios_pass_the_thumb_where_the_chart_does() -> None:
    lines = arpeggios()
    assert sum(ours(line) == line[2] for line in lines) >= 5
    assert sum(thumbs(ours(line)) == thumbs(line[2]) for line in lines) >= 14
    assert max(map(dearer, lines)) <= 12


@pytest.mark.parametrize(
    "kind", [kind for kind in KINDS if 3 <= len(kind.intervals) <= 4], ids=lambda k: k.name
)
@pytest.mark.parametrize("root", ["C", "Eb", "F#", "B"])
def test_block_chords_ask_no_pair_of_fingers_beyond_its_practical_span(kind: ChordKind, root: str) -> None:
    tones = [Tone.parse(root).up(interval) for interval in kind.intervals]
    for turn in range(len(tones)):
        pitches = sorted(climbing(tones[turn:] + tones[:turn], len(tones), 48), key=lambda pitch: pitch.midi)
        if pitches[-1].midi - pitches[0].midi > 12:
            continue
        for fingers, outwards in ((right_fingers(pitches), 1), (left_fingers(pitches), -1)):
            for (a, low), (b, high) in combinations(zip(fingers, pitches, strict=True), 2):
                span = SPANS[min(a, b), max(a, b)]
                assert outwards * (b - a) > 0
                assert span.min_practical <= high.midi - low.midi <= span.max_practical, (fingers, pitches)
