"""What is to be written on the staves, before any format: bars, voices, note values, ties, accidentals."""
