"""The streaming recogniser vosk, with a model that its user chose: partial words while someone speaks, times and confidence for each word."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from gudgeon.domain import SAMPLE_RATE, BadInput, Clip, Hearing, MissingThing, RecogniserFailed, Word

if TYPE_CHECKING:
    import vosk

NAME = "vosk"
_PIECE = SAMPLE_RATE // 5
_MODEL_FILES = ("am/final.mdl", "final.mdl")
_QUIET = -4  # else the library writes its own errors to the screen


class Vosk:
    """Reads clips with the vosk model in ``folder``; the model is loaded when the first clip is read, or by ``load``.

    With ``words`` it hears only these and is deaf to all others: for commands and second readings. ``limited_to`` gives such a
    recogniser on the same loaded model. Raises MissingThing when there is no model in the folder.
    """

    name = NAME

    def __init__(self, folder: str | Path, *, words: Sequence[str] = ()) -> None:
        self._model = _Model(Path(folder))
        self._words = tuple(words)

    def limited_to(self, words: Sequence[str]) -> Vosk:
        """A recogniser that hears only these words (or phrases) and shares this one's loaded model."""
        other = Vosk(self._model.folder, words=words)
        other._model = self._model
        return other

    def load(self) -> None:
        """Loads the model, which takes seconds. Raises RecogniserFailed when it cannot be loaded or knows none of the words."""
        self.phrase()

    def hear(self, clips: Iterable[Clip]) -> Iterator[Hearing]:
        """One Hearing a clip, in order, lazily, with the time and confidence of each word. Raises RecogniserFailed."""
        for clip in clips:
            phrase = self.phrase()
            for at in range(0, len(clip.samples), _PIECE):
                phrase.add(clip.samples[at : at + _PIECE])
            yield phrase.end()

    def phrase(self) -> VoskPhrase:
        """A stretch of speech that is read while it runs. Raises RecogniserFailed when the model cannot be loaded."""
        return VoskPhrase(self._model.recogniser(self._words))


class VoskPhrase:
    """One phrase under way: ``add`` sound, look at the words so far, ``end`` it."""

    def __init__(self, recogniser: vosk.KaldiRecognizer) -> None:
        self._recogniser = recogniser
        self._done: list[dict[str, Any]] = []
        self._samples = 0

    def add(self, samples: NDArray[np.float32]) -> str:
        """Takes float32 samples (n,), 16 kHz, -1..1; returns the words so far, which may still change. Raises RecogniserFailed."""
        self._samples += len(samples)
        pcm = np.rint(np.clip(samples, -1.0, 1.0) * 32767).astype("<i2").tobytes()
        try:
            ended = self._recogniser.AcceptWaveform(pcm)
        except Exception as gave_up:  # the library raises nothing more special
            raise RecogniserFailed(
                "vosk gave up on a stretch of speech.", kept="Its sound is kept.", next_step="Check its model: gudgeon ears"
            ) from gave_up
        if ended:  # vosk closed a sentence of its own accord; the phrase goes on
            self._done.append(json.loads(self._recogniser.Result()))
        partial = json.loads(self._recogniser.PartialResult()).get("partial", "")
        return " ".join(filter(None, [*self._texts(), partial]))

    def end(self) -> Hearing:
        """What was heard in all of it; an empty text when nothing was."""
        self._done.append(json.loads(self._recogniser.FinalResult()))
        words = tuple(_word(found, self._samples / SAMPLE_RATE) for part in self._done for found in part.get("result", ()))
        confidence = sum(word.confidence for word in words) / len(words) if words else 0.0
        return Hearing(" ".join(self._texts()), confidence, NAME, words=words)

    def _texts(self) -> list[str]:
        return [part["text"] for part in self._done if part.get("text")]


class _Model:
    """The model in a folder, loaded once, for any number of recognisers."""

    def __init__(self, folder: Path) -> None:
        if not any((folder / name).is_file() for name in _MODEL_FILES):
            raise MissingThing(
                f"There is no vosk model in {folder}.",
                next_step="Name the unpacked folder of a model, the one that holds am, conf and graph; gudgeon ears says where it goes.",
            )
        self.folder = folder

    def recogniser(self, words: Sequence[str]) -> vosk.KaldiRecognizer:
        model = self._loaded
        grammar = (json.dumps(self._known(words), ensure_ascii=False),) if words else ()
        recogniser = _try(self.folder, lambda: _vosk().KaldiRecognizer(model, SAMPLE_RATE, *grammar))
        recogniser.SetWords(True)
        return recogniser

    @cached_property
    def _loaded(self) -> vosk.Model:
        library = _vosk()
        library.SetLogLevel(_QUIET)
        return _try(self.folder, lambda: library.Model(str(self.folder)))

    def _known(self, phrases: Sequence[str]) -> list[str]:
        unknown = sorted({word for phrase in phrases for word in phrase.split() if self._loaded.vosk_model_find_word(word) < 0})
        if unknown:
            raise BadInput(f"The vosk model does not know: {', '.join(unknown)}.", next_step="Leave these words out, or use another model.")
        return list(phrases)


def _try(folder: Path, make: Any) -> Any:
    try:
        return make()
    except Exception as broken:  # the library raises nothing more special
        raise RecogniserFailed(
            f"The vosk model in {folder} cannot be used: a part of it is missing or broken.",
            kept="Nothing was lost; the embedded recogniser still works.",
            next_step="Unpack the model again, or remove its folder.",
        ) from broken


def _vosk() -> Any:
    try:
        import vosk  # noqa: PLC0415 - an extra, and slow to start
    except ImportError as missing:
        raise MissingThing("vosk is not installed.", next_step="Type: pip install 'gudgeon[vosk]'") from missing
    return vosk


def _word(found: dict[str, Any], seconds: float) -> Word:
    start = min(max(float(found["start"]), 0.0), seconds)
    end = min(max(float(found["end"]), start), seconds)
    return Word(str(found["word"]), start, end, min(max(float(found["conf"]), 0.0), 1.0))
