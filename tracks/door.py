"""The public door: from Python, a progression to voicings, MIDI, paper and sound in a few lines.

`tracks` itself offers these names (`from tracks import study`); docs/library.md shows them at work.

Conventions
- Options are those of a lesson file, with underscores for hyphens: `count_in=2`, `hand="9th"`; lists bear
  their plural (`keys`, `tempos`, `mixes`). `from_` is the option `from`, which is a word of Python's.
- A request that cannot be met raises RequestError, whose place is the option's name.
- Only `make_packs` writes to the disk.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TypeAlias

from tracks.drill.drill import Drill
from tracks.drill.in_key import DrillInKey, in_each_key
from tracks.drill.kinds import shaped
from tracks.drill.options import BY_NAME, meaning
from tracks.drill.record import drill_record
from tracks.drill.remarks import remarks_on
from tracks.drill.request import Request, request_of
from tracks.extras import need
from tracks.model import Piece, VoicedChord
from tracks.pack.folder import PackReport, write_pack
from tracks.pack.standing import check_same_drill
from tracks.practice.plan import jobs
from tracks.practice.played import Played
from tracks.progression.library import Entry, search
from tracks.style import Style, StyleInfo
from tracks.style.registry import load, load_all
from tracks.theory.errors import RequestError, correction, read
from tracks.theory.key import Key

OptionValue: TypeAlias = str | int | bool | Sequence[str | int]
"""The value of an option, as a lesson file has it."""


@dataclass(frozen=True, slots=True)
class Study:
    """A progression worked out in one key: to look at, to play along with, to print.

    Tempos are felt beats a minute; where none is given, the drill's slowest. A mix is one of the words of
    `rungwise make --mix`. Every method raises RequestError where it cannot be as asked.
    """

    drill: Drill
    style: Style
    in_key: DrillInKey
    remarks_on_reading: tuple[str, ...] = ()

    @property
    def key(self) -> Key:
        """The key that it is in."""
        return self.in_key.key

    @property
    def chords(self) -> tuple[VoicedChord, ...]:
        """The chords in order: spelled, voiced for both hands, fingered, with what moves."""
        return self.in_key.chords

    @property
    def movement(self) -> int:
        """How far the voices of the right hand move in all, in semitones."""
        return self.in_key.movement

    @property
    def remarks(self) -> tuple[str, ...]:
        """What the command says beside: how the text was read, and what another choice would save."""
        return (*self.remarks_on_reading, *remarks_on(self.drill, self.in_key))

    @property
    def _played(self) -> Played:
        return Played(self.drill, self.style, self.in_key)

    def piece(self, bpm: int | None = None, mix: str = "hands-together") -> Piece:
        """Return what sounds, with its count-in."""
        mixes = meaning("mixes", (mix,))
        tempo = self.drill.tempos[0] if bpm is None else bpm
        drill = replace(self.drill, tempos=(tempo,), mixes=mixes, climb=None)
        return next(jobs(drill, self.key, Played(drill, self.style, self.in_key).arrangement)).piece

    def midi(self, bpm: int | None = None, mix: str = "hands-together") -> bytes:
        """Return a Standard MIDI File of it, of the drill's type."""
        from tracks.export.midi import to_bytes

        return to_bytes(self.piece(bpm, mix), self.drill.midi_type, self.drill.gm_reset)

    def audio(
        self,
        kind: str = "mp3",
        bpm: int | None = None,
        mix: str = "hands-together",
        soundfont: Path | None = None,
    ) -> bytes:
        """Return a sound file of it, played on a SoundFont 2 file; needs the extra `audio`."""
        need("audio")
        from tracks.export.audio.render import Recording, Renderer
        from tracks.export.audio.soundfont import soundfont as font
        from tracks.export.audio.synth import Synth
        from tracks.export.audio.tags import Tags
        from tracks.export.audio.timing import check_length

        piece = self.piece(bpm, mix)
        check_length(piece)
        tags = Tags(f"{self.key.name}, {piece.bpm}", self.drill.name, 1, self.key, piece.bpm)
        renderer = Renderer(Synth(font(soundfont)), meaning("audio", kind))
        (content,) = renderer.record([Recording(piece, tags)])
        return content

    def sheet(self, kind: str = "pdf", large: bool = False) -> bytes:
        """Return its sheet: a `pdf`, or the first page as `svg` or `png`; needs the extra `sheets`."""
        from tracks.export.sheet import pdf, png, svg
        from tracks.pack.sheets import played_sheet

        writers = {"pdf": lambda *asked: [pdf(*asked)], "svg": svg, "png": png}
        if kind not in writers:
            raise RequestError(f"there is no sheet of kind {kind!r}", correction(kind, writers), "kind")
        need("sheets")
        return writers[kind]([played_sheet(self._played)], large, self.drill.paper)[0]

    def musicxml(self) -> bytes:
        """Return its sheet as MusicXML 4.0, to be edited."""
        from tracks.export.musicxml import musicxml
        from tracks.pack.sheets import played_sheet

        return musicxml(played_sheet(self._played).score, self.drill.tempos[-1])


def study(progression: str, key: str | None = None, **options: OptionValue) -> Study:
    """Return a progression worked out in a key: its own, where none is given.

    `progression` is text ("I vi IV V7", "| Dm7 G7 | C |"), a name of the library or the path of a file. Where
    several keys or inversions are asked for RequestError is raised too: `studies` gives those.
    """
    if key is not None:
        options["keys"] = [key]
    first, *others = studies(progression, **options)
    if others:
        raise RequestError("more than one key or inversion is asked for", "take studies(...)", "study")
    return first


def studies(progression: str, **options: OptionValue) -> Iterator[Study]:
    """Yield a study for every key that is asked for, and for every inversion to start on."""
    request = _request(progression, options)
    style, remarks = request.style(load), request.remarks
    for drill in request.drills(style):
        for in_key in in_each_key(drill):
            yield Study(drill, style, in_key, remarks)


def progressions(*words: str) -> tuple[Entry, ...]:
    """Return the library's progressions with all the words in their name or description, or every one.

    Raises RequestError where there is none.
    """
    return search(words)


def styles() -> tuple[StyleInfo, ...]:
    """Return what each installed style is and plays; one that cannot be loaded is passed over."""
    found, _ = load_all()
    return tuple(style.info for style in found)


def make_packs(
    progression: str, out: str | Path = "out", force: bool = False, **options: OptionValue
) -> tuple[PackReport, ...]:
    """Write what `rungwise make` writes, a folder for each inversion to start on; return what was written.

    A folder appears whole or not at all. Raises RequestError where files that are not the pack's own would be
    lost, unless `force` is given, and WriteError where the system refuses.
    """
    from tracks.pack.files import pack_files

    request = _request(progression, options)
    style = request.style(load)
    drills = request.drills(style)
    if "name" not in options and not force:
        for drill in drills:
            check_same_drill(Path(out) / drill.name, drill)
    return tuple(
        write_pack(Path(out), drill.name, pack_files(drill, style), drill_record(drill), force)
        for drill in drills
    )


def _request(progression: str, options: dict[str, OptionValue]) -> Request:
    given: dict[str, object] = {"progression": progression}
    for word, value in options.items():
        name = word.rstrip("_").replace("_", "-")
        if name not in BY_NAME:
            raise RequestError("there is no such option", correction(name, BY_NAME), word)
        given[name] = read(name, partial(shaped, BY_NAME[name].kind), value)
    return request_of(given)
