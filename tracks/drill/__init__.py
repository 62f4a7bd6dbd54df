"""What is asked: the options, the drill, the drill worked out in a key, and its record."""
