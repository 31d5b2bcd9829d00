"""The embedded English model: clips in, text with confidence out, all on this computer's processor."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from gudgeon.domain import Clip, Hearing
from gudgeon.speech.cache import Notice, best_net
from gudgeon.speech.greedy import greedy
from gudgeon.speech.model_files import ModelFiles, installed_model
from gudgeon.speech.nets import Net
from gudgeon.speech.retry import read_with_patience
from gudgeon.speech.tokens import Tokens


class Embedded:
    """Reads clips with the English model of the installed model package (or the one in ``files``).

    With a ``cache`` folder the model is rebuilt there once and then runs about three times faster; ``notice`` is told when that happens
    or cannot. Speech that no try could read gets an empty text. Raises MissingThing when no model is installed; the networks are loaded
    when the first clip is read.
    """

    name = "embedded"

    def __init__(
        self,
        files: ModelFiles | None = None,
        *,
        cache: Path | None = None,
        notice: Notice = lambda _: None,
        threads: int = 2,
    ) -> None:
        self._files = files or installed_model()
        self._cache, self._notice, self._threads = cache, notice, threads
        self._tokens = Tokens.read(self._files.tokenizer)
        self._net: Net | None = None

    def hear(self, clips: Iterable[Clip]) -> Iterator[Hearing]:
        """One Hearing a clip, in order, lazily. Raises RecogniserFailed when the networks cannot be loaded."""
        for clip in clips:
            yield self._read(clip)

    def _read(self, clip: Clip) -> Hearing:
        if self._net is None:
            self._net = best_net(self._files, self._cache, threads=self._threads, notice=self._notice)
        net = self._net
        decoded = read_with_patience(clip.samples, lambda samples: greedy(net, samples))
        if decoded is None:
            return Hearing(text="", confidence=0.0, recogniser=self.name)
        return Hearing(text=self._tokens.text(decoded.tokens), confidence=decoded.confidence, recogniser=self.name)
