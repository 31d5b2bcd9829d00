"""One entry is judged: every check is one small function, and this is the order in which they are asked."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date

from gudgeon.checks import done, earlier, harm, heard, wrenches
from gudgeon.checks.case import Case, build_case
from gudgeon.checks.cautions import cautions
from gudgeon.checks.sizes import size_verdicts
from gudgeon.checks.torques import torque_verdicts
from gudgeon.domain import Entry, Finding, Joint, Judgement, PastValue, SpecSheet
from gudgeon.trade import Trade, Wrench

Check = Callable[[Case], Iterator[Finding]]
CHECKS: tuple[Check, ...] = (
    heard.joint_unclear,
    heard.match_ambiguous,
    heard.match_loose,
    heard.guessed,
    heard.heard_unsurely,
    heard.unit_mended,
    harm.unit_mix_up,
    harm.above_usual,
    harm.sheet_beyond_bolt,
    harm.stripped,
    harm.soft_thread,
    earlier.clash,
    done.stage_skipped,
    done.stage_order,
    done.stage_not_said,
    done.angle_missing,
    done.count_differs,
    done.one_time,
    done.compound_differs,
    done.lubricated_dry,
    done.locker_too_strong,
    done.thread_or_grade_differs,
    done.tool_differs,
    done.sheet_row_odd,
    wrenches.adapter,
    wrenches.wrench_range,
    wrenches.wrench_overdue,
    wrenches.thread_guess,
    wrenches.tool_thread,
)
"""Every check for findings, in the order in which they are shown. A check takes a Case and yields findings; codes.csv documents each code."""


def judge(
    entry: Entry,
    *,
    sheet: SpecSheet | None,
    past: Sequence[PastValue] = (),
    trade: Trade,
    wrenches: Sequence[Wrench] = (),
    today: date | None = None,
    learnt: Mapping[str, str] | None = None,
) -> Judgement:
    """Verdicts, findings, the matched joint and cautions for one entry; nothing said is changed.

    ``past`` are values of earlier sessions that are not superseded; ``wrenches`` the owner's, judged for age against ``today``; ``learnt``
    the owner's own matches (joint_key of an entry → joint_key of a row, "" for none).
    """
    case = build_case(entry, sheet=sheet, past=past, trade=trade, wrenches=wrenches, today=today, learnt=learnt)
    verdicts = torque_verdicts(case) + size_verdicts(case)
    findings = tuple(finding for check in CHECKS for finding in check(case))
    joint = Joint(case.rows[0], case.match.score, case.match.why) if case.rows else None
    computed = any("computed" in text for said in (verdicts, findings) for each in said for text in (each.reference, each.reason))
    shown = cautions(case, computed=computed) if verdicts or findings else ()
    return Judgement(verdicts=verdicts, findings=findings, joint=joint, cautions=shown)
