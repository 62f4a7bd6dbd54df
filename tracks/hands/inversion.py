"""Which inversion a chord is in, by the tone that lies lowest.

Conventions
- 0 is the root position; 1 has the third lowest, or the suspension that stands for it, 2 the fifth, 3 the
  seventh or the sixth.
- An augmented sixth is counted from the flat sixth that it is named on.
- Any other tone at the bottom, a ninth or one added, makes no inversion that has a number.
"""

from tracks.theory.chord import Chord
from tracks.theory.pitch import Tone

_STEPS = ((0,), (1, 2, 3), (4,), (5, 6))
"""The letter steps above the root of the tones that make an inversion."""


def inversion(chord: Chord, lowest: Tone) -> int | None:
    """Return the number of the inversion that one of the chord's tones makes as the lowest one, or None."""
    place = chord.named_tones.index(lowest)
    if chord.named_root != chord.root:
        return place
    is_numbered = place < len(_STEPS) and chord.intervals[place].steps in _STEPS[place]
    return place if is_numbered else None
