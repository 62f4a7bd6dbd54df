"""The typst library, asked in one place: a template and its data to pages.

Conventions
- All words come to a template as data, so nothing that a user wrote is read as markup.
- Everything is set in the typesetter's own fonts; system fonts play no part: the same data
  gives the same bytes.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import Literal, TypeAlias

from tracks.model import PaperSize

Form: TypeAlias = Literal["pdf", "svg", "png"]
SIZES = {PaperSize.A4: "a4", PaperSize.LETTER: "us-letter"}
"""What the typesetter calls a size of paper."""


def typeset(template: Path, data: Mapping[str, object], form: Form, *, ppi: float = 150.0) -> list[bytes]:
    """Return what a template makes of data: one PDF, or a picture for each page.

    `ppi` is a picture's pixels an inch. A PDF keeps PDF/UA-1 (ISO 14289-1), but for one with letters that
    none of the typesetter's fonts has: that cannot keep it, and is made all the same.
    """
    from json import dumps
    from typing import Any

    import typst

    how: dict[str, Any] = {
        "format": form,
        "ppi": ppi,
        "ignore_system_fonts": True,
        "sys_inputs": {"data": dumps(data)},
    }
    source = template.read_bytes()
    try:
        made = typst.compile(source, pdf_standards=["ua-1"] if form == "pdf" else [], **how)
    except typst.TypstError as error:
        if "could not be displayed" not in str(error):
            raise
        made = typst.compile(source, **how)
    return made if isinstance(made, list) else [made]
