"""The embedded English model: clips in, text with confidence out, all on this computer's processor."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from gudgeon.domain import Clip, Hearing, Reading
from gudgeon.speech.beam import beam
from gudgeon.speech.bias import USUAL_STRENGTH, Bias
from gudgeon.speech.cache import Notice, best_net
from gudgeon.speech.doubt import settled
from gudgeon.speech.greedy import Decoded, allowance, greedy, ready
from gudgeon.speech.model_files import ModelFiles, installed_model
from gudgeon.speech.nets import Floats, Memory, Net
from gudgeon.speech.retry import halves, read_with_patience
from gudgeon.speech.tokens import Tokens

STRENGTH = USUAL_STRENGTH
"""The usual bonus for each word piece of a likely phrase, in units of log probability."""
UNREAD = "…"
"""Stands in a text for a part of the clip that could not be read."""


class Embedded:
    """Reads clips with the English model of the installed model package (or the one in ``files``).

    With a ``cache`` folder the model is rebuilt there once and then runs about three times faster; ``notice`` is told when that happens
    or cannot. ``phrases`` are made likelier by ``strength`` (0 turns that off), ``units`` among them
    the more right after a figure. Speech that no try could read gets an empty text; figures
    that may be their teen or ty partner have the other texts in ``others``. Raises MissingThing when no model is installed; the networks
    are loaded when the first clip is read.
    """

    name = "embedded"

    def __init__(
        self,
        files: ModelFiles | None = None,
        *,
        cache: Path | None = None,
        phrases: Sequence[str] = (),
        units: Sequence[str] = (),
        strength: float = STRENGTH,
        notice: Notice = lambda _: None,
        threads: int = 2,
    ) -> None:
        self._files = files or installed_model()
        self._cache, self._notice, self._threads = cache, notice, threads
        self._tokens = Tokens.read(self._files.tokenizer)
        self._bias = Bias(phrases, self._tokens, strength=strength, units=units) if phrases and strength > 0 else None
        self._net: Net | None = None

    def hear(self, clips: Iterable[Clip]) -> Iterator[Hearing]:
        """One Hearing a clip, in order, lazily. Raises RecogniserFailed when the networks cannot be loaded."""
        for clip in clips:
            if self._net is None:
                self._net = best_net(self._files, self._cache, threads=self._threads, notice=self._notice)
            yield self._read(self._net, clip.samples)

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
            return beam(net, heard, most, self._bias) if self._bias else greedy(net, heard, most)

        decoded = read_with_patience(samples, read)
        if decoded is None:
            return Hearing(text="", confidence=0.0, recogniser=self.name)
        text, others = settled(net, heard, self._tokens.text(decoded.tokens), self._tokens)
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
