"""Piece to audio: parts played once, mixed by measured loudness, encoded and tagged.

Conventions
- A *sound* is an array of frames by two channels, left and right, 32-bit floats with 1.0 as full scale, at
  RATE frames a second.
- A *stem* is one part's sound at one tempo. It is played from the strokes of the part's own MIDI track at
  that tempo: a slower rung is played slower, never stretched, and its pitch cannot change. A stem's frame 0
  is the MIDI file's time 0.
- Every file begins with LEAD_S of silence, since wireless speakers swallow what comes first, and ends TAIL_S
  after the piece does, so that releases and room die away uncut.
- Sounds are worked on a block at a time and kept on *tapes*, so memory does not grow with their length.
"""

from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from numpy import float32
    from numpy.typing import NDArray

RATE = 48_000
"""Frames a second: the rate that the synthesizer plays at, kept throughout so that nothing is resampled."""

LEAD_S = 0.3
"""How long a file is silent before the music's time 0."""

TAIL_S = 2.0
"""Longer than any release measured: the slowest strings of the fonts tried are silent after 1.6 s."""

Sound: TypeAlias = "NDArray[float32]"
