"""What a style is, how styles are found, and the contract as checks; a style imports from here."""

from tracks.style.contract import (
    BASS_RANGE,
    PIANO_RANGE,
    RANGES,
    WIDEST_SWING,
    Brief,
    Feel,
    Style,
    StyleInfo,
    Touch,
)

__all__ = [
    "BASS_RANGE",
    "PIANO_RANGE",
    "RANGES",
    "WIDEST_SWING",
    "Brief",
    "Feel",
    "Style",
    "StyleInfo",
    "Touch",
]
