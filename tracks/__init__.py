"""Rungwise: from a chord progression to everything a piano student practises it with."""
