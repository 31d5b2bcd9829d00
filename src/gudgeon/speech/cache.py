"""The rebuilt graphs on disk: made once, checked against the plain loop, found again at every later start.

One folder a model and onnxruntime version. It is filled under another name and renamed when it is whole, so a fall half-way leaves
nothing that looks finished.
"""

from __future__ import annotations

import errno
import json
import shutil
import tempfile
import wave
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import onnxruntime as ort

from gudgeon.domain import RecogniserFailed
from gudgeon.domain.sound import SAMPLE_RATE
from gudgeon.speech.greedy import allowance, greedy
from gudgeon.speech.model_files import ModelFiles
from gudgeon.speech.nets import LISTEN, STEP, Floats, Net, PlainNet, RebuiltNet

CHECK_CLIP = Path(__file__).with_name("check_clip.wav")
MANIFEST = "whole.json"
UNFINISHED = ".making-"
ABANDONED_AFTER = 3600.0
ROOM_NEEDED = 900_000_000
FORM = "float32-1"
"""Names the way of rebuilding: part of the cache's key, changed when the way changes."""

Notice = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Prepared:
    """What stands in the cache for one model: its folder, and whether it gave the plain loop's words."""

    folder: Path
    same_words: bool


def prepared(files: ModelFiles, cache: Path) -> Prepared | None:
    """The rebuilt model in this cache folder, or None when there is none that is whole."""
    folder = _folder(files, cache)
    try:
        manifest = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
        whole = all((folder / name).stat().st_size == size for name, size in manifest["sizes"].items())
        return Prepared(folder, bool(manifest["same_words"])) if whole else None
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def prepare(files: ModelFiles, cache: Path, *, threads: int = 2, notice: Notice = lambda _: None) -> Prepared:
    """Rebuild the model into this cache folder, unless it is there already.

    The result says whether the rebuilt model reads the built-in clip just as the plain loop does. Raises OSError when the folder cannot
    be written, RecogniserFailed when the model is not built as expected.
    """
    there = prepared(files, cache)
    if there:
        return there
    notice("Preparing the recogniser for this computer, once: about half a minute and 0.3 GB of disk.")
    cache.mkdir(parents=True, exist_ok=True)
    if shutil.disk_usage(cache).free < ROOM_NEEDED:
        raise OSError(errno.ENOSPC, "not enough room on the disk")
    making = Path(tempfile.mkdtemp(prefix=UNFINISHED, dir=cache))
    try:
        from gudgeon.speech.rebuild import rebuild  # noqa: PLC0415  (onnx takes long to import and is needed this once)

        rebuild(files, making)
        same = _reads_alike(files, making, threads=threads)
        sizes = {name: (making / name).stat().st_size for name in (LISTEN, STEP)}
        (making / MANIFEST).write_text(json.dumps({"sizes": sizes, "same_words": same}), encoding="utf-8")
        now = (making / MANIFEST).stat().st_mtime
        there = prepared(files, cache) or _named(making, _folder(files, cache), same)
        _remove_abandoned(cache, now)
    finally:
        shutil.rmtree(making, ignore_errors=True)
    return there


def best_net(files: ModelFiles, cache: Path | None, *, threads: int = 2, notice: Notice = lambda _: None) -> Net:
    """The rebuilt model when it can be had and reads alike, else the model as it comes, with a notice that says why."""
    if cache is None:
        return PlainNet(files, threads=threads)
    try:
        ready = prepare(files, cache, threads=threads, notice=notice)
        if ready.same_words:
            return _loaded(ready.folder, threads)
        why = "on this computer the faster form does not read the same words."
    except OSError as error:
        why = f"the folder {cache} could not be written ({error.strerror or type(error).__name__})."
    except RecogniserFailed as error:
        why = error.happened
    notice(f"The recogniser runs in its plain form, about three times slower: {why}")
    return PlainNet(files, threads=threads)


def check_clip() -> Floats:
    """The built-in clip (a synthetic voice, made for this project): samples at 16 kHz."""
    with wave.open(str(CHECK_CLIP)) as sound:
        if (sound.getframerate(), sound.getnchannels(), sound.getsampwidth()) != (SAMPLE_RATE, 1, 2):
            raise RecogniserFailed("The built-in clip is damaged.", next_step="Install gudgeon again.")
        return (np.frombuffer(sound.readframes(sound.getnframes()), "<i2") / 32768).astype(np.float32)


def _reads_alike(files: ModelFiles, folder: Path, *, threads: int) -> bool:
    samples = check_clip()
    plain, rebuilt = (
        greedy(net, net.listen(samples), allowance(len(samples))) for net in (PlainNet(files, threads=threads), RebuiltNet(folder, threads=threads))
    )
    return bool(plain.tokens) and plain.tokens == rebuilt.tokens


def _loaded(folder: Path, threads: int) -> Net:
    """The rebuilt networks; a folder that does not load is no longer counted as whole, so that the next start makes it anew."""
    try:
        return RebuiltNet(folder, threads=threads)
    except RecogniserFailed:
        (folder / MANIFEST).unlink(missing_ok=True)
        raise


def _folder(files: ModelFiles, cache: Path) -> Path:
    return cache / f"{files.fingerprint()[:16]}-{FORM}-onnxruntime-{ort.__version__}"


def _named(making: Path, target: Path, same_words: bool) -> Prepared:
    """Give the finished folder its name, in place of a broken one."""
    if target.exists():
        shutil.rmtree(target)
    making.rename(target)
    return Prepared(target, same_words)


def _remove_abandoned(cache: Path, now: float) -> None:
    """Remove what earlier falls left half-made; what is younger than an hour may be another process at work."""
    for folder in cache.glob(f"{UNFINISHED}*"):
        if now - folder.stat().st_mtime > ABANDONED_AFTER:
            shutil.rmtree(folder, ignore_errors=True)
