"""A report as plain values: what `check --json` prints.

Conventions
- Note names are ASCII. `correct` and `missing` are the notes asked for, by their names as asked, so that
  together they are all that was asked; `wrong` and `extra` are the notes played.
- The first names are the contract; `hands`, `verdict` and those after them tell the rest.
"""

from collections.abc import Mapping

from tracks.takes.practice_next import mending, next_rung
from tracks.takes.report import ChordReport, Report
from tracks.takes.spelling import spelled


def report_record(report: Report, needs: float | None, progression: str | None = None) -> dict[str, object]:
    """Return the record of a report under a needed tempo, None where none is asked for."""
    in_the_way = report.in_the_way(needs)
    rung = next_rung(report, needs, progression)
    found = report.timing
    return {
        "take": report.take.name,
        "drill": report.asked.drill.name,
        "key": report.asked.key.name,
        "tempo": round(found.bpm, 2) if found else None,
        "needs": needs,
        "ready": not in_the_way,
        "tries": report.tries,
        "latency_ms": report.latency_ms,
        "chords": [_chord_record(chord) for chord in report.chords],
        "drift_percent": round(found.drift_percent, 2) if found else None,
        "costly": [
            {
                "from": change.before,
                "to": change.after,
                "hand": change.hand,
                "late_ms": change.late_ms,
                "notes": change.notes,
                "command": mending(change, report),
            }
            for change in report.costly
        ],
        "next": {"bpm": rung.bpm, "command": rung.command},
        "hands": report.asked.hands,
        "texture": report.asked.drill.texture.value,
        "best_try": report.which,
        "in_the_way": list(in_the_way),
        "notes": {"wrong_missing_extra": report.notes, "most": report.tolerances.most_notes},
        "restarts": _restarts(report),
        "steadiness": _steadiness(report),
        "loudness_spread": round(report.loudness_spread, 1),
        "strays": report.best.strays,
        "remarks": list(report.take.remarks),
    }


def _restarts(report: Report) -> list[dict[str, object]]:
    """Return where the player went back to."""
    chords = report.asked.chords
    places = [chords[report.asked.groups[group].chord] for group in report.best.restarts]
    return [{"bar": chord.bar, "beat": chord.beat} for chord in places]


def _steadiness(report: Report) -> Mapping[str, object] | None:
    found = report.timing
    if found is None:
        return None
    percent = 100 * found.unsteady_s / found.beat_s
    return {
        "ms": round(found.unsteady_s * 1000, 1),
        "percent_of_beat": round(percent, 2),
        "steady": percent <= report.tolerances.steady_percent,
    }


def _chord_record(chord: ChordReport) -> dict[str, object]:
    heard = chord.heard
    return {
        "bar": chord.asked.bar,
        "beat": chord.asked.beat,
        "name": chord.asked.name,
        "correct": [note.pitch.name for each in heard for note in each.group.notes if note in each.right],
        "wrong": [spelled(note.midi, chord.asked).name for each in heard for _, note in each.wrong],
        "missing": [note.pitch.name for each in heard for note in each.missing],
        "extra": [spelled(note.midi, chord.asked).name for each in heard for note in each.extra],
        "skipped": chord.skipped,
        "octave": chord.octave,
        "inversion": chord.inversion,
        "late_ms": chord.late_ms,
        "spread_ms": chord.spread_ms,
        "hesitation_s": chord.hesitation_s,
        "click_ms": chord.click_ms,
    }
