"""What is typed at the prompt: for an option, and for what a drill has otherwise than by default.

Conventions
- Words are as the command takes them, one by one; `line` joins them as a shell reads them, in double quotes
  where they are enough, which the shells of all systems know.
"""

import shlex
from collections.abc import Iterable, Iterator

from tracks.drill.drill import Drill
from tracks.drill.kinds import Shape
from tracks.drill.options import Option
from tracks.hands.options import VoicingOptions

_UNSAFE_IN_QUOTES = frozenset('"$`\\!')
_USUAL = VoicingOptions()


def typed(option: Option, said: object) -> Iterator[str]:
    """Yield what is typed to say an option: a word, words in turn, yes or no; nothing where it is None."""
    for each in said if isinstance(said, list | tuple) else (said,):
        if option.kind.shape is Shape.YES_NO and each is not None:
            yield f"--{option.at_prompt}" if each else f"--no-{option.at_prompt}"
        elif each is not None:
            yield from (f"--{option.at_prompt}", str(each))


def typed_for(drill: Drill, options: Iterable[Option]) -> Iterator[str]:
    """Yield what is typed for those of the options that a drill has otherwise than by default.

    An option that fills no field as it stands says nothing, but for the right hand's range.
    """
    for option in options:
        held = getattr(drill, option.drill_field) if option.drill_field else None
        if option.name == "range" and (drill.low, drill.high) != (_USUAL.low, _USUAL.high):
            yield from typed(option, f"{drill.low}-{drill.high}")
        elif held is not None and held != option.drill_default:
            yield from typed(option, _in_words(option, held))


def _in_words(option: Option, held: object) -> object:
    """Return what a field holds as its option says it."""
    if option.kind.shape is Shape.YES_NO:
        return held
    return tuple(map(option.kind.say, held)) if isinstance(held, tuple) else option.kind.say(held)


def line(words: Iterable[str]) -> str:
    """Return words as the line of a shell."""
    return " ".join(map(_quoted, words))


def _quoted(word: str) -> str:
    plain = shlex.quote(word)
    return plain if plain == word or _UNSAFE_IN_QUOTES & set(word) else f'"{word}"'
