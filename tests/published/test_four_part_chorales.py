"""Four parts over the progressions of twenty chorales, judged by an independent checker.

Sources
- The progressions and the chorales themselves: music21's corpus (J. S. Bach; the analyses, RomanText files by
  A. Jones, proofread by D. Tymoczko and M. Robb). Four of the twenty have no score under the name that the
  corpus gives them, or one that does not agree with the analysis, and are left out where Bach's own movement
  is measured.
- The judges: music21's VoiceLeadingQuartet, which counts fifths by contrary motion too, and the rules of its
  figured-bass realizer: a step is in its set of legal realizations when each of its rules lets it pass.
  Incomplete chords are allowed. An octave reached in similar motion with the soprano stepping is allowed
  (Open Music Theory, basso continuo), and hidden fifths are; the realizer refuses both by default.
"""

from dataclasses import dataclass
from functools import cache
from itertools import combinations, pairwise
from typing import Any

import pytest

from tracks.hands.four_part import FourParts, PartWriting, write_parts
from tracks.hands.options import VoicingOptions
from tracks.model import ChordAt, Texture
from tracks.theory.key import Key
from tracks.theory.numeral import parse_numeral
from tracks.theory.pitch import Pitch

SCORES = {
    1: "269", 2: "347", 3: "153.1", 4: "86.6", 5: "267", 6: "281", 7: "17.7", 8: "40.8", 10: "38.6",
    12: "65.2", 13: "33.6", 15: "277", 16: "311", 18: "318", 19: "351", 20: "302",
}  # fmt: skip
NUMBERS = range(1, 21)


@dataclass(frozen=True)
class Chorale:
    """The chords of a chorale at each change of numeral, where they stand in quarters, and our four parts."""

    chords: tuple[ChordAt, ...]
    offsets: tuple[float, ...]
    writing: PartWriting

    @property
    def parts(self) -> list[FourParts]:
        return [parts for parts in self.writing.chords if parts]


@cache
def chorale(number: int) -> Chorale:
    from music21 import corpus, roman

    analysis: Any = corpus.parse(f"bach/choraleAnalyses/riemenschneider{number:03d}.rntxt")
    chords: list[ChordAt] = []
    offsets = []
    for numeral in analysis.recurse().getElementsByClass(roman.RomanNumeral):
        key = Key.parse(numeral.key.tonicPitchNameWithCase.replace("-", "b"))
        chord = parse_numeral(numeral.figure, key)
        if not chords or (chords[-1].chord, chords[-1].key) != (chord, key):
            chords.append(ChordAt(len(chords), 1, chord, key, bar=len(chords) + 1, written=len(chords)))
            offsets.append(float(numeral.getOffsetInHierarchy(analysis)))
    writing = write_parts(chords, VoicingOptions(Texture.FOUR_PART))
    return Chorale(tuple(chords), tuple(offsets), writing)


def m21_pitch(pitch: Pitch) -> Any:
    from music21 import pitch as m21

    return m21.Pitch(pitch.name.replace("b", "-"))


@pytest.mark.parametrize("number", NUMBERS)
def test_no_parallel_fifths_octaves_or_unisons(number: int) -> None:
    from music21.voiceLeading import VoiceLeadingQuartet

    for before, after in pairwise(chorale(number).parts):
        for low, high in combinations(range(4), 2):
            four = (before.pitches[low], after.pitches[low], before.pitches[high], after.pitches[high])
            if (four[3].midi - four[1].midi) % 12 not in (0, 7):
                continue  # it arrives at no fifth or octave
            quartet = VoiceLeadingQuartet(*map(m21_pitch, four))
            assert not quartet.parallelFifth(), four
            assert not quartet.parallelUnisonOrOctave(), four


@pytest.mark.parametrize("number", NUMBERS)
def test_every_step_is_among_the_realizers_legal_ones(number: int) -> None:
    found = chorale(number)
    segments = [segment_of(at, parts) for at, parts in zip(found.chords, found.parts, strict=True)]
    for place, (before, after) in enumerate(pairwise(found.parts)):
        old, new = as_possibility(before), as_possibility(after)
        assert passes(segments[place].singlePossibilityRules(segments[place].fbRules), old)
        if not any("overlap" in words for words in after.broken):
            rules = segments[place].consecutivePossibilityRules(segments[place].fbRules)
            assert passes(rules, old, new), (before.pitches, after.pitches)
        assert not hidden_octave_by_leap(old, new) or any("octave" in words for words in after.broken)


def test_realizer_itself_lists_our_steps() -> None:
    """The same set, which music21 lists in full, for a few chords: its rules one by one say no more."""
    key = Key.parse("G")
    figures = ("I", "ii6", "V", "I")
    chords = [ChordAt(n, 1, parse_numeral(figure, key), key, n + 1, n) for n, figure in enumerate(figures)]
    parts = [each for each in write_parts(chords, VoicingOptions(Texture.FOUR_PART)).chords if each]
    segments = [segment_of(at, each) for at, each in zip(chords, parts, strict=True)]
    for (here, after), (old, new) in zip(pairwise(segments), pairwise(parts), strict=True):
        listed = {spelled(*pair) for pair in here.allCorrectConsecutivePossibilities(after)}
        assert spelled(as_possibility(old), as_possibility(new)) in listed


def spelled(*possibilities: tuple[Any, ...]) -> tuple[str, ...]:
    return tuple(pitch.nameWithOctave for possibility in possibilities for pitch in possibility)


def segment_of(at: ChordAt, parts: FourParts) -> Any:
    from music21.figuredBass.segment import Segment
    from music21.note import Note

    assert at.chord
    names = [tone.name.replace("b", "-") for tone in at.chord.tones]
    return Segment(
        bassNote=Note(m21_pitch(parts.pitches[0])), fbRules=our_rules(), maxPitch="C6", listOfPitches=names
    )


def our_rules() -> Any:
    from music21.figuredBass import rules as m21

    rules: Any = m21.Rules()  # type: ignore[no-untyped-call]
    rules.forbidIncompletePossibilities = False
    rules.forbidHiddenFifths = rules.forbidHiddenOctaves = False
    # These give one resolution for each chord and leave out all others; resolutions are checked below.
    rules.resolveDominantSeventhProperly = rules.resolveDiminishedSeventhProperly = False
    rules.resolveAugmentedSixthProperly = False
    return rules


def as_possibility(parts: FourParts) -> tuple[Any, ...]:
    return tuple(m21_pitch(pitch) for pitch in reversed(parts.pitches))


def passes(rules: Any, *possibilities: Any) -> bool:
    return all(
        method(*possibilities, *(given[0] if given else ())) == wanted
        for runs, method, wanted, *given in rules
        if runs
    )


def hidden_octave_by_leap(old: tuple[Any, ...], new: tuple[Any, ...]) -> bool:
    from music21.figuredBass import possibility

    hidden: Any = possibility.hiddenOctave
    return bool(hidden(old, new)) and abs(new[0].ps - old[0].ps) > 2


@pytest.mark.parametrize("number", NUMBERS)
def test_every_seventh_steps_down_or_holds_or_is_reported(number: int) -> None:
    found = chorale(number)
    for (at, before), (next_at, after) in pairwise(zip(found.chords, found.parts, strict=True)):
        assert at.chord
        assert next_at.chord
        seventh = at.chord.factor(7)
        if seventh is None or (at.chord.root == next_at.chord.root and seventh in next_at.chord.tones):
            continue
        for voice, pitch in enumerate(before.pitches):
            if pitch.tone == seventh:
                to = after.pitches[voice]
                down = pitch.midi - to.midi
                is_step = down in (1, 2) and pitch.staff_step - to.staff_step == 1
                assert down == 0 or is_step or rises_with_the_bass(before, after, voice) or after.broken


def rises_with_the_bass(before: FourParts, after: FourParts, voice: int) -> bool:
    """As in I V43 I6 (Hutchinson 27.1): the seventh goes up in tenths with the bass."""
    gaps = [parts.pitches[voice].staff_step - parts.pitches[0].staff_step for parts in (before, after)]
    return [gap % 7 for gap in gaps] == [2, 2] and after.pitches[0].midi > before.pitches[0].midi


@pytest.mark.parametrize("number", NUMBERS)
def test_right_hand_holds_three_voices_within_an_octave_above_the_bass(number: int) -> None:
    for parts in chorale(number).parts:
        bass, *right = (pitch.midi for pitch in parts.pitches)
        assert right == sorted(right)
        assert len(set(right)) >= 2
        assert right[-1] - right[0] <= 12
        assert 40 <= bass <= 64
        assert bass < right[0]


def test_upper_voices_move_no_more_than_bachs() -> None:
    ours = [(chorale(n).writing.movement, 3 * (len(chorale(n).chords) - 1)) for n in SCORES]
    bachs = [bach_movement(n) for n in SCORES]
    mean_ours = sum(moved for moved, _ in ours) / sum(steps for _, steps in ours)
    mean_bachs = sum(moved for moved, _ in bachs) / sum(steps for _, steps in bachs)
    assert mean_ours < 1.4
    assert 1.8 < mean_bachs < 1.9
    for (moved, steps), (bach_moved, bach_steps) in zip(ours, bachs, strict=True):
        assert moved / steps <= bach_moved / bach_steps


def bach_movement(number: int) -> tuple[int, int]:
    """Return the semitones that the upper three voices move between changes of numeral, and the steps."""
    from music21 import corpus

    score: Any = corpus.parse(f"bach/bwv{SCORES[number]}")
    voices = [part.flatten().notes.stream() for part in score.parts][:3]
    moved = steps = 0
    for before, after in pairwise(chorale(number).offsets):
        for voice in voices:
            old, new = voice.getElementAtOrBefore(before), voice.getElementAtOrBefore(after)
            if old and new:
                moved += abs(new.pitch.midi - old.pitch.midi)
                steps += 1
    return moved, steps


def test_voices_seldom_meet_on_one_key() -> None:
    """No oftener than in Bach's own chords at the same moments, of which one in twenty has a unison."""
    parts = [parts for number in SCORES for parts in chorale(number).parts]
    ours = sum(len(set(each.pitches)) < len(each.pitches) for each in parts) / len(parts)
    assert ours <= sum(map(bachs_unisons, SCORES)) / len(parts)
    assert ours <= 0.05


def bachs_unisons(number: int) -> int:
    """Return how many of the chorale's chords have two of the upper three voices on one key."""
    from music21 import corpus

    score: Any = corpus.parse(f"bach/bwv{SCORES[number]}")
    voices = [part.flatten().notes.stream() for part in score.parts][:3]
    chords = [[voice.getElementAtOrBefore(at) for voice in voices] for at in chorale(number).offsets]
    return sum(len({note.pitch.midi for note in notes}) < 3 for notes in chords if all(notes))


def test_few_rules_are_broken_and_each_is_told() -> None:
    """The analyses leave out passing notes, so not every step can be kept clean."""
    told = [words for number in NUMBERS for parts in chorale(number).parts for words in parts.broken]
    assert len(told) <= 20
    assert all(words.startswith(("from ", "in ")) for words in told)
    assert not any("parallel" in words for words in told)
