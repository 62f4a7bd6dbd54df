"""Rungwise: from a chord progression to everything a piano student practices it with."""
