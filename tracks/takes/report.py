"""What is found of a take, and what is still in the way of being ready.

Conventions
- Milliseconds in `_ms`, seconds in `_s`; tempos are felt beats a minute. Late is positive, early negative.
- A *change* is one chord to the next; it costs the time by which the second comes late, and its notes.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from tracks.hands.inversion import inversion
from tracks.lessons.tolerances import Tolerances
from tracks.takes.expected import ALONE, LEFT, RIGHT, Asked, AskedChord
from tracks.takes.hear import Try
from tracks.takes.heard import Heard
from tracks.takes.take import Take
from tracks.takes.timing import Timing


@dataclass(frozen=True, slots=True)
class ChordReport:
    """A chord as it was played; times are None where it was not."""

    asked: AskedChord
    heard: tuple[Heard, ...]
    late_ms: float | None
    spread_ms: float | None
    hesitation_s: float
    click_ms: float | None

    @property
    def skipped(self) -> bool:
        """Whether nothing of it was played."""
        return bool(self.heard) and not any(each.right or each.wrong for each in self.heard)

    @property
    def notes(self) -> int:
        """Wrong, missing and extra notes."""
        return sum(len(each.missing) + len(each.extra) for each in self.heard)

    @property
    def octave(self) -> int:
        """How many octaves away a hand was played; 0 as asked."""
        return next((each.octave for each in self.heard if each.octave), 0)

    @property
    def inversion(self) -> int | None:
        """The right hand's inversion as played; None where it plays no chord."""
        voiced = self.asked.voiced
        if self.skipped or not voiced.at.chord or not voiced.right:
            return None
        as_asked = inversion(voiced.at.chord, voiced.right.pitches[0].tone)
        inverted = next((each for each in self.heard if each.inverted), None)
        if not inverted:
            return as_asked
        lowest = min(
            (note.midi for asked, note in inverted.right.items() if asked.hand == RIGHT), default=None
        )
        tones = [tone for tone in voiced.at.chord.named_tones if lowest and tone.chroma == lowest % 12]
        return inversion(voiced.at.chord, tones[0]) if tones else as_asked


@dataclass(frozen=True, slots=True)
class Change:
    """A change of chord that costs time or notes, and the hand that it costs."""

    before: str
    after: str
    hand: str
    late_ms: float
    notes: int


@dataclass(frozen=True, slots=True)
class Report:
    """All that is found of a take. `bpm` is None where too little was played to tell."""

    take: Take
    asked: Asked
    tolerances: Tolerances
    chords: tuple[ChordReport, ...]
    best: Try
    tries: int
    which: int
    timing: Timing | None
    latency_ms: float | None
    loudness_spread: float
    costly: tuple[Change, ...]

    @property
    def bpm(self) -> float | None:
        """The tempo that was played."""
        return self.timing.bpm if self.timing else None

    @property
    def notes(self) -> int:
        """Wrong, missing and extra notes."""
        return self.best.faults

    @property
    def longest_hesitation_s(self) -> float:
        """The longest hesitation."""
        return max((chord.hesitation_s for chord in self.chords), default=0.0)

    def in_the_way(self, needs: float | None) -> tuple[str, ...]:
        """Return what is missing from being ready at a tempo, in words; nothing where the take is ready."""
        if self.timing is None:
            return ("too little was played",)
        found, limits = [], self.tolerances
        if needs and self.timing.bpm < needs * (1 - limits.tempo_slack_percent / 100):
            found.append(f"the tempo is {self.timing.bpm:.0f} of {needs:.0f}")
        if self.notes > limits.most_notes:
            found.append(f"{self.notes} notes wrong, missing or extra, where {limits.most_notes} may be")
        if self.longest_hesitation_s > limits.hesitation_beats * self.timing.beat_s:
            found.append(f"a hesitation of {self.longest_hesitation_s:.1f} s")
        if len(self.best.restarts) > limits.most_restarts:
            count = len(self.best.restarts)
            found.append(f"{count} restart{'s' if count > 1 else ''}")
        if self.missing_hand:
            found.append(f"the {self.missing_hand} hand is missing")
        return (*found, *self._beyond_what_the_teacher_set(self.timing))

    @property
    def missing_hand(self) -> str:
        """The hand that was not played though the drill asks for both; "" where it may be left out."""
        hand, mixes = self.asked.hands, self.asked.drill.mixes
        if hand not in ALONE or mixes is None or ALONE[hand] & set(mixes):
            return ""
        return LEFT if hand == RIGHT else RIGHT

    @property
    def is_whole(self) -> bool:
        """Whether all was played that the drill asks for: both hands, or the one that it is about."""
        hand, mixes = self.asked.hands, self.asked.drill.mixes
        return hand not in ALONE or (mixes is not None and set(mixes) <= ALONE[hand])

    def _beyond_what_the_teacher_set(self, timing: Timing) -> Iterator[str]:
        limits = self.tolerances
        spread = max((chord.spread_ms or 0.0 for chord in self.chords), default=0.0)
        unsteady = 100 * timing.unsteady_s / timing.beat_s
        drift = abs(timing.drift_percent)
        if "together_ms" in limits.decided and spread > limits.together_ms:
            yield f"a chord is {spread:.0f} ms apart, where {limits.together_ms:g} may be"
        if "steady_percent" in limits.decided and unsteady > limits.steady_percent:
            yield f"the beat is unsteady by {unsteady:.1f} %, where {limits.steady_percent:g} may be"
        if "drift_percent" in limits.decided and drift > limits.drift_percent:
            yield f"the tempo drifts by {drift:.0f} %, where {limits.drift_percent:g} may be"
