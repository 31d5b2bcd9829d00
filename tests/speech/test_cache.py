import json
import os

import pytest

from gudgeon.domain import RecogniserFailed
from gudgeon.speech import cache, model_files, prepare, prepared
from gudgeon.speech.model_files import model_in
from gudgeon.speech.nets import LISTEN, STEP


@pytest.fixture
def files(tmp_path):
    folder = tmp_path / "model"
    folder.mkdir()
    for name in (model_files.ENCODER, model_files.DECODER, model_files.TOKENIZER):
        (folder / name).write_bytes(name.encode())
    return model_in(folder)


@pytest.fixture
def kept(tmp_path):
    return tmp_path / "cache"


@pytest.fixture(autouse=True)
def made_up_rebuild(monkeypatch):
    """Two small files stand for the graphs; what the real ones do is tested with the real model."""
    calls = []

    def rebuild(files, folder):
        calls.append(folder)
        (folder / LISTEN).write_bytes(b"listen")
        (folder / STEP).write_bytes(b"step")

    monkeypatch.setattr("gudgeon.speech.rebuild.rebuild", rebuild)
    monkeypatch.setattr(cache, "_reads_alike", lambda files, folder, threads: True)
    monkeypatch.setattr(cache, "PlainNet", lambda files, threads: "plain")
    monkeypatch.setattr(cache, "RebuiltNet", lambda folder, threads: "rebuilt")
    return calls


def test_made_once_and_found_again(files, kept, made_up_rebuild):
    assert prepared(files, kept) is None
    first = prepare(files, kept)
    assert first.same_words
    assert prepare(files, kept) == first == prepared(files, kept)
    assert len(made_up_rebuild) == 1
    assert [p.name for p in kept.iterdir()] == [first.folder.name]


def test_another_model_or_onnxruntime_has_its_own_folder(files, kept, monkeypatch):
    first = prepare(files, kept)
    monkeypatch.setattr(cache.ort, "__version__", "0.0")
    second = prepare(files, kept)
    files.tokenizer.write_bytes(b"other")
    third = prepare(files, kept)
    assert len({first.folder, second.folder, third.folder}) == 3


def test_a_fall_half_way_leaves_nothing_that_looks_whole(files, kept, monkeypatch):
    def falls(files, folder):
        (folder / LISTEN).write_bytes(b"half")
        raise KeyboardInterrupt

    with monkeypatch.context() as patch, pytest.raises(KeyboardInterrupt):
        patch.setattr("gudgeon.speech.rebuild.rebuild", falls)
        prepare(files, kept)
    assert prepared(files, kept) is None
    assert list(kept.iterdir()) == []
    assert prepare(files, kept).same_words


def test_a_killed_process_left_its_folder_and_it_goes_after_an_hour(files, kept):
    young, old = kept / ".making-young", kept / ".making-old"
    young.mkdir(parents=True)
    old.mkdir()
    os.utime(old, (0, 0))
    prepare(files, kept)
    assert young.is_dir()
    assert not old.exists()


def test_a_damaged_cache_is_made_anew(files, kept, made_up_rebuild):
    folder = prepare(files, kept).folder
    (folder / STEP).write_bytes(b"st")
    assert prepared(files, kept) is None
    assert prepare(files, kept).folder == folder
    (folder / cache.MANIFEST).write_text("{")
    assert prepared(files, kept) is None
    (folder / cache.MANIFEST).write_text(json.dumps([1]))
    assert prepared(files, kept) is None
    prepare(files, kept)
    assert len(made_up_rebuild) == 3


def test_other_words_mean_the_plain_loop_and_a_notice(files, kept, monkeypatch):
    monkeypatch.setattr(cache, "_reads_alike", lambda files, folder, threads: False)
    told = []
    assert cache.best_net(files, kept, notice=told.append) == "plain"
    assert "once" in told[0]
    assert "plain form" in told[1]
    told.clear()
    assert cache.best_net(files, kept, notice=told.append) == "plain"
    assert len(told) == 1, "the rebuild is not tried again at every start"


def test_the_rebuilt_form_is_used_when_it_reads_alike(files, kept):
    assert cache.best_net(files, kept) == "rebuilt"
    assert cache.best_net(files, None) == "plain"


def test_a_folder_that_cannot_be_written(files, tmp_path):
    in_the_way = tmp_path / "file"
    in_the_way.write_text("x")
    told = []
    assert cache.best_net(files, in_the_way / "cache", notice=told.append) == "plain"
    assert "could not be written" in told[-1]


def test_a_full_disk(files, kept, monkeypatch):
    monkeypatch.setattr(cache, "ROOM_NEEDED", 10**18)
    told = []
    assert cache.best_net(files, kept, notice=told.append) == "plain"
    assert "not enough room" in told[-1]


def test_a_model_built_in_another_way(files, kept, monkeypatch):
    def strange(files, folder):
        raise RecogniserFailed("Strange.")

    monkeypatch.setattr("gudgeon.speech.rebuild.rebuild", strange)
    told = []
    assert cache.best_net(files, kept, notice=told.append) == "plain"
    assert told[-1].endswith("Strange.")


def test_graphs_that_do_not_load_are_made_anew_at_the_next_start(files, kept, monkeypatch):
    def broken(folder, threads):
        raise RecogniserFailed("Damaged.")

    told = []
    with monkeypatch.context() as patch:
        patch.setattr(cache, "RebuiltNet", broken)
        assert cache.best_net(files, kept, notice=told.append) == "plain"
    assert told[-1].endswith("Damaged.")
    assert prepared(files, kept) is None
    assert cache.best_net(files, kept) == "rebuilt"


def test_the_built_in_clip_is_a_few_seconds_of_sound():
    samples = cache.check_clip()
    assert 3 * 16_000 < len(samples) < 8 * 16_000
    assert 0.2 < abs(samples).max() <= 1.0
