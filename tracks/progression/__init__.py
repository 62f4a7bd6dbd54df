"""A progression: its words, its files, its library, and the changes that it makes in a key."""
