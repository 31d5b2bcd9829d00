"""Who may ask, which bytes come back, and how words are cut at the edges of facts."""

import numpy as np
import pytest

from gudgeon.domain import Part, Torque
from gudgeon.pages.guard import LOOPBACK, refusal
from gudgeon.pages.sound import Slice, byte_range, peaks
from gudgeon.pages.views import segments, wave_path

REQUESTS = [
    ("GET", "127.0.0.1:8417", None, True),
    ("GET", "localhost", None, True),
    ("GET", "[::1]:8417", None, True),
    ("GET", "workshop.example:8417", None, False),
    ("GET", "127.0.0.1.workshop.example", None, False),
    ("GET", "", None, False),
    ("POST", "127.0.0.1:8417", "http://127.0.0.1:8417", True),
    ("POST", "127.0.0.1:8417", "http://127.0.0.1:9999", False),
    ("POST", "127.0.0.1:8417", "https://elsewhere.example", False),
    ("POST", "127.0.0.1:8417", None, False),
    ("POST", "127.0.0.1:8417", "null", False),
]


@pytest.mark.parametrize(("method", "host", "origin", "passes"), REQUESTS)
def test_only_this_computer_may_ask_and_only_its_own_pages_may_write(method, host, origin, passes):
    assert (refusal(method, host, origin, LOOPBACK) is None) is passes


RANGES = [
    (None, Slice(0, 99, 100)),
    ("bytes=0-", Slice(0, 99, 100)),
    ("bytes=10-19", Slice(10, 19, 100)),
    ("bytes=90-500", Slice(90, 99, 100)),
    ("bytes=-10", Slice(90, 99, 100)),
    ("bytes=-500", Slice(0, 99, 100)),
    ("bytes=100-", None),
    ("bytes=20-10", None),
    ("bytes=-0", None),
    ("lines=1-2", Slice(0, 99, 100)),
]


@pytest.mark.parametrize(("header", "wanted"), RANGES)
def test_byte_ranges(header, wanted):
    assert byte_range(header, 100) == wanted


def test_words_are_cut_at_the_edges_of_facts():
    text = "hub bolts at 80 Nm <b>"
    facts = [Part(name="hub", span=(0, 3)), Torque(value=80, unit="N*m", nm=80, span=(13, 18))]
    runs = segments(text, facts)
    assert "".join(run.text for run in runs) == text
    assert [(run.text, run.kind) for run in runs if run.kind] == [("hub", "part"), ("80 Nm", "torque")]
    assert "80" in next(run.title for run in runs if run.kind == "torque")


def test_the_strip_shows_where_the_sound_was_loud():
    loud = np.concatenate([np.zeros(8000, np.float32), np.full(8000, 0.5, np.float32)])
    heights = peaks([loud[:5000], loud[5000:]], 1.0, columns=10)
    assert heights == [0, 0, 0, 0, 0, 0.5, 0.5, 0.5, 0.5, 0.5]
    assert wave_path(heights).count("M") == 10


def test_the_strip_is_measured_once_and_anew_when_the_sound_has_changed(tmp_path, monkeypatch):
    from gudgeon.audio import Keeper
    from gudgeon.pages import strips

    folder = tmp_path / "1"
    with Keeper(folder) as keeper:
        keeper.add(np.full(16_000 * 2, 0.25, dtype=np.float32))
    measured = []
    real = strips.strip
    monkeypatch.setattr(strips, "strip", lambda *what: measured.append(what) or real(*what))
    first = strips.kept_strip(folder, 2.0)
    assert first[300] == pytest.approx(0.25, abs=0.01)
    assert strips.kept_strip(folder, 2.0) == first
    assert len(measured) == 1
    with Keeper(folder) as keeper:
        keeper.add(np.full(16_000 * 2, 0.5, dtype=np.float32))
    assert strips.kept_strip(folder, 4.0)[500] == pytest.approx(0.5, abs=0.01)
    assert len(measured) == 2
    for damaged in ("", "[]", '{"of": 1, "heights": "x"}'):
        (folder / "strip.json").write_text(damaged)
        assert len(strips.kept_strip(folder, 4.0)) == 600
    assert strips.kept_strip(tmp_path / "none", 4.0) == []


def test_a_strip_of_a_record_that_may_only_be_read_is_measured_each_time(tmp_path, monkeypatch):
    from gudgeon.audio import Keeper
    from gudgeon.pages import strips

    with Keeper(tmp_path / "1") as keeper:
        keeper.add(np.full(16_000, 0.25, dtype=np.float32))

    def refuse(*_, **__):
        raise PermissionError

    monkeypatch.setattr("pathlib.Path.touch", refuse)
    assert len(strips.kept_strip(tmp_path / "1", 1.0)) == 600
    assert not (tmp_path / "1" / "strip.json").exists()
