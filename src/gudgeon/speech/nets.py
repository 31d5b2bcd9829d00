"""The model's networks as they come in its package: sound in, scores of the next word piece out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

import numpy as np
import onnxruntime as ort
from numpy.typing import NDArray

from gudgeon.domain import RecogniserFailed
from gudgeon.speech.model_files import ModelFiles

LAYERS, HEADS, HEAD_SIZE = 8, 8, 52
LISTEN, STEP = "listen.onnx", "step.onnx"
Floats = NDArray[np.float32]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Memory:
    """What the decoder keeps between steps: ``heard`` of the sound, one row for all; ``own`` of its own words, one row a reading.

    ``own`` is empty before the first word, else keys and values layer by layer, each of shape (readings, heads, steps, size).
    """

    heard: tuple[Floats, ...]
    own: tuple[Floats, ...] = ()

    def rows(self, picked: Sequence[int]) -> Memory:
        """The memory of these readings, in this order; the sound's is shared."""
        return Memory(self.heard, tuple(a[list(picked)] for a in self.own))


class Net(Protocol):
    """The two moves every form of the model offers."""

    def listen(self, samples: Floats) -> Memory:
        """Samples of shape (n,), 16 kHz → the memory of that sound, with no word yet."""
        ...

    def step(self, tokens: Ints, memory: Memory) -> tuple[Floats, Memory]:
        """Tokens of shape (readings, steps) → scores of shape (readings, steps, vocabulary) and the longer memory."""
        ...


def open_session(path: Path, *, threads: int, level: str = "ORT_ENABLE_ALL", save_to: Path | None = None) -> Any:
    """An onnxruntime session on the processor; ``save_to`` also writes the graph as it then is, as ONNX. Raises RecogniserFailed."""
    options = ort.SessionOptions()
    options.intra_op_num_threads = threads
    options.inter_op_num_threads = 1
    options.log_severity_level = 4
    options.add_session_config_entry("session.intra_op.allow_spinning", "0")  # waiting threads leave the processor to others
    options.graph_optimization_level = getattr(ort.GraphOptimizationLevel, level)
    if save_to is not None:
        options.optimized_model_filepath = str(save_to)
        options.add_session_config_entry("session.save_model_format", "ONNX")
    try:
        return ort.InferenceSession(str(path), options, providers=["CPUExecutionProvider"])
    except Exception as error:  # onnxruntime's own errors share no base but Exception
        raise RecogniserFailed(
            f"The speech model could not be loaded: {path} ({type(error).__name__}).",
            next_step="Install the model again: pip install --force-reinstall moonshine-cpp==0.1.4",
        ) from error


def memory_names(prefix: str, which: str) -> list[str]:
    """Names of the memory's arrays in the graphs: ``which`` is ``decoder`` (own words) or ``encoder`` (the sound)."""
    return [f"{prefix}.{layer}.{which}.{part}" for layer in range(LAYERS) for part in ("key", "value")]


def no_words_yet(readings: int) -> tuple[Floats, ...]:
    """The own memory before the first word, for so many readings."""
    return tuple(np.zeros((readings, HEADS, 0, HEAD_SIZE), np.float32) for _ in range(2 * LAYERS))


class PlainNet:
    """The package's two files as they are; the decoder holds a first-step and a next-step branch in one graph.

    Its memory of the sound is the encoder's output, followed after the first step by the decoder's keys and values of it.
    """

    def __init__(self, files: ModelFiles, *, threads: int = 2) -> None:
        self._encoder = open_session(files.encoder, threads=threads)
        self._decoder = open_session(files.decoder, threads=threads)
        self._outputs = ["logits", *memory_names("present", "decoder"), *memory_names("present", "encoder")]

    def listen(self, samples: Floats) -> Memory:
        """See Net."""
        hidden: Floats = self._encoder.run(None, {"input_values": samples[None, :]})[0]
        return Memory((hidden,))

    def step(self, tokens: Ints, memory: Memory) -> tuple[Floats, Memory]:
        """See Net."""
        readings, first = len(tokens), not memory.own
        hidden, *heard = (np.repeat(a, readings, axis=0) for a in memory.heard)
        nothing = no_words_yet(readings)
        feed: dict[str, NDArray[Any]] = {"input_ids": tokens, "encoder_hidden_states": hidden, "use_cache_branch": np.array([not first])}
        feed |= dict(zip(memory_names("past_key_values", "decoder"), memory.own or nothing, strict=True))
        feed |= dict(zip(memory_names("past_key_values", "encoder"), heard or nothing, strict=True))
        scores, *arrays = self._decoder.run(self._outputs, feed)
        if first:
            memory = Memory((memory.heard[0], *(a[:1] for a in arrays[2 * LAYERS :])))
        return scores, Memory(memory.heard, tuple(arrays[: 2 * LAYERS]))


class RebuiltNet:
    """The two graphs made by the rebuild, in one folder: sound to the decoder's keys and values of it, and one step of the decoder."""

    def __init__(self, folder: Path, *, threads: int = 2) -> None:
        self._listen = open_session(folder / LISTEN, threads=threads)
        self._step = open_session(folder / STEP, threads=threads)
        self._heard = memory_names("present", "encoder")
        self._outputs = ["logits", *memory_names("present", "decoder")]

    def listen(self, samples: Floats) -> Memory:
        """See Net."""
        return Memory(tuple(self._listen.run(self._heard, {"input_values": samples[None, :]})))

    def step(self, tokens: Ints, memory: Memory) -> tuple[Floats, Memory]:
        """See Net; the memory of the sound stays one row, whatever the number of readings."""
        feed: dict[str, NDArray[Any]] = {"input_ids": tokens}
        feed |= dict(zip(memory_names("past_key_values", "decoder"), memory.own or no_words_yet(len(tokens)), strict=True))
        feed |= dict(zip(memory_names("past_key_values", "encoder"), memory.heard, strict=True))
        scores, *own = self._step.run(self._outputs, feed)
        return scores, Memory(memory.heard, tuple(own))
