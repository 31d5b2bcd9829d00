"""Entries, spec sheet, history and trade go in, verdicts and findings come out, each with a stable code; edits nothing."""

from gudgeon.checks.judge import CHECKS, judge
from gudgeon.checks.sheet_cells import read_grade, read_unit
from gudgeon.checks.spec_sheet import SIZE_COLUMNS, TORQUE_COLUMNS, read_spec

__all__ = ["CHECKS", "SIZE_COLUMNS", "TORQUE_COLUMNS", "judge", "read_grade", "read_spec", "read_unit"]
