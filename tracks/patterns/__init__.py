"""The rhythm tools that styles share: one door to all of them, for our styles and anybody's.

- `figures`    rhythms written as a line of cells
- `phrases`    a comping vocabulary: phrases, answers and fills, planned over a piece
- `laying`     figures and plans laid on the chords of a hand or a bass; drums
- `registers`  where low notes lie
- `walking`    the walking bass
- `jazz`       a trio: comping over a bass in two or walking, guide tones and voicings without roots
- `drum_kit`   General MIDI 1's percussion by name
- `band`       a style as a table: hands, bass and drums at each level, grooves and fills
- here         rhythms that the trade knows by name

Format of a named rhythm: the cells of a figure that strikes `x`; `rhythm` writes it for other cells.

Sources: Charleston and "1 (2) &", R. Hutchinson, Music Theory for the 21st-Century Classroom, 14.4.1;
tresillo, the same, 14.6.1; son clave, G. Toussaint, "The Rhythm that Conquered the World"; bossa nova
clave, public copies of the gaps 3-3-4-3-3, compared with Toussaint's list of six; habanera and cinquillo,
from memory.
"""

from tracks.patterns.band import (
    DETACHED,
    ELECTRIC_BASS,
    LIGHT_FILLS,
    PLAYED,
    STRAIGHT_FILLS,
    SUSTAINED,
    TRIPLET_FILLS,
    Groove,
    Hands,
    Level,
    Row,
    Rows,
    both,
    kit,
    played,
    tabled,
)
from tracks.patterns.drum_kit import (
    BASS_DRUM,
    BRUSH_KIT,
    CLAVES,
    CLOSED_HI_HAT,
    COWBELL,
    HIGH_BONGO,
    LOW_BONGO,
    LOW_CONGA,
    MARACAS,
    MUTE_HIGH_CONGA,
    OPEN_HI_HAT,
    OPEN_HIGH_CONGA,
    PEDAL_HI_HAT,
    RIDE_CYMBAL,
    SIDE_STICK,
    SNARE,
    TAMBOURINE,
)
from tracks.patterns.figures import EVERYDAY_METERS, Figure, Stroke, figure, held
from tracks.patterns.jazz import UNDER_SPARSE_COMPING, brushes, sticks, trio, with_guide_tones, without_roots
from tracks.patterns.laying import beats, drum, lay, velocity, weight, without_overlap
from tracks.patterns.phrases import Phrases, planned, vocabulary
from tracks.patterns.registers import LEFT_HAND, alternate_bass, bass_hand
from tracks.patterns.walking import ACOUSTIC_BASS, walk

CHARLESTON = "x - - x - . . ."
"""Eighths of a bar of four: 1 and the "and" of 2."""
TRESILLO = "x - - x - - x -"
"""Eighths of a bar of four, or sixteenths of a bar of two: 3 + 3 + 2."""
HABANERA = "x - - x x - x -"
"""The same, with the middle of the bar."""
SON_CLAVE = "x . . x . . x . . . x . x . . ."
"""Sixteenths of a bar of four, 3-2: 3 + 3 + 4 + 2 + 4."""
SON_CLAVE_2_3 = ". . x . x . . . x . . x . . x ."
"""The same begun with its second half, 2-3."""
CINQUILLO = "x - x x - x x -"
"""Eighths of a bar of four: long, short, long, short, long."""
BOSSA_CLAVE = "x . . x . . x . . . x . . x . ."
"""The same, 3 + 3 + 4 + 3 + 3; in a bossa nova, eighths of two bars."""

__all__ = [
    "ACOUSTIC_BASS",
    "BASS_DRUM",
    "BOSSA_CLAVE",
    "BRUSH_KIT",
    "CHARLESTON",
    "CINQUILLO",
    "CLAVES",
    "CLOSED_HI_HAT",
    "COWBELL",
    "DETACHED",
    "ELECTRIC_BASS",
    "EVERYDAY_METERS",
    "HABANERA",
    "HIGH_BONGO",
    "LEFT_HAND",
    "LIGHT_FILLS",
    "LOW_BONGO",
    "LOW_CONGA",
    "MARACAS",
    "MUTE_HIGH_CONGA",
    "OPEN_HIGH_CONGA",
    "OPEN_HI_HAT",
    "PEDAL_HI_HAT",
    "PLAYED",
    "RIDE_CYMBAL",
    "SIDE_STICK",
    "SNARE",
    "SON_CLAVE",
    "SON_CLAVE_2_3",
    "STRAIGHT_FILLS",
    "SUSTAINED",
    "TAMBOURINE",
    "TRESILLO",
    "TRIPLET_FILLS",
    "UNDER_SPARSE_COMPING",
    "Figure",
    "Groove",
    "Hands",
    "Level",
    "Phrases",
    "Row",
    "Rows",
    "Stroke",
    "alternate_bass",
    "bass_hand",
    "beats",
    "both",
    "brushes",
    "drum",
    "figure",
    "held",
    "kit",
    "lay",
    "planned",
    "played",
    "rhythm",
    "sticks",
    "tabled",
    "trio",
    "velocity",
    "vocabulary",
    "walk",
    "weight",
    "with_guide_tones",
    "without_overlap",
    "without_roots",
]


def rhythm(cells: str, *strikes: str, per_beat: int = 2, anew: bool = False) -> Figure:
    """Return the figure of a named rhythm whose strokes strike other cells in turn, `A` where none are told.

    `rhythm(TRESILLO, "B", "F")` strikes bass, alternate bass, bass.
    """
    turns = strikes or ("A",)
    written, place = [], 0
    for cell in cells.split():
        written.append(turns[place % len(turns)] if cell == "x" else cell)
        place += cell == "x"
    return figure(" ".join(written), per_beat, anew)
