"""The renderer: pieces in, audio files out, in the same order; what pieces share is made once.

Conventions
- Pieces that follow each other at one tempo and in one key are one *group*: its stems are played and measured
  once, and every mix is made of them. Short mixes that turn out to sound alike (a hand alone, and the same
  hand without the other) are encoded once and tagged twice.
- Stems and mixes are jobs of as many threads as there are processors, each waiting only for jobs before it;
  what they call lets others run meanwhile. How many there are changes no byte.
- Only so much is under way at a time that memory grows neither with a pack nor with a sound's length.
"""

import os
from collections import Counter, deque
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from itertools import groupby
from typing import TYPE_CHECKING

from tracks.export.audio import Sound
from tracks.export.audio.balance import HEADROOM, TARGET, Mixdown, factor, gains
from tracks.export.audio.click import PITCHES_HZ, play_click
from tracks.export.audio.encode import encode, silence, size, tagged
from tracks.export.audio.loudness import Measured
from tracks.export.audio.synth import Synth
from tracks.export.audio.tags import Tags
from tracks.export.audio.tape import Tape
from tracks.export.audio.timing import frames, lasts_s
from tracks.model import CENTER, AudioFormat, Part, Piece, Role

if TYPE_CHECKING:
    from numpy import float64
    from numpy.typing import NDArray

_USUAL_VOLUME = 100
_MOST_WORKERS = 16
_UNDER_WAY = 64_000_000
"""Bytes of encoded files that may wait to be taken."""
_SHORT_S = 120.0
"""Sounds longer than this are encoded again rather than kept for a mix that sounds alike."""


@dataclass(frozen=True, slots=True)
class Recording:
    """A piece to be recorded, at its tempo, and how the file is to be called in a player.

    A stem for a sequencer is a piece of one part with the `whole` that it is of: it has the level that the
    part has there, `balance.HEADROOM` below, is held under nothing, and begins at time 0 without silence.
    """

    piece: Piece
    tags: Tags
    whole: Piece | None = None


class Stopped(Exception):  # noqa: N818 - nothing went wrong
    """The recordings are not wanted any more."""


class Renderer:
    """Records pieces with one SoundFont as one kind of file."""

    def __init__(self, synth: Synth, kind: AudioFormat, workers: int | None = None) -> None:
        self.kind = kind
        self._synth = synth
        self._workers = workers or min(_processors(), _MOST_WORKERS)
        self._stopped = False

    def record(self, recordings: Iterable[Recording]) -> Iterator[bytes]:
        """Yield the file of each recording, in order."""
        under_way: deque[tuple[Future[bytes], Tags]] = deque()
        self._stopped = False
        with ThreadPoolExecutor(self._workers) as pool:
            try:
                for _, same in groupby(recordings, key=_group):
                    asked = list(same)
                    group = Group(asked, self._synth, pool)
                    at_once = self._at_once(asked[0].piece)
                    for recording in asked:
                        while len(under_way) >= at_once:
                            yield self._taken(*under_way.popleft())
                        under_way.append((self._encoding(recording, group, pool), recording.tags))
                while under_way:
                    yield self._taken(*under_way.popleft())
            finally:
                self._stopped = True
                pool.shutdown(cancel_futures=True)
                self._synth.close()

    def _at_once(self, piece: Piece) -> int:
        """Return how many files like that of a piece may be under way."""
        return max(1, min(self._workers + 1, _UNDER_WAY // size(lasts_s(piece), self.kind)))

    def _taken(self, encoding: Future[bytes], tags: Tags) -> bytes:
        return tagged(encoding.result(), self.kind, tags)

    def _encoding(self, recording: Recording, group: "Group", pool: ThreadPoolExecutor) -> Future[bytes]:
        alike = tuple(sounding(recording.piece))
        if alike in group.encoded:
            return group.encoded[alike]
        encoding = pool.submit(self._encoded, recording, group)
        if group.times_asked[alike] > 1 and lasts_s(recording.piece) <= _SHORT_S:
            group.encoded[alike] = encoding
        return encoding

    def _encoded(self, recording: Recording, group: "Group") -> bytes:
        return encode(self._until_stopped(group.sound(recording, self.kind)), self.kind)

    def _until_stopped(self, blocks: Iterable[Sound]) -> Iterator[Sound]:
        for block in blocks:
            if self._stopped:
                raise Stopped
            yield block


class Group:
    """What the recordings of one tempo share: stems, played beside each other, and how loud these are."""

    def __init__(self, recordings: Sequence[Recording], synth: Synth, pool: ThreadPoolExecutor) -> None:
        first = recordings[0].piece
        self.encoded: dict[tuple[Part, ...], Future[bytes]] = {}
        self.times_asked = Counter(tuple(sounding(recording.piece)) for recording in recordings)
        pieces = [recording.whole or recording.piece for recording in recordings]
        stems = (stem_of(part) for piece in pieces for part in sounding(piece))
        self._stems = list(dict.fromkeys(stems))
        self._tapes = [pool.submit(play, synth, first, stem) for stem in self._stems]
        self._measured = pool.submit(lambda: Measured([tape.result() for tape in self._tapes]))
        self._length = frames(first)

    def sound(self, recording: Recording, kind: AudioFormat) -> Iterator[Sound]:
        """Yield the sound of a recording, a block at a time."""
        parts = list(sounding(recording.whole or recording.piece))
        measured = self._measured.result()
        places = [self._stems.index(stem_of(part)) for part in parts]
        sides = gains(parts, [measured.alone(place) for place in places])
        loudness = measured.loudness(self._spread(places, sides))
        sides *= factor(TARGET - loudness) if loudness > float("-inf") else 1
        tapes = [self._tapes[place].result() for place in places]
        if recording.whole is None:
            yield silence(kind)
            yield from Mixdown(tapes, sides, self._length).held_under()
            return
        (part,) = sounding(recording.piece)
        place = parts.index(part)
        quieter = sides[place : place + 1] * factor(-HEADROOM)
        yield from Mixdown(tapes[place : place + 1], quieter, self._length).blocks()

    def _spread(self, places: Sequence[int], sides: "NDArray[float64]") -> "NDArray[float64]":
        """Return gains for all stems, those of the places as given and 0 for the rest."""
        from numpy import zeros

        spread = zeros((len(self._stems), 2))
        for place, of_stem in zip(places, sides, strict=True):
            spread[place] = of_stem
        return spread


def sounding(piece: Piece) -> Iterator[Part]:
    """Yield the parts that sound; a lead-in on the drums, which is part of the click, by itself."""
    for part in piece.parts:
        if part.role is not Role.CLICK:
            if part.notes or part.hits:
                yield part
            continue
        for is_click in (True, False):
            hits = tuple(hit for hit in part.hits if (hit.key in PITCHES_HZ) is is_click)
            if hits:
                yield replace(part, hits=hits)


def stem_of(part: Part) -> Part:
    """Return the part without level and place, the mix's business: what only lies elsewhere sounds alike."""
    return replace(part, pan=CENTER, volume=_USUAL_VOLUME)


def play(synth: Synth, piece: Piece, part: Part) -> Tape:
    """Return the stem of a part: a click's wood blocks are ours, all else is the synthesizer's."""
    is_click = part.role is Role.CLICK and part.hits[0].key in PITCHES_HZ
    return play_click(piece, part) if is_click else synth.play(piece, part)


def _group(recording: Recording) -> tuple[object, ...]:
    piece = recording.piece
    return (
        piece.title, piece.bpm, piece.tempos, piece.meter, piece.length, piece.keys, recording.whole is None
    )  # fmt: skip


def _processors() -> int:
    """Return how many processors this process may use."""
    affinity = getattr(os, "sched_getaffinity", None)
    return len(affinity(0)) if affinity else os.cpu_count() or 1
