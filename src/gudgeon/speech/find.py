"""What recognisers are at hand, where, and whether they work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

from gudgeon.domain import Clip, GudgeonError, MissingThing
from gudgeon.domain.sound import SAMPLE_RATE
from gudgeon.speech.cache import check_clip
from gudgeon.speech.model_files import installed_model, model_in
from gudgeon.speech.protocol import Recogniser

EMBEDDED, VOSK = "embedded", "vosk"
VOSK_HOW = "Its models are not part of gudgeon; downloading one is your choice. Put the unpacked folder into one of the model folders."
CHECK_WORDS = frozenset({"torqued", "the", "drain", "plug", "to", "with", "a", "new", "crush", "washer", "newton", "metres"})
ENOUGH_WORDS = 5


@dataclass(frozen=True, slots=True)
class Found:
    """A recogniser that was looked for: its name, where its model is (None when nowhere), whether it can be used, and what to do if not."""

    name: str
    where: Path | None
    usable: bool
    what_to_do: str = ""


@dataclass(frozen=True, slots=True)
class SelfTest:
    """What a recogniser made of the built-in clip; ``ok`` when it gave enough of the words, ``says`` is one sentence for a person."""

    ok: bool
    text: str
    says: str


def find_recognisers(*, model_dirs: Sequence[Path] = ()) -> list[Found]:
    """Every recogniser this version knows, usable or not: the embedded model, then a row for each vosk model in ``model_dirs``."""
    return [_embedded(model_dirs), *_vosk(model_dirs)]


def self_test(recogniser: Recogniser) -> SelfTest:
    """Let the recogniser read the built-in English clip. Errors become a sentence; nothing is raised."""
    samples = check_clip()
    try:
        heard = next(iter(recogniser.hear([Clip(samples, 0.0, len(samples) / SAMPLE_RATE)])))
    except GudgeonError as error:
        return SelfTest(False, "", str(error))
    right = CHECK_WORDS & {w.strip(".,").lower() for w in heard.text.split()}
    ok = len(right) >= ENOUGH_WORDS
    says = "It reads the built-in English clip." if ok else "It runs, but did not read the built-in English clip: is its model an English one?"
    return SelfTest(ok, heard.text, says)


def _embedded(model_dirs: Sequence[Path]) -> Found:
    for folder in _folders(model_dirs):
        files = model_in(folder)
        if files:
            return Found(EMBEDDED, files.folder, True)
    try:
        return Found(EMBEDDED, installed_model().folder, True)
    except MissingThing as missing:
        return Found(EMBEDDED, None, False, str(missing))


def _vosk(model_dirs: Sequence[Path]) -> list[Found]:
    installed = find_spec("vosk") is not None
    models = [f for f in _folders(model_dirs) if (f / "am" / "final.mdl").is_file() or (f / "final.mdl").is_file()]
    how = "" if installed else "Type: pip install 'gudgeon[vosk]'"
    if not models:
        return [Found(VOSK, None, False, " ".join(s for s in (how, VOSK_HOW) if s))]
    return [Found(VOSK, folder, installed, how) for folder in models]


def _folders(model_dirs: Sequence[Path]) -> list[Path]:
    """The folders themselves and those right inside them, in order of their names."""
    found: list[Path] = []
    for folder in model_dirs:
        if folder.is_dir():
            found += [folder, *sorted(p for p in folder.iterdir() if p.is_dir())]
    return found
