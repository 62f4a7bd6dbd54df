"""Piece to audio: parts played once, mixed by measured loudness, encoded and tagged.

Conventions
- A *sound* is an array of frames by two channels, left and right, 32-bit floats with 1.0 as full scale, at
  RATE frames a second. Frame 0 is the start of the file, so a sound lies over its MIDI file at once.
- A *stem* is one part's sound at one tempo. It is played from the part's own MIDI bytes at that tempo: a
  slower rung is played slower, never stretched, and its pitch cannot change.
- Every sound of a piece ends TAIL_S after the piece does, so that releases and room die away uncut.
"""

from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from numpy import float32
    from numpy.typing import NDArray

RATE = 48_000
"""Frames a second: the rate that the synthesiser plays at, kept throughout so that nothing is resampled."""

TAIL_S = 2.0
"""Longer than any release measured: the slowest strings of the fonts tried are silent after 1.6 s."""

Sound: TypeAlias = "NDArray[float32]"
