"""A piece of our own that holds a little of everything a file can hold, at any meter."""

from tracks.model import Hit, KeyFrom, Marker, Note, Part, Piece, Role
from tracks.theory.key import Key
from tracks.theory.meter import Meter, Time
from tracks.theory.pitch import Pitch

_RIGHT = (("G4", "Bb4", "Eb5"), ("G4", "C5", "Eb5"), ("G4", "B4", "D5"), ("F#4", "A4", "D5"))
_LEFT = ("Eb3", "C3", "G2", "D3")
_MARKERS = ("Eb | I", "Cm | vi", "G | I", "D | V")
_TUNE = ("Bb5", "Bb5", "G5", "Eb5", "D5", "D5", "B5")


def example_piece(meter: str = "4/4", pickup: Time = 0) -> Piece:
    """Return four bars, from E flat major to G major, after a pickup of so many ticks in the melody."""
    counted = Meter.parse(meter)
    bars = tuple(pickup + number * counted.bar for number in range(4))
    end = pickup + 4 * counted.bar
    return Piece(
        title="lantern-waltz",
        meter=counted,
        keys=(KeyFrom(0, Key.parse("Eb")), KeyFrom(bars[2], Key.parse("G"))),
        length=end,
        music_from=pickup,
        parts=(
            Part(Role.RIGHT, tuple(_chords(bars, counted))),
            Part(
                Role.LEFT,
                tuple(Note(b, counted.bar, Pitch.parse(p), 70) for b, p in zip(bars, _LEFT, strict=True)),
            ),
            Part(Role.BASS, tuple(_bass(bars, counted)), program=32, pan=50, volume=96),
            Part(Role.DRUMS, hits=tuple(_drums(pickup, end, counted)), volume=90),
            Part(Role.MELODY, tuple(_tune(pickup, bars[1])), program=73, pan=80),
        ),
        markers=tuple(Marker(bar, text) for bar, text in zip(bars, _MARKERS, strict=True)),
    )


def _chords(bars: tuple[Time, ...], meter: Meter) -> list[Note]:
    return [
        Note(start + half * meter.bar // 2, meter.bar // 2, Pitch.parse(name), 82 - half)
        for start, names in zip(bars, _RIGHT, strict=True)
        for half in (0, 1)
        for name in names
    ]


def _bass(bars: tuple[Time, ...], meter: Meter) -> list[Note]:
    pitches = [Pitch.parse(name) for name in _LEFT]
    return [
        Note(start + beat * meter.beat, meter.beat * 9 // 10, pitch, 90)
        for start, pitch in zip(bars, pitches, strict=True)
        for beat in range(meter.beats)
    ]


def _drums(start: Time, end: Time, meter: Meter) -> list[Hit]:
    rides = [Hit(time, 51, 64) for time in range(start, end, meter.division)]
    return rides + [Hit(time, 36, 88) for time in range(start, end, meter.bar)]


def _tune(pickup: Time, bar_2: Time) -> list[Note]:
    """Return the pickup and a septuplet that fills bar 1, in which two keys are struck again at once."""
    lead_in = [Note(0, pickup, Pitch.parse("F5"), 75)] if pickup else []
    each = (bar_2 - pickup) // len(_TUNE)
    return lead_in + [
        Note(pickup + n * each, each, Pitch.parse(name), 90 + n) for n, name in enumerate(_TUNE)
    ]
