"""The published tables must tell a wrong formula from the right one: each mistake named in the references makes rows fail."""

from collections.abc import Iterator
from dataclasses import replace
from types import ModuleType

import pytest

from gudgeon.trade import Trade, tightening


@pytest.fixture(autouse=True)
def _fresh_sums() -> Iterator[None]:
    """Sums are remembered between calls; a changed formula needs them forgotten, before and after."""
    module = _module()
    module.preload_n.cache_clear()
    yield
    module.preload_n.cache_clear()


def _module() -> ModuleType:
    import sys

    return sys.modules[tightening.__module__]


def _failing(agreement: ModuleType, trade: Trade, what: str) -> int:
    rows = [row for row in agreement.ROWS if row["id"].startswith(what) and row["status"] == "source"]
    assert rows
    return sum(not agreement.agrees(row, agreement.computed(row, trade)) for row in rows)


def _with_faces(trade: Trade, face_of: dict[str, float]) -> Trade:
    changed = {key: replace(b, face_mm=face_of[key[0]]) for key, b in trade.bearings.items() if key[0] in face_of and key[1] == "hex"}
    return replace(trade, bearings={**trade.bearings, **changed})


def test_right_formula_fails_nowhere(agreement: ModuleType, trade: Trade) -> None:
    assert _failing(agreement, trade, "VDI-") == 0


def test_width_across_flats_for_the_bearing_face_fails(agreement: ModuleType, trade: Trade) -> None:
    flats = {d.size: d.width for d in trade.drives if d.shape == "hex bolt" and d.standard.startswith("ISO") and d.unit == "mm"}
    assert _failing(agreement, _with_faces(trade, flats), "VDI-MA") >= 5


def test_thirteen_tenths_of_the_diameter_for_the_face_fails(agreement: ModuleType, trade: Trade, monkeypatch: pytest.MonkeyPatch) -> None:
    hole_is_face = {size: 0.0 for size, head in trade.bearings if head == "hex"}
    diameters = {size: trade.threads_of(size)[0].diameter_mm for size in hole_is_face}
    mean = {size: 2 * 1.3 * d - trade.bearings[size, "hex"].hole_mm for size, d in diameters.items()}
    assert _failing(agreement, _with_faces(trade, mean), "VDI-MA") >= 3


def test_forgetting_torsion_fails_every_preload(agreement: ModuleType, trade: Trade, monkeypatch: pytest.MonkeyPatch) -> None:
    right = agreement.preload_n
    monkeypatch.setattr(agreement, "preload_n", lambda *args, **names: right(*args, **names, torsion=False))
    rows = sum(row["id"].startswith("VDI-FM") for row in agreement.ROWS)
    assert _failing(agreement, trade, "VDI-FM") == rows


def test_the_torsion_factor_in_place_of_the_thread_factor_fails(agreement: ModuleType, trade: Trade, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(_module(), "THREAD_FACTOR", 1.155)
    assert _failing(agreement, trade, "VDI-MA") >= 15


def test_the_thread_factor_in_place_of_the_torsion_factor_fails(agreement: ModuleType, trade: Trade, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(_module(), "TORSION_FACTOR", 0.577)
    assert _failing(agreement, trade, "VDI-FM") >= 15


def test_iso_form_of_the_stress_area_on_inch_threads_fails(agreement: ModuleType, trade: Trade) -> None:
    by_size = {size: tuple(replace(t, kind="metric") if t.kind == "unified" else t for t in threads) for size, threads in trade.by_size.items()}
    assert _failing(agreement, replace(trade, by_size=by_size), "At-") >= 8
