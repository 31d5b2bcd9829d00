"""Entries, spec sheet, history and trade go in, verdicts and findings come out, each with a stable code; edits nothing."""

from gudgeon.checks.against_sheet import limits_of
from gudgeon.checks.aids import Aid, aid_for
from gudgeon.checks.asked import FromSheet, Name, from_sheet, named
from gudgeon.checks.judge import CHECKS, judge
from gudgeon.checks.progress import JointProgress, Progress, RowValue, SizeProgress, StageProgress, Tally, progress
from gudgeon.checks.spec_sheet import SIZE_COLUMNS, TORQUE_COLUMNS, read_spec
from gudgeon.checks.words import torque_words
from gudgeon.checks.wrench_sheet import WRENCH_COLUMNS, WrenchSheet, read_wrenches

__all__ = [
    "CHECKS",
    "SIZE_COLUMNS",
    "TORQUE_COLUMNS",
    "WRENCH_COLUMNS",
    "Aid",
    "FromSheet",
    "JointProgress",
    "Name",
    "Progress",
    "RowValue",
    "SizeProgress",
    "StageProgress",
    "Tally",
    "WrenchSheet",
    "aid_for",
    "from_sheet",
    "judge",
    "limits_of",
    "named",
    "progress",
    "read_spec",
    "read_wrenches",
    "torque_words",
]
