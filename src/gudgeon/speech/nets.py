"""The model's networks as they come in its package: sound in, scores of the next word piece out."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

import numpy as np
import onnxruntime as ort
from numpy.typing import NDArray

from gudgeon.domain import RecogniserFailed
from gudgeon.speech.model_files import ModelFiles

LAYERS, HEADS, HEAD_SIZE = 8, 8, 52
Floats = NDArray[np.float32]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Memory:
    """What the decoder keeps between steps: ``own`` of its own past, shape (batch, heads, steps, size); ``heard`` of the sound.

    Both hold, layer by layer, keys and values in turn: 16 arrays.
    """

    own: tuple[Floats, ...]
    heard: tuple[Floats, ...]

    def rows(self, picked: list[int]) -> Memory:
        """The memory of these rows of the batch, in this order; the sound's is shared and stays."""
        return Memory(tuple(a[picked] for a in self.own), self.heard)


class Net(Protocol):
    """The three moves every form of the model offers."""

    def encode(self, samples: Floats) -> Floats:
        """Samples of shape (n,) → hidden states of shape (1, frames, size)."""
        ...

    def begin(self, hidden: Floats, tokens: Ints) -> tuple[Floats, Memory]:
        """Tokens of shape (batch, steps) from the start → scores (batch, steps, vocabulary) and the memory."""
        ...

    def step(self, hidden: Floats, tokens: Ints, memory: Memory) -> tuple[Floats, Memory]:
        """One more token a row, shape (batch, 1) → scores (batch, 1, vocabulary) and the longer memory."""
        ...


def open_session(path: Path, *, threads: int, optimise: bool = True, save_to: Path | None = None) -> Any:
    """An onnxruntime session on the processor; ``save_to`` also writes the graph as it then is, as ONNX. Raises RecogniserFailed."""
    options = ort.SessionOptions()
    options.intra_op_num_threads = threads
    options.inter_op_num_threads = 1
    options.log_severity_level = 3
    if not optimise:
        options.graph_optimization_level = ort.GraphOptimizationLevel.ORT_DISABLE_ALL
    if save_to is not None:
        options.optimized_model_filepath = str(save_to)
        options.add_session_config_entry("session.save_model_format", "ONNX")
    try:
        return ort.InferenceSession(str(path), options, providers=["CPUExecutionProvider"])
    except Exception as error:  # onnxruntime's own errors share no base but Exception
        raise RecogniserFailed(
            f"The speech model could not be loaded: {path} ({type(error).__name__}).",
            next_step="Install the model again: pip install --force-reinstall 'gudgeon[model]'",
        ) from error


def memory_names(prefix: str, which: str) -> list[str]:
    """Names of the memory's arrays in the graphs: ``which`` is ``decoder`` (own past) or ``encoder`` (the sound)."""
    return [f"{prefix}.{layer}.{which}.{part}" for layer in range(LAYERS) for part in ("key", "value")]


class PlainNet:
    """The package's two files as they are: the decoder holds both its branches in one graph."""

    def __init__(self, files: ModelFiles, *, threads: int = 2) -> None:
        self._encoder = open_session(files.encoder, threads=threads)
        self._decoder = open_session(files.decoder, threads=threads)
        self._outputs = ["logits", *memory_names("present", "decoder"), *memory_names("present", "encoder")]

    def encode(self, samples: Floats) -> Floats:
        """See Net."""
        hidden: Floats = self._encoder.run(None, {"input_values": samples[None, :]})[0]
        return hidden

    def begin(self, hidden: Floats, tokens: Ints) -> tuple[Floats, Memory]:
        """See Net."""
        nothing = tuple(np.zeros((len(tokens), HEADS, 0, HEAD_SIZE), np.float32) for _ in range(2 * LAYERS))
        if len(tokens) > 1:
            hidden = np.repeat(hidden, len(tokens), axis=0)
        scores, own, heard = self._run(hidden, tokens, Memory(nothing, nothing), go_on=False)
        return scores, Memory(own, heard)

    def step(self, hidden: Floats, tokens: Ints, memory: Memory) -> tuple[Floats, Memory]:
        """See Net."""
        if len(tokens) > 1 and len(hidden) == 1:
            hidden = np.repeat(hidden, len(tokens), axis=0)
        heard = tuple(np.repeat(a[:1], len(tokens), axis=0) for a in memory.heard)
        scores, own, _ = self._run(hidden, tokens, Memory(memory.own, heard), go_on=True)
        return scores, Memory(own, memory.heard)

    def _run(self, hidden: Floats, tokens: Ints, memory: Memory, *, go_on: bool) -> tuple[Floats, tuple[Floats, ...], tuple[Floats, ...]]:
        feed = {"input_ids": tokens, "encoder_hidden_states": hidden, "use_cache_branch": np.array([go_on])}
        feed |= dict(zip(memory_names("past_key_values", "decoder"), memory.own, strict=True))
        feed |= dict(zip(memory_names("past_key_values", "encoder"), memory.heard, strict=True))
        scores, *arrays = self._decoder.run(self._outputs, feed)
        return scores, tuple(arrays[: 2 * LAYERS]), tuple(arrays[2 * LAYERS :])
