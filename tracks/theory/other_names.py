"""Names of keys and chords as other countries write them, to tell a user what to write here.

Source: Grove Music Online, "Pitch nomenclature" (from memory): in German H is B natural, B is B flat, -is
raises and -es or -s lowers; Dur is major, Moll is minor. In the fixed do of Romance languages do is C.
"""

import re

_GERMAN = re.compile(r"([A-Ha-h])(isis|is|eses|es|s)?", re.ASCII)
_MODE = re.compile(r"[ -]*(dur|moll)?", re.IGNORECASE)
_SIGNS = {"isis": "##", "is": "#", "eses": "bb", "es": "b", "s": "b", "": ""}
_FIXED_DO = {
    "do": "C", "ut": "C", "re": "D", "ré": "D", "mi": "E", "fa": "F", "sol": "G", "la": "A", "si": "B",
    "ti": "B",
}  # fmt: skip


def key_meant(text: str) -> str:
    """Return a German or fixed-do name of a key as we write it: `Es-Dur` is `Eb major`; else nothing."""
    words = text.strip()
    if words.lower() in _FIXED_DO:
        return _FIXED_DO[words.lower()]
    match = _GERMAN.match(words)
    mode = _MODE.fullmatch(words[match.end() :]) if match else None
    if not match or not mode:
        return ""
    tonic = _tonic(match[1], match[2] or "", german=bool(mode[1]))
    if mode[1]:
        return f"{tonic} {'major' if mode[1].lower() == 'dur' else 'minor'}"
    return f"{tonic} minor" if words[0].islower() else tonic


def chord_meant(text: str) -> str:
    """Return a chord symbol as we write it where its root is German or fixed do (`H7`, `Cism`, `Sol7`)."""
    fixed = re.match(r"do|ut|r[eé]|mi|fa|sol|la|si|ti", text, re.IGNORECASE)
    if fixed and re.fullmatch(r"m?[^A-Za-z]*", text[fixed.end() :]):
        return _FIXED_DO[fixed[0].lower()] + text[fixed.end() :]
    match = re.match(r"([A-H])(isis|is|eses|es|s)?", text)
    if not match or (match[1] != "H" and not match[2]):
        return ""
    return _tonic(match[1], match[2] or "", german=False) + text[match.end() :]


def _tonic(letter: str, ending: str, german: bool) -> str:
    name = letter.upper()
    if name == "H":
        return f"B{_SIGNS[ending]}"
    return "Bb" if name == "B" and german and not ending else f"{name}{_SIGNS[ending]}"
