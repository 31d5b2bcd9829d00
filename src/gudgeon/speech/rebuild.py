"""The model's graphs taken apart and put together again, so that a step does only the work of a step.

In the package's decoder one ``If`` holds two branches, and every weight is an 8-bit number that is turned back into a float at each
step. Here the next-step branch becomes a graph of its own (it also serves for the first word, with nothing remembered), the decoder's
keys and values of the sound move to the end of the encoder, and onnxruntime folds every weight into a float once.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import onnx
from onnx import GraphProto, ModelProto, NodeProto, TensorProto, helper

from gudgeon.domain import RecogniserFailed
from gudgeon.speech.model_files import ModelFiles
from gudgeon.speech.nets import HEAD_SIZE, HEADS, LAYERS, LISTEN, STEP, memory_names, open_session

_HIDDEN = "last_hidden_state"
_SPLIT_HEADS = "heads_shape"


def rebuild(files: ModelFiles, folder: Path) -> None:
    """Write the two graphs into ``folder``. Raises RecogniserFailed when the model is not built as expected, OSError when writing fails."""
    encoder = _as_onnx(files.encoder, folder / "encoder.raw")
    decoder = _as_onnx(files.decoder, folder / "decoder.raw")
    first, following = _branches(decoder)
    _write(listen_graph(encoder, decoder, first), folder / LISTEN)
    _write(step_graph(decoder, following), folder / STEP)


def listen_graph(encoder: ModelProto, decoder: ModelProto, first: GraphProto) -> ModelProto:
    """The encoder, followed by the decoder's keys and values of what it heard."""
    nodes, weights = list(encoder.graph.node), list(encoder.graph.initializer)
    wanted = memory_names("present", "encoder")
    makers = [*decoder.graph.node, *first.node]
    cross: list[NodeProto] = []
    for layer in range(LAYERS):
        for part in ("key", "value"):
            name = f"/model/decoder/layers.{layer}/encoder_attn/{part[0]}_proj/MatMul"
            matmul = next((n for n in first.node if n.name == name), None)
            if matmul is None:
                raise _unexpected()
            chain, _ = _needed(makers, [matmul.input[1]])
            cross += [n for n in chain if n not in cross] + _projection(matmul.input[1], f"present.{layer}.encoder.{part}")
    taken = {w.name for w in weights} | {o for n in nodes for o in n.output}
    used = {i for n in cross for i in n.input}
    weights += [w for w in decoder.graph.initializer if w.name in used]
    if taken & {w.name for w in decoder.graph.initializer if w.name in used}:
        raise _unexpected()
    weights.append(helper.make_tensor(_SPLIT_HEADS, TensorProto.INT64, [4], [0, -1, HEADS, HEAD_SIZE]))
    outputs = [helper.make_tensor_value_info(n, TensorProto.FLOAT, [1, HEADS, "frames", HEAD_SIZE]) for n in wanted]
    return _model([*nodes, *cross], list(encoder.graph.input), outputs, weights, like=decoder)


def step_graph(decoder: ModelProto, following: GraphProto) -> ModelProto:
    """The next-step branch alone, with the weights it uses."""
    wanted = ["logits", *memory_names("present", "decoder")]
    nodes, need = _needed([*(n for n in decoder.graph.node if n.op_type != "If"), *following.node], wanted)
    weights = [w for w in (*decoder.graph.initializer, *following.initializer) if w.name in need]
    inputs = [i for i in decoder.graph.input if i.name in need]
    outputs = [o for o in decoder.graph.output if o.name in wanted]
    return _model(nodes, inputs, outputs, weights, like=decoder)


def _projection(weight: str, output: str) -> list[NodeProto]:
    """Hidden states × weight, split into heads: (1, frames, size) → (1, heads, frames, size of a head)."""
    return [
        helper.make_node("MatMul", [_HIDDEN, weight], [f"{output}.flat"]),
        helper.make_node("Reshape", [f"{output}.flat", _SPLIT_HEADS], [f"{output}.split"]),
        helper.make_node("Transpose", [f"{output}.split"], [output], perm=[0, 2, 1, 3]),
    ]


def _needed(nodes: Iterable[NodeProto], wanted: Iterable[str]) -> tuple[list[NodeProto], set[str]]:
    """The nodes, in their order, that lead to the wanted names, and every name on the way."""
    nodes = list(nodes)
    maker = {output: n for n, node in enumerate(nodes) for output in node.output}
    names: set[str] = set()
    kept: set[int] = set()
    todo = list(wanted)
    while todo:
        name = todo.pop()
        if name in names or not name:
            continue
        names.add(name)
        if name in maker:
            kept.add(maker[name])
            todo += nodes[maker[name]].input
    return [nodes[n] for n in sorted(kept)], names


def _branches(decoder: ModelProto) -> tuple[GraphProto, GraphProto]:
    """The decoder's first-step and next-step branches."""
    choices = [n for n in decoder.graph.node if n.op_type == "If"]
    if len(choices) != 1:
        raise _unexpected()
    graphs = {a.name: a.g for a in choices[0].attribute}
    return graphs["else_branch"], graphs["then_branch"]


def _as_onnx(ort_file: Path, target: Path) -> ModelProto:
    """The package's file as an ONNX model, nothing optimised; ``target`` is used on the way and removed."""
    open_session(ort_file, threads=1, level="ORT_DISABLE_ALL", save_to=target)
    model = onnx.load(str(target))
    target.unlink()
    return model


def _write(model: ModelProto, target: Path) -> None:
    """Write the model with its constants folded by onnxruntime."""
    raw = target.with_suffix(".raw")
    onnx.save(model, str(raw))
    open_session(raw, threads=1, level="ORT_ENABLE_EXTENDED", save_to=target)
    raw.unlink()


def _model(nodes: list[NodeProto], inputs: list, outputs: list, weights: list[TensorProto], *, like: ModelProto) -> ModelProto:  # type: ignore[type-arg]
    graph = helper.make_graph(nodes, "gudgeon", inputs, outputs, weights)
    domains = {"": 14, "com.microsoft": 1} | {o.domain: o.version for o in like.opset_import if o.domain in ("", "com.microsoft")}
    return helper.make_model(graph, opset_imports=[helper.make_opsetid(d, v) for d, v in domains.items()], ir_version=like.ir_version)


def _unexpected() -> RecogniserFailed:
    return RecogniserFailed("The speech model is not built the way this version of gudgeon expects.", kept="It is read the plain, slower way.")
