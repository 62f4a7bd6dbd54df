"""A warm-up card: the three cadences of a key, each as a line of words, a MIDI file and a MusicXML sheet.

Run it with a key and a folder: `python docs/example.py Eb cards`
"""

import sys
from pathlib import Path

from tracks import RequestError, Study, study

CADENCES = ("authentic-cadence", "plagal-cadence", "deceptive-cadence")


def line(cadence: Study) -> str:
    """Return the chords with the right hand's fingers: `I Eb 1-3-5`."""
    words = []
    for voiced in cadence.chords:
        if voiced.at.chord and voiced.right:
            fingers = "-".join(map(str, voiced.right.fingers))
            words.append(f"{voiced.at.chord.numeral} {voiced.at.chord.symbol} {fingers}")
    return "   ".join(words)


def main(key: str, folder: Path) -> None:
    """Write the cards of a key into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in CADENCES:
        cadence = study(name, key=key, texture="over-bass")
        print(f"{name}: {line(cadence)}")
        (folder / f"{name}.mid").write_bytes(cadence.midi(bpm=66))
        (folder / f"{name}.musicxml").write_bytes(cadence.musicxml())


if __name__ == "__main__":
    try:
        main(sys.argv[1], Path(sys.argv[2]))
    except RequestError as fault:
        sys.exit(str(fault))
