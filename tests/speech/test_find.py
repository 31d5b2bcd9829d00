from importlib import metadata

import numpy as np

from gudgeon.domain import RecogniserFailed
from gudgeon.speech import Scripted, find, find_recognisers, model_files, self_test


def test_the_model_in_a_folder_is_found_before_the_installed_one(tmp_path):
    folder = tmp_path / "models" / "english"
    folder.mkdir(parents=True)
    for name in (model_files.ENCODER, model_files.DECODER, model_files.TOKENIZER):
        (folder / name).write_bytes(b"x")
    embedded = find_recognisers(model_dirs=[tmp_path / "models", tmp_path / "not there"])[0]
    assert (embedded.name, embedded.where, embedded.usable) == ("embedded", folder, True)


def test_nothing_installed_says_what_to_do(monkeypatch):
    def none(name):
        raise metadata.PackageNotFoundError(name)

    monkeypatch.setattr(metadata, "files", none)
    monkeypatch.setattr(find, "find_spec", lambda name: None)
    embedded, vosk = find_recognisers()
    assert not embedded.usable
    assert "pip install 'gudgeon[model]'" in embedded.what_to_do
    assert not vosk.usable
    assert "pip install 'gudgeon[vosk]'" in vosk.what_to_do
    assert "your choice" in vosk.what_to_do


def test_a_vosk_model_folder_is_found(tmp_path, monkeypatch):
    monkeypatch.setattr(find, "find_spec", lambda name: object())
    (tmp_path / "some-model" / "am").mkdir(parents=True)
    (tmp_path / "some-model" / "am" / "final.mdl").write_bytes(b"x")
    (row,) = [f for f in find_recognisers(model_dirs=[tmp_path]) if f.name == "vosk"]
    assert row.where == tmp_path / "some-model"
    assert row.usable


def test_self_test_tells_good_from_deaf_from_broken():
    assert self_test(Scripted(["Torqued the drain plug to 25 newton metres."])).ok
    deaf = self_test(Scripted(["La la la."]))
    assert not deaf.ok
    assert "English" in deaf.says

    class Broken:
        name = "broken"

        def hear(self, clips):
            raise RecogniserFailed("It gave up.", next_step="Try again.")

    broken = self_test(Broken())
    assert not broken.ok
    assert broken.says == "It gave up. Try again."


def test_self_test_hands_over_real_sound():
    scripted = Scripted(["x"])
    self_test(scripted)
    assert np.abs(scripted.clips[0].samples).max() > 0.2
