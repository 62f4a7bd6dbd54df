"""Ear drills: the questions, and the files they are handed out in."""
