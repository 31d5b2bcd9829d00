"""Every row of oracles.json (published figures, each with its source and tolerance) against gudgeon's own sums."""

from types import ModuleType

import pytest

from gudgeon.trade import Trade


def test_row_agrees(oracle: dict, agreement: ModuleType, trade: Trade) -> None:
    value = agreement.computed(oracle, trade)
    assert agreement.agrees(oracle, value), f"{oracle['id']}: {value:g} here, {oracle['value']:g} {oracle['unit']} in {oracle['source']}"


@pytest.mark.parametrize("name", ["TB-M12", "TB-3/8-24"])
def test_statement_rows_state_a_textbooks_own_arithmetic(name: str, agreement: ModuleType) -> None:
    row = next(row for row in agreement.ROWS if row["id"] == name)
    assert agreement.statement(name) == pytest.approx(row["value"], rel=row["rel_tol"])


def test_the_standards_proof_stress_is_used_and_not_the_textbooks(trade: Trade) -> None:
    """TB-M12 takes 600 MPa for an M12 of class 8.8; ISO 898-1 has 580 up to 16 mm and 600 above."""
    m12, m18 = trade.threads_of("M12")[0], trade.threads_of("M18")[0]
    assert (trade.strength("8.8", m12).proof_mpa, trade.strength("8.8", m18).proof_mpa) == (580, 600)


def test_every_kind_of_row_is_there(agreement: ModuleType) -> None:
    kinds = {row["id"].split("-")[0] for row in agreement.ROWS}
    assert len(agreement.ROWS) == 147
    assert kinds == {"As", "At", "Fp", "F", "T15", "T20", "VDI", "FE", "TB", "TW", "U"}


def test_the_printed_table_is_up_to_date(agreement: ModuleType, trade: Trade) -> None:
    assert agreement.PAGE.read_text(encoding="utf-8") == agreement.page(trade), "run: python tests/outside/agreement.py"
