"""The workshop: a drill and a style become the files of a pack, one after the other."""

from collections.abc import Callable, Iterator

from tracks.arrange import arrange
from tracks.chart import Chart, charts
from tracks.drill import Drill
from tracks.export.midi import Encoder
from tracks.model import Piece
from tracks.pack import PackFile
from tracks.plan import jobs
from tracks.style import Style


def midi_files(drill: Drill, style: Style) -> Iterator[PackFile]:
    """Yield every MIDI file of a drill, key by key and from slow to fast, holding one key in memory.

    Raises Fault, before the first file, where the progression cannot be read or played in one of the keys.
    """
    encoder = Encoder(drill.midi_type)
    for chart in charts(drill):
        for job in jobs(drill, chart.key, arrangement(drill, style, chart)):
            yield PackFile(job.path, encoder.encode(job.piece), job.row)


def arrangement(drill: Drill, style: Style, chart: Chart) -> Piece | Callable[[int], Piece]:
    """Return a chart's arrangement, or for a style that follows the tempo the maker of one for a tempo."""
    if style.info.follows_tempo:
        return lambda bpm: arrange(drill, style, chart.changes, chart.chords, bpm)
    return arrange(drill, style, chart.changes, chart.chords)
