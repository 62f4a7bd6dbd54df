"""A report as one HTML file that needs nothing else: words, the chords in a table, and the pictures."""

from collections.abc import Iterable, Iterator
from html import escape

from tracks.safety import CAUTION_AT_THE_PIANO
from tracks.takes.pictures import take_picture
from tracks.takes.report import Report
from tracks.takes.words import advice, headline, overall, said_of, timing_lines, title

_STYLE = """
body { font: 16px/1.5 Georgia, serif; max-width: 60em; margin: 2em auto; padding: 0 1em; color: #222; }
table { border-collapse: collapse; }
td, th { padding: .2em .8em; border-bottom: 1px solid #ccc; text-align: left; }
figure { overflow-x: auto; margin: 1em 0; } code { font-size: 85%; overflow-wrap: anywhere; }
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
    yield f"<h1>{escape(title(report))}</h1>"
    yield f"<p><strong>{escape(headline(report, needs))}</strong></p>"
    yield f"<p>{escape(' '.join((*overall(report), *timing_lines(report))))}</p>"
    yield f"<figure>{take_picture(report)}</figure>"
    yield from _table(report)
    yield "<h2>What to practice</h2>"
    for sentence, command in advice(report, needs, progression):
        yield f"<p>{escape(sentence)}{f'<br><code>{escape(command)}</code>' if command else ''}</p>"
    for remark in report.take.remarks:
        yield f"<p>Remark: {escape(remark)}.</p>"


def _table(report: Report) -> Iterator[str]:
    yield "<table><tr><th>Bar</th><th>Chord</th><th>Off the beat</th><th>Apart</th><th>Remarks</th></tr>"
    for chord in report.chords:
        at = chord.asked
        cells = (
            f"{at.bar}" if at.beat == 1 else f"{at.bar}, beat {at.beat:g}",
            report.asked.printed(at.name),
            "" if chord.late_ms is None else f"{chord.late_ms:+.0f} ms",
            "" if chord.spread_ms is None else f"{chord.spread_ms:.0f} ms",
            "; ".join(said_of(chord, report)),
        )
        yield "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in cells) + "</tr>"
    yield "</table>"
