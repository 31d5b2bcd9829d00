"""``gudgeon calc``: keys of the JSON, the figures, the cautions, and plain refusals."""

from __future__ import annotations

import json

import pytest
from typer.testing import CliRunner

from gudgeon.cli.app import build
from gudgeon.domain import GudgeonError

app = build(["calc"])
CALLS = [
    (
        ["torque", "--thread", "M10x1.5", "--grade", "8.8", "--mu", "0.12"],
        {"torque_nm": 48.3, "preload_kn": 29.6, "stress_area_mm2": 57.99, "low_nm": 42.5, "high_nm": 58.8},
    ),
    (
        ["torque", "--thread", "M10x1.5", "--grade", "8.8", "--mu", "0.12", "--share", "0.75", "--of", "proof", "--head", "hex", "--hole", "11"],
        {"torque_nm": 41.2, "preload_kn": 25.2},
    ),
    (
        ["preload", "--torque", "48", "--unit", "N*m", "--thread", "M10x1.5", "--grade", "8.8", "--mu", "0.12"],
        {"preload_kn": 29.4, "share_of_yield": 0.894},
    ),
    (["preload", "--torque", "35.4", "--unit", "ft-lb", "--thread", "M10x1.5", "--grade", "8.8", "--mu", "0.12"], {"preload_kn": 29.4}),
    (["adapter", "--wanted", "100", "--unit", "N*m", "--length", "500", "--reach", "150"], {"setting": 76.92, "unit": "N*m"}),
    (["adapter", "--wanted", "100", "--unit", "lbf*ft", "--length", "18", "--reach", "3", "--angle", "45"], {"setting": 89.46, "unit": "lbf*ft"}),
    (["insert", "--thread", "M8x1.25"], {"drill_mm": 8.4, "tap": "STI M8x1.25", "lengths_mm": {"1": 8, "1.5": 12, "2": 16, "2.5": 20, "3": 24}}),
    (["convert", "35", "lbf*ft", "N*m"], {"value": 47.4536, "unit": "N*m"}),
    (["convert", "-5", "degC", "degF"], {"value": 23.0, "unit": "degF"}),
]


@pytest.mark.parametrize(("words", "values"), CALLS, ids=lambda value: value[0] if isinstance(value, list) else "")
def test_json(words: list[str], values: dict[str, object]) -> None:
    done = CliRunner().invoke(app, ["calc", *words, "--json"], catch_exceptions=False)
    found = json.loads(done.stdout)
    assert done.exit_code == 0
    for name, value in values.items():
        assert found[name] == (pytest.approx(value, rel=2e-3) if isinstance(value, float) else value), name
    assert found["formula"] and found["sources"] and found["cautions"]


@pytest.mark.parametrize("words", [words for words, _ in CALLS], ids=lambda words: words[0])
def test_text_has_its_cautions_in_80_columns(words: list[str]) -> None:
    done = CliRunner().invoke(app, ["calc", *words, "--why"], catch_exceptions=False, env={"COLUMNS": "80"})
    assert done.exit_code == 0
    assert "Formula:" in done.stdout and "\n! " in done.stdout
    assert max(len(line) for line in done.stdout.splitlines()) <= 80


def test_why_shows_the_sum_step_by_step() -> None:
    words = ["calc", "torque", "--thread", "M10x1.5", "--grade", "8.8", "--mu", "0.12"]
    plain = CliRunner().invoke(app, words, catch_exceptions=False).stdout
    steps = CliRunner().invoke(app, [*words, "--why"], catch_exceptions=False).stdout
    assert "A_s = 57.99 mm²" in steps and "A_s = 57.99 mm²" not in plain
    assert json.loads(CliRunner().invoke(app, [*words, "--why", "--json"]).stdout)["steps"]


def test_whatever_is_computed_says_so_and_that_the_manual_decides() -> None:
    for words, _ in CALLS:
        text = CliRunner().invoke(app, ["calc", *words], catch_exceptions=False, env={"COLUMNS": "400"}).stdout
        assert "computed" in text and "manual" in text, words


BAD = [
    (["torque", "--thread", "M8x3", "--grade", "8.8"], "pitch of 3 mm"),
    (["torque", "--thread", "M8", "--grade", "7.7"], "no grade that gudgeon knows"),
    (["torque", "--thread", "M8", "--grade", "5"], "no grade “5” for M8x1.25"),
    (["torque", "--thread", "M8", "--grade", "8.8", "--mu", "-1"], "cannot be"),
    (["torque", "--thread", "M8", "--grade", "8.8", "--share", "3"], "cannot be"),
    (["torque", "--thread", "M8", "--grade", "8.8", "--of", "hope"], "yield or of proof"),
    (["torque", "--thread", "M8", "--grade", "A2-70", "--of", "proof"], "no proof load"),
    (["torque", "--thread", "M8", "--grade", "8.8", "--head", "round"], "no head"),
    (["torque", "--thread", "M8", "--grade", "8.8", "--hole", "99"], "does not fit"),
    (["preload", "--torque", "-4", "--thread", "M8", "--grade", "8.8"], "more than nothing"),
    (["preload", "--torque", "4", "--unit", "mm", "--thread", "M8", "--grade", "8.8"], "no unit of torque"),
    (["preload", "--torque", "1e9", "--thread", "M8", "--grade", "8.8"], "more than 10 times what yields it"),
    (["preload", "--torque", "nan", "--thread", "M8", "--grade", "8.8"], "more than nothing"),
    (["adapter", "--wanted", "inf", "--length", "500", "--reach", "150"], "more than nothing"),
    (["adapter", "--wanted", "100", "--length", "0", "--reach", "150"], "more than nothing"),
    (["insert", "--thread", "1/8 NPT"], "no insert sizes"),
    (["convert", "3", "lbf*ft", "mm"], "cannot be turned into"),
    (["convert", "3", "stone", "mm"], "no unit that gudgeon knows"),
]


@pytest.mark.parametrize(("words", "reason"), BAD)
def test_what_cannot_be_is_refused_plainly(words: list[str], reason: str) -> None:
    done = CliRunner().invoke(app, ["calc", *words])
    assert isinstance(done.exception, GudgeonError)
    assert done.exception.status == 2
    assert reason in done.exception.happened
    assert done.exception.next_step, "it is said what to do"
