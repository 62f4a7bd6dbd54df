"""A paper as files: plain text always, and a PDF too where the extra that sets it is installed."""

from collections.abc import Iterator

from tracks.export.paper import Paper, pdf, text
from tracks.extras import have
from tracks.model import PaperSize


def has_pdf() -> bool:
    """Return whether papers are set as PDFs too."""
    return have("sheets")


def paper_files(
    stem: str, paper: Paper, *, large: bool = False, size: PaperSize = PaperSize.A4
) -> Iterator[tuple[str, bytes]]:
    """Yield a paper's files, each its name and its content, the one to print first."""
    if has_pdf():
        yield f"{stem}.pdf", pdf(paper, large=large, size=size)
    yield f"{stem}.txt", text(paper).encode("utf-8")


def to_print(stem: str) -> str:
    """Return the name of the file of a paper that is best printed."""
    return f"{stem}.{'pdf' if has_pdf() else 'txt'}"


def remarks(stem: str) -> list[str]:
    """Return what to say where a paper is plain text only."""
    if has_pdf():
        return []
    return [f'the paper is {stem}.txt only; for a PDF: pip install "rungwise[sheets]"']
