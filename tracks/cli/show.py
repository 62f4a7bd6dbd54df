"""`rungwise show`: a progression worked out, as a table to play from."""

from pathlib import Path
from typing import TYPE_CHECKING

from tracks.cli import options
from tracks.cli.saying import say, say_remarks
from tracks.drill.options import BY_NAME
from tracks.model import PaperSize
from tracks.safety import CAUTION_AT_THE_PIANO
from tracks.theory.errors import RequestError

if TYPE_CHECKING:
    from tracks.drill.drill import Drill
    from tracks.drill.in_key import DrillInKey


@options.asking(
    "show",
    options.SCALES,
    options.SHEET,
    BY_NAME["large-print"],
    BY_NAME["paper"],
    options.ROMANTEXT,
    options.WRITE_OVER,
    options.JSON,
)
def show(given: options.Given) -> None:
    """Show the smoothest voicings of a progression: notes, inversions, fingers, and what moves."""
    from tracks.drill.in_key import in_each_key

    request = options.request("show", given)
    as_json, scales = "json" in given, "scales" in given
    found = [(drill, in_key) for drill in request.drills() for in_key in in_each_key(drill)]
    if "large-print" in given and "sheet" not in given:
        raise RequestError("it is the sheet's size", "give --sheet FILE too", "large-print")
    for places in _written(given, found):
        if not as_json:
            say(f"Wrote {', '.join(map(str, places))}.\n")
    say_remarks(request.remarks)
    if as_json:
        _print_json(found, scales)
        return
    for drill, in_key in found:
        _print_table(drill, in_key, scales)
    say(CAUTION_AT_THE_PIANO)


def _written(given: options.Given, found: list[tuple["Drill", "DrillInKey"]]) -> list[tuple[Path, ...]]:
    """Write the sheet and the RomanText that are asked for, all or none; return where each lies."""
    made = []
    if "sheet" in given:
        from tracks.drill.paper import usual_paper
        from tracks.pack.sheets import pages

        paper = PaperSize(given["paper"]) if "paper" in given else usual_paper()
        made.append(pages(Path(given["sheet"]), found, "large-print" in given, paper))
    if "romantext" in given:
        made.append({Path(given["romantext"]): _romantext(found)})
    if made:
        from tracks.pack.whole import write_whole

        files = {place: content for each in made for place, content in each.items()}
        write_whole(files, "force" in given, (Path(given["progression"]),))
    return [tuple(each) for each in made]


def _romantext(found: list[tuple["Drill", "DrillInKey"]]) -> bytes:
    from tracks.progression.romantext_writer import changes_to_romantext

    if len(found) > 1:
        raise RequestError("it holds one key from one start", "choose one --key and one --start", "romantext")
    drill, in_key = found[0]
    return changes_to_romantext(in_key.changes, drill.name).encode()


def _print_json(found: list[tuple["Drill", "DrillInKey"]], scales: bool) -> None:
    import json

    from tracks.drill.in_key import record
    from tracks.drill.remarks import remarks_on

    records = [record(in_key) for _, in_key in found]
    for each, (drill, in_key) in zip(records, found, strict=True):
        if remarks := remarks_on(drill, in_key):
            each["remarks"] = list(remarks)
    if scales:
        from tracks.cli.scales import with_scales

        records = [with_scales(each, in_key) for each, (_, in_key) in zip(records, found, strict=True)]
    say(json.dumps(records if len(records) > 1 else records[0], indent=2))


def _print_table(drill: "Drill", in_key: "DrillInKey", scales: bool) -> None:
    from rich.console import Console

    from tracks.cli.table import in_key_list, in_key_table
    from tracks.drill.in_key import first_position
    from tracks.drill.remarks import remarks_on
    from tracks.theory.pitch import signs

    console = Console(highlight=False, soft_wrap=False)
    if not console.is_terminal:
        # A file or a pipe has no width to fit; give the sentences the room they need.
        console.width = 100
    texture = drill.texture.value.replace("-", " ")
    start = _START_WORDS[first_position(drill, in_key)]
    names = drill.note_names
    console.print(f"{names.printed(in_key.key.sign)} · {drill.meter} · {texture} · starting in {start}")
    table = in_key_table(in_key, drill.texture, names)
    if console.measure(table, options=console.options.update(max_width=_WIDEST)).minimum > console.width:
        console.print(in_key_list(in_key, names))
    else:
        console.print(table)
    console.print(names.printed(f"The right hand moves {in_key.movement} half steps in all."))
    for remark in remarks_on(drill, in_key):
        say(f"Remark: {names.printed(signs(remark))}.")
    console.print()
    if scales:
        from tracks.cli.scales import scales_table, words_on_scales

        console.print(scales_table(in_key, names))
        console.print(words_on_scales(in_key, names))


_WIDEST = 1000
"""Room enough for any table, to ask how much it needs."""

_START_WORDS = ("root position", "first inversion", "second inversion", "third inversion")
