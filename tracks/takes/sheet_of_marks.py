"""A report as one HTML file that needs nothing else: words, the chords in a table, and the pictures."""

from collections.abc import Iterable, Iterator
from html import escape

from tracks.safety import CAUTION_AT_THE_PIANO
from tracks.takes.judge import Report
from tracks.takes.pictures import take_picture
from tracks.takes.words import headline, report_lines, said_of

_STYLE = """
body { font: 16px/1.5 Georgia, serif; max-width: 60em; margin: 2em auto; padding: 0 1em; color: #222; }
table { border-collapse: collapse; }
td, th { padding: .2em .8em; border-bottom: 1px solid #ccc; text-align: left; }
figure { overflow-x: auto; margin: 1em 0; } pre { white-space: pre-wrap; }
"""


def marks_page(marked: Iterable[tuple[Report, float | None]], progression: str | None = None) -> str:
    """Return the page of reports, each with the tempo that was needed."""
    parts = [part for report, needs in marked for part in _report(report, needs, progression)]
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>Marks</title><style>{_STYLE}</style></head><body>\n"
        + "\n".join(parts)
        + f"\n<p>{escape(CAUTION_AT_THE_PIANO)}</p>\n</body></html>\n"
    )


def _report(report: Report, needs: float | None, progression: str | None) -> Iterator[str]:
    asked = report.asked
    yield f"<h1>{escape(asked.drill.name)}, {escape(asked.printed(asked.key.name))}</h1>"
    yield f"<p><strong>{escape(headline(report, needs))}</strong></p>"
    yield f"<figure>{take_picture(report)}</figure>"
    yield "<table><tr><th>Bar</th><th>Chord</th><th>Off the beat</th><th>Apart</th><th>Remarks</th></tr>"
    for chord in report.chords:
        late = "" if chord.late_ms is None else f"{chord.late_ms:+.0f} ms"
        apart = "" if chord.spread_ms is None else f"{chord.spread_ms:.0f} ms"
        cells = (
            f"{chord.asked.bar}:{chord.asked.beat:g}",
            asked.printed(chord.asked.name),
            late,
            apart,
            "; ".join(said_of(chord, report)),
        )
        yield "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in cells) + "</tr>"
    yield "</table>"
    yield f"<pre>{escape(chr(10).join(report_lines(report, needs, progression)))}</pre>"
