"""Both hands: the exact search for voicings, part-writing, fingers, and words for what moves."""
