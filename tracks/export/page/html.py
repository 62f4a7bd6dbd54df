"""The page put together: one HTML file from a drill's values, a style sheet and plain ES modules.

Conventions
- Modules are put one after the other, what each imports before it. Each is a function that gives what it
  exports; its imports go, for they stand before it by the same names. So no two modules export one name.
- Lines that are only a comment are left out, and the space that lines begin with.
- The program is deflated; a few lines, the boot, put it into the page as a script element.
- The content security policy names these two scripts and this style by their hash and allows nothing else: no
  request, no other script, no frame, no form.
- What a teacher wrote reaches the page as data, never as markup; the title alone is also written, escaped.

Source: Content Security Policy Level 3, W3C (hash sources; a policy in a `meta` element); RFC 1950, the zlib
format, which `DecompressionStream("deflate")` reads (Compression Streams, WHATWG).
"""

import json
import re
from base64 import b64encode
from collections.abc import Iterable, Mapping
from functools import lru_cache
from hashlib import sha256
from html import escape
from pathlib import Path
from zlib import compress

from tracks.export.page.page import Page, values
from tracks.safety import CAUTION

_HERE = Path(__file__).parent
_SCRIPTS = _HERE / "script"
_IMPORT = re.compile(r'^import (?:\{[^}]*\} from )?"\./(\w+)\.js";\n', re.MULTILINE)
_EXPORT = re.compile(r"^export (?:async )?(?:const|function|class) (\w+)", re.MULTILINE)
_COMMENT = re.compile(r"^\s*(?://|/\*|\*).*\n", re.MULTILINE)
_PLACE = re.compile(r"\{\{(\w+)\}\}")


def to_html(page: Page, sounds: Mapping[int, bytes] | None = None) -> bytes:
    """Return a practice page as an HTML file.

    `sounds` are recorded notes by MIDI number, each a mono MP3; without them the page makes its own piano.
    """
    content = json.dumps(values(page), ensure_ascii=False, separators=(",", ":"))
    boot, program, style = script_from("boot"), script_from("main"), _style()
    filled = {
        "title": escape(page.title),
        "caution": escape(CAUTION),
        "policy": _policy((boot, program), style),
        "style": style,
        "boot": boot,
        "program": _packed(program),
        "data": _packed(content),
        "sounds": json.dumps({midi: b64encode(mp3).decode() for midi, mp3 in (sounds or {}).items()}),
    }
    template = (_HERE / "page.html").read_text(encoding="utf-8")
    return _PLACE.sub(lambda place: filled[place[1]], template).encode()


@lru_cache(maxsize=2)
def script_from(first: str) -> str:
    """Return a module and all that it imports as one script, each after what it imports."""
    written: dict[str, str] = {}

    def add(name: str) -> None:
        if name in written:
            return
        text = (_SCRIPTS / f"{name}.js").read_text(encoding="utf-8")
        for imported in _IMPORT.findall(text):
            add(imported)
        written[name] = _plain(text) if name == first else _enclosed(text)

    add(first)
    return "\n".join(written.values())


def _enclosed(text: str) -> str:
    names = ", ".join(_EXPORT.findall(text))
    return f"const {{ {names} }} = (() => {{\n{_plain(text)}\nreturn {{ {names} }};\n}})();"


def _plain(text: str) -> str:
    text = _COMMENT.sub("", _IMPORT.sub("", text))
    text = re.sub(r"^export (?:\{\};)?", "", text, flags=re.MULTILINE)
    return "\n".join(line.strip() for line in text.splitlines() if line.strip())


@lru_cache(maxsize=1)
def _style() -> str:
    text = _COMMENT.sub("", (_HERE / "page.css").read_text(encoding="utf-8"))
    return "\n".join(line.strip() for line in text.splitlines() if line.strip())


def _packed(text: str) -> str:
    return b64encode(compress(text.encode(), 9)).decode()


def _policy(scripts: Iterable[str], style: str) -> str:
    """Return the policy that a browser holds the page to."""
    known = " ".join(f"'{_hash(script)}'" for script in scripts)
    return (
        "default-src 'none'; base-uri 'none'; form-action 'none'; "
        f"script-src {known}; style-src '{_hash(style)}'"
    )


def _hash(text: str) -> str:
    return f"sha256-{b64encode(sha256(text.encode()).digest()).decode()}"
