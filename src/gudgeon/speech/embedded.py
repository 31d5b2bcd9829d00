"""The embedded English model: clips in, text with confidence out, all on this computer's processor."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from gudgeon.domain import Clip, Hearing
from gudgeon.speech.greedy import greedy
from gudgeon.speech.model_files import ModelFiles, installed_model
from gudgeon.speech.nets import Net, PlainNet
from gudgeon.speech.tokens import Tokens


class Embedded:
    """Reads clips with the English model of the installed model package (or the one in ``files``).

    Raises MissingThing when no model is installed; the networks are loaded when the first clip is read.
    """

    name = "embedded"

    def __init__(self, files: ModelFiles | None = None, *, threads: int = 2) -> None:
        self._files = files or installed_model()
        self._threads = threads
        self._tokens = Tokens.read(self._files.tokenizer)
        self._net: Net | None = None

    def hear(self, clips: Iterable[Clip]) -> Iterator[Hearing]:
        """One Hearing a clip, in order, lazily. Raises RecogniserFailed when the networks cannot be loaded."""
        for clip in clips:
            yield self._read(clip)

    def _read(self, clip: Clip) -> Hearing:
        if self._net is None:
            self._net = PlainNet(self._files, threads=self._threads)
        decoded = greedy(self._net, clip.samples)
        return Hearing(text=self._tokens.text(decoded.tokens), confidence=decoded.confidence, recogniser=self.name)
