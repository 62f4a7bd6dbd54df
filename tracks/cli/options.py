"""The options that commands share. Their texts are turned into values in `request`."""

from pathlib import Path
from typing import Annotated

import typer

from tracks.drill.drill import BuildUp, Climb, Form, Mix
from tracks.hands.voicing import Left, Sevenths
from tracks.model import AudioFormat, Texture


def _library_names(incomplete: str) -> list[str]:
    from tracks.progression.library import LIBRARY

    return [entry.name for entry in LIBRARY if entry.name.startswith(incomplete)]


def _key_names(incomplete: str) -> list[str]:
    from tracks.theory.key import KEY_SETS

    names = [*KEY_SETS, *(key.folder for key in KEY_SETS["all-30"])]
    return [name for name in names if name.lower().startswith(incomplete.lower())]


def _style_names(incomplete: str) -> list[str]:
    from tracks.style.registry import names

    return [name for name in names() if name.startswith(incomplete)]


def _mix_names(incomplete: str) -> list[str]:
    return [name for name in ("all", *(mix.value for mix in Mix)) if name.startswith(incomplete)]


Progression = Annotated[
    str,
    typer.Argument(
        metavar="PROGRESSION",
        help='Chords as text ("I vi IV V7", "1 6 4 57", "| Dm7 G7 | C |"), a name from '
        "`rungwise progressions`, or a file: RomanText (.rntxt) or a lead sheet in MusicXML "
        "(.musicxml, .mxl, .xml).",
        autocompletion=_library_names,
    ),
]
Keys = Annotated[
    list[str] | None,
    typer.Option(
        "--key",
        "-k",
        metavar="KEY",
        help='A key: Eb, "F# minor", c (small is minor); or a set: all-major, all-minor, all, all-30, '
        '"up to 3 sharps", "circle of fifths", "fourths from Eb", semitones. Repeatable.',
        autocompletion=_key_names,
    ),
]
WrittenIn = Annotated[
    str | None,
    typer.Option(
        "--written-in",
        metavar="KEY",
        help="The key that the chord symbols are written in, to transpose them to --key.",
    ),
]
MeterText = Annotated[
    str | None,
    typer.Option(
        "--meter",
        "-m",
        metavar="METER",
        help="A time signature, like 6/8, C or C|. [default: the file's, else 4/4]",
    ),
]
Bars = Annotated[
    str | None,
    typer.Option("--bars", metavar="FIRST-LAST", help="Only these measures of a file, like 5-12."),
]
StartText = Annotated[
    str,
    typer.Option(
        "--start",
        metavar="root|first|second|all",
        help="The inversion of the right hand's first chord; all makes one of each.",
    ),
]
TextureChoice = Annotated[
    Texture | None,
    typer.Option(
        "--texture",
        "-t",
        help="What the hands do: the same chord in both, chords over a bass line, or four-part keyboard "
        "style by the rules of part-writing.",
        show_default=False,
    ),
]
SeventhsChoice = Annotated[
    Sevenths | None,
    typer.Option(
        "--sevenths",
        help="Seventh chords: three notes without third or fifth, whichever is smoothest; "
        "three with the third kept; or all four.",
        show_default=False,
    ),
]
RangeText = Annotated[
    str,
    typer.Option("--range", metavar="LOW-HIGH", help="The notes the right hand stays within."),
]
HandSpan = Annotated[
    str,
    typer.Option(
        "--hand",
        metavar="SPAN",
        help="The widest span that the hand holds at ease: octave, 9th, m10, or half steps from 12 up. "
        "Wider voicings are never given.",
    ),
]
LeftChoice = Annotated[
    Left | None,
    typer.Option(
        "--left",
        help="The left hand over a bass: the bass line alone, or shells, the bass with the third or seventh.",
        show_default=False,
    ),
]
Spread = Annotated[
    bool,
    typer.Option(
        "--spread",
        help="Spread voicings over a bass, for advanced players: the second voice from the top drops an "
        "octave, into the left hand.",
    ),
]
StyleName = Annotated[
    str,
    typer.Option(
        "--style",
        "-s",
        metavar="STYLE",
        help="A style from `rungwise styles`, or the path of a .py file.",
        autocompletion=_style_names,
    ),
]
Mixes = Annotated[
    list[str] | None,
    typer.Option(
        "--mix",
        metavar="MIX",
        help=f"What sounds: {', '.join(mix.value for mix in Mix)}, or all (the default). Repeatable.",
        autocompletion=_mix_names,
    ),
]
FeelChoice = Annotated[
    bool | None,
    typer.Option(
        "--feel/--no-feel",
        help="Play as a band does, with swing, weighted beats and small chance; or exactly as written. "
        "[default: feel in band styles only]",
        show_default=False,
    ),
]
Without = Annotated[
    list[str] | None,
    typer.Option("--without", metavar="bass|drums", help="Leave a part of the band out. Repeatable."),
]
LeadIn = Annotated[
    bool,
    typer.Option("--lead-in", help="A drum fill in the last bar of the count-in, instead of bare clicks."),
]
FormChoice = Annotated[
    Form,
    typer.Option(
        "--form",
        help="Who plays when: the track throughout; track and you in turn, two bars or four (trading fours) "
        "each, the band going on; echo, where the track plays and then waits; or the melody left out, for "
        "you to improvise.",
    ),
]
TurnBars = Annotated[
    int | None,
    typer.Option("--turn", metavar="2|4", help="Bars in a turn of call-and-response or echo. [default: 2]"),
]
ClimbChoice = Annotated[
    Climb | None,
    typer.Option(
        "--climb",
        help="Also one file that climbs the whole ladder, a count-in before each tempo: a file for each mix, "
        "or one with right, left and both hands in turn at every tempo.",
        show_default=False,
    ),
]
BuildUpChoice = Annotated[
    BuildUp | None,
    typer.Option(
        "--build-up",
        help="Also a file that adds one chord at a time, from the first forwards or from the last backwards.",
        show_default=False,
    ),
]
KeyCycle = Annotated[
    bool,
    typer.Option(
        "--key-cycle",
        help='Also one file through all the keys in their order, like --key "fourths from C", with a bar of '
        "click to change hands.",
    ),
]
Stems = Annotated[
    bool,
    typer.Option("--stems", help="Also every part in a file of its own, and a zip of them, for a sequencer."),
]
ShortNames = Annotated[
    bool,
    typer.Option(
        "--short-names", help="Names of 8 letters and 3, for old digital pianos; most want --type 0 too."
    ),
]
LargePrint = Annotated[
    bool,
    typer.Option("--large-print", help="Set the sheet in large print, for young or low-vision readers."),
]
AudioChoice = Annotated[
    AudioFormat | None,
    typer.Option(
        "--audio",
        help="Also a sound file beside every MIDI file, to play on a phone; all are equally loud.",
        show_default=False,
    ),
]
SoundFont = Annotated[
    Path | None,
    typer.Option(
        "--soundfont",
        metavar="FILE",
        help="The instruments that --audio plays on: a SoundFont 2 file (.sf2). [default: a small one]",
    ),
]
Scales = Annotated[
    bool,
    typer.Option(
        "--scales", help="Also the scales to improvise on, the guide tones and the notes to pass over."
    ),
]
Out = Annotated[Path, typer.Option("--out", metavar="FOLDER", help="Where packs go.")]
Force = Annotated[
    bool, typer.Option("--force", help="Replace a folder even where it holds files that are not ours.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON for machines instead of words.")]


def check_soundfont(soundfont: Path | None, audio: AudioFormat | None) -> None:
    """Refuse a SoundFont that nothing is played on."""
    if soundfont and not audio:
        raise typer.BadParameter("--soundfont is what --audio plays on; give --audio mp3 too")
