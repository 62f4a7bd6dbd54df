"""What a drill is, in the words of a page or paper for the student."""

import re

from tracks.drill.drill import Drill, Ending, Form
from tracks.drill.in_key import DrillInKey
from tracks.drill.remarks import OWN_SHAPE
from tracks.model import Role, Texture
from tracks.notation.aloud import value_name
from tracks.notation.words import for_paper
from tracks.style import Style
from tracks.theory.meter import Meter, Time
from tracks.theory.numeral_name import printed_text

_PLAINEST = "block"
_DOES = {
    Texture.DOUBLED: "Both hands play the same chords",
    Texture.OVER_BASS: "Chords in the right hand over a bass line",
    Texture.FOUR_PART: "Four voices",
}

_ENDINGS = {
    Ending.RITARDANDO: "ritardando into the last chord",
    Ending.TAG: "tag: the last cadence once more",
    Ending.STOP: "the last bar in stop time, the last chord short",
}


def title_of(drill: Drill) -> str:
    """Return a drill's name as a title; a name made from its progression is the progression itself."""
    letters, progression = re.sub(r"[^A-Za-z0-9]", "", drill.name), drill.headline
    if re.sub(r"[^A-Za-z0-9]", "", progression).startswith(letters):
        return progression_of(drill)
    words = re.sub(r"[-_]+", " ", drill.name).strip()
    return words[:1].upper() + words[1:]


def progression_of(drill: Drill) -> str:
    """Return what names the progression on paper: its chords as they are printed, or the title of a piece."""
    music = drill.progression
    is_chords = isinstance(music, str) and drill.headline == " ".join(music.split())
    if not is_chords:
        return drill.headline
    return drill.note_names.printed(for_paper(printed_text(drill.headline, drill.keys[0])))


def about(drill: Drill, title: str, style: Style | None, in_key: DrillInKey) -> str:
    """Return what stands under a sheet's title: the chords, the meter, what the hands do, style and form."""
    progression = progression_of(drill)
    written_in = in_key.written_in
    names = drill.note_names
    in_words = f"written in {names.printed(for_paper(written_in.name))}" if written_in else ""
    if progression in ("", title):
        told = [in_words] if in_words else []
    else:
        told = [f"{progression} ({in_words})" if in_words else progression]
    played = does(drill, style)
    told += [str(drill.meter), played[:1].lower() + played[1:]]
    if style:
        told += _style(drill, style)
        if style.info.feel and style.info.feel.swing != 1 and drill.feel is not False:
            told.append(names.printed("swing the eighths"))
    if drill.form is not Form.PLAIN:
        told.append(_form(drill))
    if drill.repeats > 1:
        told.append(f"{drill.repeats} times")
    if style and drill.ending is not Ending.PLAIN:
        told.append(_ENDINGS[drill.ending])
    if in_key.own_shape:
        told.append(OWN_SHAPE)
    return " · ".join(told)


def has_tune(style: Style) -> bool:
    """Return whether a style gives the player's right hand a tune in the place of chords."""
    return Role.MELODY in style.info.roles and Role.RIGHT not in style.info.roles


def does(drill: Drill, style: Style | None) -> str:
    """Return what the hands do, in words that need no manual, and what band a tune is played over."""
    if not (style and has_tune(style)):
        return _DOES[drill.texture]
    under = "the bass" if drill.texture is Texture.OVER_BASS else "the chords"
    band = f", over a {drill.band.replace('-', ' ')} band" if drill.band else ""
    return f"The right hand plays the tune, the left {under} under it{band}"


def _style(drill: Drill, style: Style) -> list[str]:
    """Return the style and its grade as a student knows them; nothing for chords that are simply held."""
    graded = f", level {drill.level}" if len(style.info.levels) > 1 else ""
    return [f"{style_name(drill)} style{graded}"] if style_name(drill) else []


def style_name(drill: Drill) -> str:
    """Return the style's name in words; nothing for the plainest, whose name says nothing to a student."""
    return "" if drill.style == _PLAINEST else drill.style.replace("-", " ")


def _form(drill: Drill) -> str:
    words = drill.form.value.replace("-", " ")
    return f"{words}, {drill.bars_in_turn} bars each" if drill.bars_in_turn else words


def beat_name(drill: Drill) -> str:
    """Return the note value of a felt beat in words: `dotted quarter note`."""
    plain, dotted = felt_beat(drill.meter)
    return drill.note_names.note_of(value_name(plain, int(dotted), drill.note_names))


def felt_beat(meter: Meter) -> tuple[Time, bool]:
    """Return the note value of a felt beat: its plain length, and whether it is dotted."""
    return (meter.beat * 2 // 3, True) if meter.is_compound else (meter.beat, False)
