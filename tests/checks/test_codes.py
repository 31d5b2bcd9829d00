"""Every code is documented, reached by a case, and has its page; nothing comes out that is not documented."""

import ast
import re
from pathlib import Path
from types import ModuleType

import pytest
from reached import CASES, MORE, caution_case, codes_of, judged

import gudgeon.checks as room
from gudgeon.trade import Trade

CAUTIONS = (
    "manual-decides computed safety-brakes safety-steering safety-suspension safety-wheels safety-fuel safety-lifting safety-pressure safety-rotating"
)
ROOM = Path(room.__file__).parent


@pytest.mark.parametrize("case", [*CASES, *MORE], ids=lambda case: f"{case.code}: {case.said[:30]}")
def test_case_reaches_its_code(case: object, trade: Trade) -> None:
    assert case.code in codes_of(judged(case, trade))


@pytest.mark.parametrize("code", CAUTIONS.split())
def test_caution_is_reached(code: str, trade: Trade) -> None:
    assert code in codes_of(judged(caution_case(code), trade))


def test_every_documented_code_is_reached(pages: ModuleType) -> None:
    documented = {row["code"] for row in pages.codes()}
    assert documented == {case.code for case in CASES} | set(CAUTIONS.split())


def test_every_code_in_the_source_is_documented(pages: ModuleType) -> None:
    written = set()
    for path in ROOM.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in {"Finding", "Caution"}:
                values = [k.value for k in node.keywords if k.arg == "code"] + node.args[:1]
                written |= {v.value for v in values if isinstance(v, ast.Constant)}
        written |= set(re.findall(r'code = "([a-z-]+)" if', path.read_text(encoding="utf-8")))
    documented = {row["code"] for row in pages.codes()}
    assert written - documented == set()
    assert len(written) > 25


def test_codes_are_unique_and_complete(pages: ModuleType) -> None:
    rows = pages.codes()
    assert len({row["code"] for row in rows}) == len(rows)
    assert all(row[name].strip() for row in rows for name in ("code", "kind", "meaning", "caution"))
    assert {row["kind"] for row in rows} == {"verdict", "finding", "caution"}


def test_the_pages_are_up_to_date(pages: ModuleType) -> None:
    old = [n for n, text in pages.pages().items() if not (pages.FOLDER / n).exists() or (pages.FOLDER / n).read_text(encoding="utf-8") != text]
    assert old == [], "run: python tests/checks/pages.py"


def test_every_judgement_says_that_the_manual_decides(trade: Trade) -> None:
    for case in (*CASES, *MORE):
        assert "manual-decides" in codes_of(judged(case, trade)), case.said


def test_whatever_was_computed_says_so(trade: Trade) -> None:
    for case in (*CASES, *MORE):
        judgement = judged(case, trade)
        texts = [text for said in (judgement.verdicts, judgement.findings) for each in said for text in (each.reason, each.reference)]
        computed = {
            "adapter",
            "lubricated-dry",
            "stripped-thread",
            "engagement-short",
            "thread-may-strip",
            "above-usual",
            "sheet-unlikely",
            "unlikely",
        }
        if codes_of(judgement) & computed or any("begins to yield" in text for text in texts):
            assert "computed" in codes_of(judgement), case.said
