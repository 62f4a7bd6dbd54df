"""The practice page as a file: what it holds, how small it is, what it lets through."""

import json
import re
from base64 import b64decode, b64encode
from hashlib import sha256
from itertools import accumulate
from pathlib import Path
from typing import Any
from zlib import decompress

import pytest
from page_drills import EIGHT_CHORDS, TWELVE, drill, html_of, values_of

from tracks.drill.drill import Form
from tracks.drill.in_key import in_each_key, record
from tracks.export.page.html import script_from
from tracks.model import Note, Piece, Texture
from tracks.practice.played import played_in_each_key
from tracks.style.registry import load, names
from tracks.theory.meter import Meter

SCRIPTS = Path(__file__).parents[3] / "tracks" / "export" / "page" / "script"
MOST_BYTES = 150_000


def packed(html: str, name: str) -> str:
    """Return what a packed element of the page holds."""
    (content,) = re.findall(rf'<script type="text/plain" id="{name}">([^<]*)</script>', html)
    return decompress(b64decode(content)).decode()


def played_notes(part: dict[str, Any], columns: list[tuple[int, ...]]) -> list[tuple[int, int, int, int]]:
    steps, *others = (columns[place] for place in part["notes"])
    return list(zip(accumulate(steps), *others, strict=True))


def notes_of(piece: Piece) -> dict[str, list[tuple[int, int, int, int]]]:
    def row(note: Note) -> tuple[int, int, int, int]:
        return note.start, note.length, note.pitch.midi, note.velocity

    return {
        part.role.value: sorted(map(row, part.notes), key=lambda n: (n[0], n[2]))
        for part in piece.parts
        if part.notes
    }


@pytest.mark.parametrize("style", sorted(names()))
def test_the_page_has_the_very_notes_of_the_drill(style: str) -> None:
    info = load(style).info
    meter = Meter.parse("4/4") if Meter.parse("4/4") in info.meters else info.meters[0]
    asked = drill(style=style, meter=str(meter), keys=("Eb", "c"), texture=info.textures[0])
    found = values_of(asked)
    for played, key in zip(played_in_each_key(asked, load(style)), found["keys"], strict=True):
        arrangement = played.arrangement
        for held in key["pieces"]:
            piece = arrangement(held["bpm"]) if callable(arrangement) else arrangement
            parts = {p["role"]: played_notes(p, found["columns"]) for p in held["parts"] if p.get("notes")}
            assert {role: notes for role, notes in parts.items() if notes} == notes_of(piece)


def test_a_style_that_follows_the_tempo_has_a_piece_for_every_rung() -> None:
    swing = values_of(drill(style="swing", texture=Texture.OVER_BASS))["keys"][0]["pieces"]
    assert [piece["bpm"] for piece in swing] == [60, 97, 132]
    assert [piece["bpm"] for piece in values_of(drill())["keys"][0]["pieces"]] == [None]


def test_chords_are_those_that_show_tells() -> None:
    asked = drill("I6 vi ii65 V7 N.C. I".replace(" N.C.", ""), keys=("Eb", "f#"))
    for in_key, key in zip(in_each_key(asked), values_of(asked)["keys"], strict=True):
        told: Any = record(in_key)["chords"]
        for chord, shown in zip(told, key["chords"], strict=True):
            for hand in ("right", "left"):
                assert list(shown[hand]["midi"]) == chord[hand]["midi"]
                assert list(shown[hand]["fingers"]) == chord[hand]["fingers"]
            assert shown["call"] == (chord.get("call") or "")


def test_every_sounding_event_is_drawn_under_its_name() -> None:
    for asked in (drill(EIGHT_CHORDS), drill(EIGHT_CHORDS, style="swing", texture=Texture.OVER_BASS)):
        key = values_of(asked)["keys"][0]
        drawn = "".join(bar[3] for bar in key["drawing"]["bars"])
        for name, start, length in key["events"]:
            assert f'id="{name}"' in drawn
            assert start >= 0
            assert length > 0
        for number in range(len(key["chords"])):
            assert drawn.count(f'data-c="{number}"') == 2, "a symbol and a numeral"


def test_bars_of_the_drawing_join_and_hold_their_signature() -> None:
    key = values_of(drill("Eb: I V7 | V I | G: V7 I | IV V | I"))["keys"][0]
    bars = key["drawing"]["bars"]
    assert [bar[0] for bar in bars[1:]] == [bar[1] for bar in bars[:-1]]
    assert set(key["drawing"]["signatures"]) == {0, 2}
    assert len(key["drawing"]["lines"]) == 10


def test_silence_is_a_chord_without_keys() -> None:
    chords = values_of(drill("I | N.C. | V7 | I"))["keys"][0]["chords"]
    assert chords[1]["symbol"] == ""
    assert chords[1]["right"]["midi"] == ()
    assert len(chords[2]["right"]["moves"]) == 3, "compared with the chord before the silence"


def test_times_through_are_written_out_only_where_they_differ() -> None:
    bar = Meter.parse("4/4").bar
    assert values_of(drill(repeats=3))["length"] == 5 * bar
    assert values_of(drill(repeats=3, form=Form.CALL_AND_RESPONSE, turn=2))["length"] == 15 * bar
    assert values_of(drill(repeats=2, style="improvise"))["length"] == 10 * bar


@pytest.mark.parametrize(("style", "texture"), [("block", Texture.DOUBLED), ("swing", Texture.OVER_BASS)])
def test_a_page_of_twelve_keys_is_small(style: str, texture: Texture) -> None:
    asked = drill(EIGHT_CHORDS, TWELVE, style=style, texture=texture, tempos=(60, 66, 72, 80))
    assert len(html_of(asked)) <= MOST_BYTES


def test_the_same_drill_gives_the_same_page() -> None:
    assert html_of(drill(keys=("Eb", "c"))) == html_of(drill(keys=("Eb", "c")))


def test_the_policy_lets_nothing_in_from_outside_and_knows_what_is_inside() -> None:
    html = html_of(drill()).decode()
    (policy,) = re.findall(r'http-equiv="Content-Security-Policy" content="([^"]*)"', html)
    assert policy.startswith("default-src 'none'; base-uri 'none'; form-action 'none'; ")
    assert "unsafe" not in policy
    (style,) = re.findall(r"<style>(.*?)</style>", html, re.DOTALL)
    (boot,) = re.findall(r'<script type="module">(.*?)</script>', html, re.DOTALL)
    for text in (style, boot, packed(html, "program")):
        assert b64encode(sha256(text.encode()).digest()).decode() in policy
    assert not re.findall(r"""(?:src|href)=["'](?!#)""", html)
    assert not re.findall(r"https?://(?!127\.0\.0\.1|www\.w3\.org/)", packed(html, "program"))


def test_what_a_teacher_wrote_stays_text() -> None:
    nasty = "</script><script>alert(1)</script>"
    asked = drill()
    found = values_of(asked)
    assert nasty not in json.dumps(found)
    from dataclasses import replace

    from tracks.export.page.html import to_html
    from tracks.model import Heading
    from tracks.pack.page import page

    made = page(asked, tuple(played_in_each_key(asked, load("block"))))
    html = to_html(replace(made, title=nasty, heading=Heading(nasty, nasty, notes=nasty))).decode()
    assert "<script>alert" not in html
    assert json.loads(packed(html, "data"))["student"] == nasty


def test_no_two_modules_export_one_name() -> None:
    exported = [
        name
        for module in SCRIPTS.glob("*.js")
        for name in re.findall(
            r"^export (?:async )?(?:const|function|class) (\w+)", module.read_text(encoding="utf-8"), re.M
        )
    ]
    assert len(exported) == len(set(exported))


def test_the_program_is_put_together_whole() -> None:
    program = script_from("main")
    assert not re.findall(r"^(?:import|export) ", program, re.M)
    assert not re.findall(r"^\s*(?://|/\*|\*)", program, re.M)
    for module in SCRIPTS.glob("*.js"):
        text = module.read_text(encoding="utf-8")
        for line in text.splitlines():
            after_comment = re.fullmatch(r"\s*/\*\*.*\*/\s*(\S.*)", line)
            assert not after_comment, f"{module.name}: code after a comment is lost: {line}"
