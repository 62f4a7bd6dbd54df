"""A report in words, all of them true: what was good, what is in the way, what to practice next."""

from collections.abc import Iterator

from tracks.takes.practice_next import mending, next_rung
from tracks.takes.report import ChordReport, Report
from tracks.takes.spelling import spelled
from tracks.theory.errors import listed

_MOST_CHORDS = 8
_POSITIONS = ("root position", "first inversion", "second inversion", "third inversion")


def headline(report: Report, needs: float | None) -> str:
    """Return the verdict in a line."""
    in_the_way = report.in_the_way(needs)
    if report.bpm is None:
        return "Too little was played to tell; record it again from the start."
    at = f"{report.bpm:.0f} beats a minute"
    if not in_the_way:
        return f"Ready at {at}{f', {needs:.0f} needed' if needs else ''}. Well done."
    begins = "All notes right, and on the way" if not report.notes else "On the way"
    return f"{begins}, at {at}. Not ready yet: {'; '.join(in_the_way)}."


def report_lines(report: Report, needs: float | None, progression: str | None = None) -> Iterator[str]:
    """Yield the lines of a report."""
    yield f"{report.take.name}: {title(report)}"
    yield headline(report, needs)
    yield from overall(report)
    said = list(_chord_lines(report))
    for line in said[:_MOST_CHORDS]:
        yield f"  {line}"
    if len(said) > _MOST_CHORDS:
        yield f"  And something of {len(said) - _MOST_CHORDS} more chords: --report FILE tells it all."
    yield from timing_lines(report)
    for sentence, command in advice(report, needs, progression):
        yield sentence
        if command:
            yield f"  {command}"
    for remark in report.take.remarks:
        yield f"Remark: {remark}."


def title(report: Report) -> str:
    """Return what the take is of: the drill, the key, and the hand where it is one."""
    asked = report.asked
    hands = "" if asked.hands == "both" else f", {asked.hands} hand alone"
    return f"{asked.drill.name}, {asked.printed(asked.key.name)}{hands}"


def advice(
    report: Report, needs: float | None, progression: str | None = None
) -> Iterator[tuple[str, str | None]]:
    """Yield what cost most and what comes next, each with the command that makes a drill of it."""
    for change in report.costly:
        cost = f"{change.late_ms:.0f} ms late" if change.late_ms >= 1 else _counted(change.notes, "note")
        where = report.asked.printed(f"{change.before} to {change.after}")
        yield f"Costly: {where} in the {change.hand} hand, {cost}.", mending(change, report)
    rung = next_rung(report, needs, progression)
    yield f"Next: {rung.bpm} beats a minute.", rung.command


def _counted(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def overall(report: Report) -> Iterator[str]:
    """Yield which try it is about, and how much of it was right."""
    if report.tries > 1:
        yield f"Try {report.which} of {report.tries} was the best; this is about it."
    yield from _good(report)


def _good(report: Report) -> Iterator[str]:
    right = sum(len(each.right) for each in report.best.heard)
    asked = sum(len(each.group.notes) for each in report.best.heard)
    clean = sum(not chord.notes for chord in report.chords if chord.heard)
    chords = sum(bool(chord.heard) for chord in report.chords)
    if right == asked and not report.notes:
        yield f"Every note is right: {right} of {asked}."
    else:
        yield f"{right} of {asked} notes are right, {clean} of {chords} chords without a fault."


def _chord_lines(report: Report) -> Iterator[str]:
    """Yield a line for every chord that something is to be said of."""
    for chord in report.chords:
        if said := list(said_of(chord, report)):
            where = (
                f"Bar {chord.asked.bar}, beat {chord.asked.beat:g}, {report.asked.printed(chord.asked.name)}"
            )
            yield f"{where}: {'; '.join(said)}."


def said_of(chord: ChordReport, report: Report) -> Iterator[str]:
    """Yield what is to be said of a chord; nothing where it was as it should be."""
    printed = report.asked.printed
    if chord.skipped:
        yield "left out"
        return
    for each in chord.heard:
        for asked, note in each.wrong:
            yield printed(f"{spelled(note.midi, chord.asked)} for {asked.pitch}")
        stood_for = {asked for asked, _ in each.wrong}
        if missing := [str(note.pitch) for note in each.missing if note not in stood_for]:
            yield printed(f"without {listed(missing, 'and')}")
        if extra := [str(spelled(note.midi, chord.asked)) for note in each.extra]:
            yield printed(f"{listed(extra, 'and')} too many")
    if chord.octave:
        way = "up" if chord.octave > 0 else "down"
        yield f"played {abs(chord.octave)} octave{'s' if abs(chord.octave) > 1 else ''} {way}"
    if any(each.inverted for each in chord.heard) and chord.inversion is not None:
        yield f"played in {_POSITIONS[chord.inversion]}"
    if chord.hesitation_s:
        yield f"a hesitation of {chord.hesitation_s:.1f} s before it"
    if (chord.spread_ms or 0) > report.tolerances.together_ms:
        yield f"its notes {chord.spread_ms:.0f} ms apart"


def timing_lines(report: Report) -> Iterator[str]:
    """Yield how steady the beat was, how it drifted, how it lay to the click, and how often it began anew."""
    found, limits = report.timing, report.tolerances
    if found is None:
        return
    percent = 100 * found.unsteady_s / found.beat_s
    steady = "steady" if percent <= limits.steady_percent else "not steady yet"
    yield f"The beat is {steady}: {found.unsteady_s * 1000:.0f} ms, {percent:.1f} % of a beat."
    if abs(found.drift_percent) > limits.drift_percent:
        way = "faster" if found.drift_percent > 0 else "slower"
        yield f"It grew {abs(found.drift_percent):.0f} % {way} from start to end."
    if report.latency_ms is not None and abs(report.latency_ms) >= 1:
        way = "after" if report.latency_ms > 0 else "before"
        yield f"All of it lies {abs(report.latency_ms):.0f} ms {way} the click: latency, not unsteadiness."
    if report.best.restarts:
        yield f"Went back {_counted(len(report.best.restarts), 'time')}."
