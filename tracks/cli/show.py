"""`rungwise show`: a progression worked out, as a table to play from."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tracks.cli import options
from tracks.cli.fitting import width
from tracks.cli.saying import say, say_json, say_remarks
from tracks.drill.options import BY_NAME, WHICH_TUNE
from tracks.model import PaperSize
from tracks.safety import CAUTION_AT_THE_PIANO
from tracks.theory.errors import RequestError

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from tracks.drill.drill import Drill
    from tracks.drill.in_key import DrillInKey
    from tracks.drill.request import Request
    from tracks.practice.played import Played


@options.asking(
    "show",
    options.SCALES,
    options.TUNE,
    *(BY_NAME[name] for name in WHICH_TUNE),
    options.SHEET,
    BY_NAME["large-print"],
    BY_NAME["paper"],
    options.ROMANTEXT,
    options.WRITE_OVER,
    options.JSON,
)
def show(given: options.Given) -> None:
    """Show the smoothest voicings of a progression: notes, inversions, fingers, and what moves."""
    request = options.request("show", given)
    if "large-print" in given and "sheet" not in given:
        raise RequestError("it is the sheet's size", "give --sheet FILE too", "large-print")
    for name in WHICH_TUNE:
        if name in given and "tune" not in given:
            raise RequestError("it says which tune", "give --tune too", name)
    shown = list(_shown(request, given))
    for places in _written(given, shown):
        if "json" not in given:
            say(f"Wrote {', '.join(map(str, places))}.\n")
    say_remarks(request.remarks)
    if "json" in given:
        _print_json(shown, "scales" in given)
        return
    for each in shown:
        _print_table(each.drill, each.in_key, "scales" in given)
        if each.tune:
            from tracks.cli.tune import tune_lines

            say("\n".join((*tune_lines(each.tune), "")))
    say(CAUTION_AT_THE_PIANO)


class _Shown(NamedTuple):
    """What is shown of a drill in a key; its tune where that is asked for."""

    drill: "Drill"
    in_key: "DrillInKey"
    tune: "Played | None" = None


def _shown(request: "Request", given: options.Given) -> Iterator[_Shown]:
    from tracks.drill.in_key import in_each_key

    if "tune" not in given:
        for drill in request.drills():
            yield from (_Shown(drill, in_key) for in_key in in_each_key(drill))
        return
    from tracks.cli.tune import tune_of
    from tracks.practice.played import played_in_each_key
    from tracks.style.registry import load

    asked = tune_of(request, {name: given[name] for name in WHICH_TUNE if name in given})
    style = asked.style(load)
    for drill in asked.drills(style):
        for played in played_in_each_key(drill, style):
            yield _Shown(drill, played.in_key, played)


def _written(given: options.Given, shown: Sequence[_Shown]) -> list[tuple[Path, ...]]:
    """Write the sheet and the RomanText that are asked for, all or none; return where each lies."""
    made = []
    if "sheet" in given:
        made.append(_sheets(given, shown))
    if "romantext" in given:
        made.append({Path(given["romantext"]): _romantext(shown)})
    if made:
        from tracks.pack.whole import write_whole

        files = {place: content for each in made for place, content in each.items()}
        write_whole(files, "force" in given, (Path(given["progression"]),))
    return [tuple(each) for each in made]


def _sheets(given: options.Given, shown: Sequence[_Shown]) -> dict[Path, bytes]:
    from tracks.drill.paper import usual_paper
    from tracks.pack.sheets import pages, sheet, tune_sheet

    paper = PaperSize(given["paper"]) if "paper" in given else usual_paper()
    sheets = [tune_sheet(each.tune) if each.tune else sheet(each.drill, each.in_key) for each in shown]
    return pages(Path(given["sheet"]), sheets, "large-print" in given, paper)


def _romantext(shown: Sequence[_Shown]) -> bytes:
    from tracks.progression.romantext_writer import changes_to_romantext

    if len(shown) > 1:
        raise RequestError("it holds one key from one start", "choose one --key and one --start", "romantext")
    return changes_to_romantext(shown[0].in_key.changes, shown[0].drill.name).encode()


def _print_json(shown: Sequence[_Shown], scales: bool) -> None:
    records = [_record(each, scales) for each in shown]
    say_json(records if len(records) > 1 else records[0])


def _record(shown: _Shown, scales: bool) -> dict[str, object]:
    from tracks.drill.in_key import record
    from tracks.drill.remarks import remarks_on

    made = record(shown.in_key)
    if remarks := remarks_on(shown.drill, shown.in_key):
        made["remarks"] = list(remarks)
    if scales:
        from tracks.cli.scales import with_scales

        made = with_scales(made, shown.in_key)
    if shown.tune:
        from tracks.cli.tune import tune_record

        made["tune"] = tune_record(shown.tune)
    return made


def _print_table(drill: "Drill", in_key: "DrillInKey", scales: bool) -> None:
    from rich.console import Console

    from tracks.cli.table import in_key_list, in_key_table
    from tracks.drill.in_key import first_position
    from tracks.drill.remarks import remarks_on
    from tracks.theory.pitch import signs

    # Only with a height too does the library take the width on a terminal without abilities.
    console = Console(highlight=False, soft_wrap=False, width=width(), height=_ANY_HEIGHT)
    texture = drill.texture.value.replace("-", " ")
    start = _START_WORDS[first_position(drill, in_key)]
    names = drill.note_names
    console.print(f"{names.printed(in_key.key.sign)} · {drill.meter} · {texture} · starting in {start}")
    _print_fitting(console, in_key_table(in_key, drill.texture, names), partial(in_key_list, in_key, names))
    console.print(names.printed(f"The right hand moves {in_key.movement} half steps in all."))
    for remark in remarks_on(drill, in_key):
        say(f"Remark: {names.printed(signs(remark))}.")
    console.print()
    if scales:
        from tracks.cli.scales import scales_list, scales_table, words_on_scales

        _print_fitting(console, scales_table(in_key, names), partial(scales_list, in_key, names))
        say(words_on_scales(in_key, names))


def _print_fitting(console: "Console", table: "Table", in_lines: Callable[[], str]) -> None:
    """Print a table, or where it does not fit what it tells as lines."""
    if console.measure(table, options=console.options.update(max_width=_WIDEST)).minimum > console.width:
        say(in_lines())
    else:
        console.print(table)


_ANY_HEIGHT = 25
_WIDEST = 1000
"""Room enough for any table, to ask how much it needs."""

_START_WORDS = ("root position", "first inversion", "second inversion", "third inversion")
