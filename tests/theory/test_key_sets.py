"""Keys by the set, as teachers speak of them."""

import pytest

from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, parse_keys


def names(*texts: str) -> str:
    return ", ".join(key.name.replace(" major", "").replace(" minor", "m") for key in parse_keys(texts))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("up to 3 sharps", "C, G, D, A"),
        ("up to 2 flats", "C, F, Bb"),
        ("up to 2 accidentals", "C, G, F, D, Bb"),
        ("Up to 1 accidental minor", "Am, Em, Dm"),
        ("up to 0 sharps", "C"),
        ("circle of fifths", "C, G, D, A, E, B, F#, Db, Ab, Eb, Bb, F"),
        ("circle-of-fifths", "C, G, D, A, E, B, F#, Db, Ab, Eb, Bb, F"),
        ("fourths from Eb", "Eb, Ab, Db, F#, B, E, A, D, G, C, F, Bb"),
        ("semitones", "C, Db, D, Eb, E, F, F#, G, Ab, A, Bb, B"),
        ("semitones minor", "Am, Bbm, Bm, Cm, C#m, Dm, Ebm, Em, Fm, F#m, Gm, G#m"),
        ("fifths from c", "Cm, Gm, Dm, Am, Em, Bm, F#m, C#m, G#m, Ebm, Bbm, Fm"),
        ("fifths minor from C", "Cm, Gm, Dm, Am, Em, Bm, F#m, C#m, G#m, Ebm, Bbm, Fm"),
        ("fourths from Gb", "Gb, B, E, A, D, G, C, F, Bb, Eb, Ab, Db"),
    ],
)
def test_a_set_is_its_keys_in_order(text: str, expected: str) -> None:
    assert names(text) == expected


def test_the_named_sets_take_hyphens_or_spaces() -> None:
    for name, keys in KEY_SETS.items():
        assert parse_keys((name,)) == parse_keys((name.replace("-", " ").upper(),)) == keys


def test_sets_and_keys_mix_and_no_key_comes_twice() -> None:
    assert names("Bb", "up to 1 flat", "C") == "Bb, C, F"


def test_up_to_seven_are_all_signatures() -> None:
    both = parse_keys(("up to 7 accidentals", "up to 7 accidentals minor"))

    assert set(both) == set(KEY_SETS["all-30"])


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("al-major", "did you mean all-major?"),
        ("fourhts", "did you mean fourths?"),
        ("up to 9 sharps", "a signature has at most 7"),
        ("fourths from H", "'H' is no key"),
        ("H", "'H' is no key; write B major, or say"),
        ("C,G,F", "several keys; write keys = "),
        ("all keys", "the sets are all, all-major, all-minor, all-30"),
        ("every key", "the sets are all, all-major, all-minor, all-30"),
    ],
)
def test_what_is_no_set_is_refused_with_the_mend(text: str, message: str) -> None:
    with pytest.raises(RequestError, match=message):
        parse_keys((text,))
