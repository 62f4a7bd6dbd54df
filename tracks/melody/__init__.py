"""Melody: the improviser's engine, a seeded tune over voiced chords.

`context` is what a chord offers, `rhythm` the phrases and where their notes stand, `rules` what a singer
would not sing, `levels` what each grade likes to play (with `guide` and `motif`), `line` the search that
joins notes, `words` what each note is, `tune` the whole, fingered.
"""
