"""The renderer: pieces in, audio files out, in the same order; what pieces share is made once.

Conventions
- Pieces that follow each other at one tempo and in one key are one *tempo_group*: its stems are played once
  and held, and every mix is made of them. Mixes that turn out to sound alike (a hand alone, and the same
  hand without the other) are encoded once and tagged twice. The next tempo_group lets all of it go.
- Encoding, the dearest step, runs beside the rest on as many workers as there are processors; only a few
  files are under way at a time, so memory does not grow with the pack.
"""

from collections import deque
from collections.abc import Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace

from tracks.export.audio import Sound
from tracks.export.audio.balance import Stem, loudness, mastered, mix
from tracks.export.audio.click import PITCHES_HZ, play_click
from tracks.export.audio.encode import encode, tagged
from tracks.export.audio.synth import Synth
from tracks.export.audio.tags import Tags
from tracks.model import CENTER, AudioFormat, Part, Piece, Role

_USUAL_VOLUME = 100
_MOST_WORKERS = 8


@dataclass(frozen=True, slots=True)
class Recording:
    """A piece to be recorded, at its tempo, and how the file is to be called in a player."""

    piece: Piece
    tags: Tags


class Renderer:
    """Records pieces with one SoundFont as one kind of file."""

    def __init__(self, synth: Synth, kind: AudioFormat) -> None:
        self.kind = kind
        self._synth = synth
        self._tempo_group: tuple[object, ...] = ()
        self._stems: dict[Part, Stem] = {}
        self._encoded: dict[tuple[Part, ...], Future[bytes]] = {}
        self._click_loudness: dict[tuple[object, ...], float] = {}

    def record(self, recordings: Iterable[Recording]) -> Iterator[bytes]:
        """Yield the file of each recording, in order."""
        from os import cpu_count

        workers = min(cpu_count() or 1, _MOST_WORKERS)
        under_way: deque[tuple[Future[bytes], Tags]] = deque()
        with ThreadPoolExecutor(workers) as pool:
            try:
                for recording in recordings:
                    under_way.append((self._encoding(recording.piece, pool), recording.tags))
                    if len(under_way) > workers:
                        yield self._taken(*under_way.popleft())
                while under_way:
                    yield self._taken(*under_way.popleft())
            finally:
                pool.shutdown(cancel_futures=True)

    def stems(self, piece: Piece) -> list[tuple[Part, Stem]]:
        """Return the piece's sounding parts, each with its stem, played if this tempo_group has not yet."""
        self._open_tempo_group(piece)
        return [(part, self._stem(piece, part)) for part in _sounding(piece)]

    def _taken(self, encoding: Future[bytes], tags: Tags) -> bytes:
        return tagged(encoding.result(), self.kind, tags)

    def _encoding(self, piece: Piece, pool: ThreadPoolExecutor) -> Future[bytes]:
        self._open_tempo_group(piece)
        parts = tuple(_sounding(piece))
        if parts not in self._encoded:
            self._encoded[parts] = pool.submit(encode, mastered(mix(self.stems(piece))), self.kind)
        return self._encoded[parts]

    def _open_tempo_group(self, piece: Piece) -> None:
        tempo_group = (piece.title, piece.bpm, piece.tempos, piece.meter, piece.length, piece.keys)
        if tempo_group != self._tempo_group:
            self._tempo_group, self._stems, self._encoded = tempo_group, {}, {}

    def _stem(self, piece: Piece, part: Part) -> Stem:
        # Place and level are the mix's business: a part that only lies elsewhere has been played already.
        played = replace(part, pan=CENTER, volume=_USUAL_VOLUME)
        if played not in self._stems:
            self._stems[played] = self._played(piece, played)
        return self._stems[played]

    def _played(self, piece: Piece, part: Part) -> Stem:
        if part.role is not Role.CLICK:
            sound = self._synth.play(piece, part)
            return Stem(sound, loudness(sound))
        sound = play_click(piece, part)
        drummed = tuple(
            hit for hit in part.hits if hit.key not in PITCHES_HZ
        )  # a lead-in is part of the click
        if drummed:
            sound = sound + self._synth.play(piece, replace(part, hits=drummed))
        return Stem(sound, self._loudness_of_click(piece, part, sound))

    def _loudness_of_click(self, piece: Piece, part: Part, sound: Sound) -> float:
        """Return a click's loudness, measured once for all keys."""
        heard_at = (piece.bpm, piece.tempos, piece.meter, piece.length, part.hits)
        if heard_at not in self._click_loudness:
            self._click_loudness[heard_at] = loudness(sound)
        return self._click_loudness[heard_at]


def _sounding(piece: Piece) -> Iterator[Part]:
    return (part for part in piece.parts if part.notes or part.hits)
