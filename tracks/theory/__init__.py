"""Facts of music: pitches, keys, chords, numerals, meters, tempos. Standard library only."""
