"""The embedded English model: clips in, text with confidence out, all on this computer's processor."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from threading import Lock

from gudgeon.domain import Clip, Hearing, Reading
from gudgeon.speech.beam import beam
from gudgeon.speech.bias import USUAL_STRENGTH, Bias
from gudgeon.speech.cache import Notice, best_net
from gudgeon.speech.doubt import settled
from gudgeon.speech.greedy import Decoded, allowance, greedy, ready
from gudgeon.speech.model_files import ModelFiles, installed_model
from gudgeon.speech.nets import Floats, Memory, Net
from gudgeon.speech.retry import halves, read_with_patience
from gudgeon.speech.side_by_side import side_by_side
from gudgeon.speech.tokens import Tokens

STRENGTH = USUAL_STRENGTH
"""The usual bonus for each word piece of a likely phrase, in units of log probability."""
SURE_ENOUGH, WIDE = 0.75, 10
"""Below such a confidence, as in noise, so many readings are followed: what is right is then often not among the best four half-way."""
THREADS = 2
"""Threads that share the work of one clip when clips are read one at a time."""
UNREAD = "…"
"""Stands in a text for a part of the clip that could not be read."""


class Embedded:
    """Reads clips with the English model of the installed model package (or the one in ``files``).

    With a ``cache`` folder the model is rebuilt there once and then runs about three times faster; ``notice`` is told when that happens
    or cannot. ``phrases`` are made likelier by ``strength`` (0 turns that off), ``units`` the more right after a figure, and
    ``lead_ins`` the more everywhere; behind a word of ``instructions`` "torque to" stays an instruction. With ``readers`` above 1 so many
    clips are read at once, each on one thread, and a few are taken ahead: for recordings. Speech that no try could read gets an empty text;
    figures that may be others have the other texts in ``others``. Raises MissingThing when no model is installed; the networks are loaded
    when the first clip is read.
    """

    name = "embedded"

    def __init__(
        self,
        files: ModelFiles | None = None,
        *,
        cache: Path | None = None,
        phrases: Sequence[str] = (),
        units: Sequence[str] = (),
        lead_ins: Sequence[str] = (),
        instructions: Sequence[str] = (),
        strength: float = STRENGTH,
        notice: Notice = lambda _: None,
        readers: int = 1,
    ) -> None:
        self._files = files or installed_model()
        self._cache, self._notice = cache, notice
        self._readers, self._threads = readers, 1 if readers > 1 else THREADS
        self._instructions = frozenset(instructions)
        self._loading = Lock()
        self._tokens = Tokens.read(self._files.tokenizer)
        self._bias = Bias(phrases, self._tokens, strength=strength, units=units, lead_ins=lead_ins) if phrases and strength > 0 else None
        self._net: Net | None = None

    def hear(self, clips: Iterable[Clip]) -> Iterator[Hearing]:
        """One Hearing a clip, in order; lazily, unless ``readers`` read ahead. Raises RecogniserFailed when the networks cannot be loaded."""
        if self._readers > 1:
            yield from side_by_side(clips, self._hear, self._readers)
        else:
            yield from map(self._hear, clips)

    def _hear(self, clip: Clip) -> Hearing:
        with self._loading:
            if self._net is None:
                self._net = best_net(self._files, self._cache, threads=self._threads, notice=self._notice)
        return self._read(self._net, clip.samples)

    def _read(self, net: Net, samples: Floats) -> Hearing:
        """The clip as a whole; when that cannot be read, its halves."""
        whole = self._read_whole(net, samples)
        parts = None if whole.text else halves(samples)
        return _together([self._read_whole(net, part) for part in parts]) if parts else whole

    def _read_whole(self, net: Net, samples: Floats) -> Hearing:
        heard = Memory(())

        def read(moved: Floats) -> Decoded:
            nonlocal heard
            heard = net.listen(ready(moved))
            most = allowance(len(moved))
            if self._bias is None:
                return greedy(net, heard, most)
            decoded = beam(net, heard, most, self._bias, give_up=True)
            return decoded if decoded.confidence >= SURE_ENOUGH else beam(net, heard, most, self._bias, width=WIDE)

        decoded = read_with_patience(samples, read)
        if decoded is None:
            return Hearing(text="", confidence=0.0, recogniser=self.name)
        text, others = settled(net, heard, self._tokens.text(decoded.tokens), self._tokens, self._instructions)
        return Hearing(text=text, confidence=decoded.confidence, recogniser=self.name, others=others)


def _together(parts: Sequence[Hearing]) -> Hearing:
    """The parts of a clip as one, an unread part as an ellipsis; empty when no part was read."""
    texts = [part.text or UNREAD for part in parts]
    if all(text == UNREAD for text in texts):
        return parts[0]
    others = [
        Reading(" ".join([*texts[:n], other.text, *texts[n + 1 :]]), other.odds)
        for n, part in enumerate(parts)
        for other in part.others
    ]  # fmt: skip
    confidence = sum(part.confidence for part in parts) / len(parts)
    ranked = sorted(others, key=lambda other: other.odds, reverse=True)
    return Hearing(text=" ".join(texts), confidence=confidence, recogniser=parts[0].recogniser, others=tuple(ranked))
