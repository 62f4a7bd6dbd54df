"""The hands as a drill without a style has them: every chord held for as long as it lasts."""

from tracks.model import Note, Part, Role, VoicedChord


def held_parts(chords: tuple[VoicedChord, ...]) -> tuple[Part, Part]:
    """Return both hands as parts that hold each chord for as long as it lasts."""
    hands: dict[Role, list[Note]] = {Role.RIGHT: [], Role.LEFT: []}
    for voiced in chords:
        for role, hand in ((Role.RIGHT, voiced.right), (Role.LEFT, voiced.left)):
            if hand:
                hands[role] += [
                    Note(voiced.at.start, voiced.at.length, pitch, finger=finger)
                    for pitch, finger in zip(hand.pitches, hand.fingers, strict=True)
                ]
    right, left = (Part(role, tuple(notes)) for role, notes in hands.items())
    return right, left
