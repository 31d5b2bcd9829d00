"""Threads, grades, friction and sizes go in as tables with sources, the trade's sums come out."""

from gudgeon.trade.geometry import minor_diameter_mm, pitch_diameter_mm, stress_area_mm2, strip_area_mm2
from gudgeon.trade.kinds import Bearing, Friction, Strength, Thread, Wrench
from gudgeon.trade.limits import Limit, bearing_or_guess, limit_of
from gudgeon.trade.spellings import grade, read_grade, read_unit, size_unit, torque_unit
from gudgeon.trade.thread_names import ThreadName, read_thread
from gudgeon.trade.tightening import (
    EDITION,
    FORMULA,
    USUAL_SHARE,
    Tightening,
    bearing_diameter_mm,
    engagement_needed_mm,
    preload_from_torque_n,
    preload_n,
    proof_load_n,
    share_of_yield,
    short_torque_nm,
    tightening,
    torque_nm,
    torque_to_strip_nm,
    torque_to_yield_nm,
)
from gudgeon.trade.trade import Trade
from gudgeon.trade.worked import Bolt, Worked, bolt_of, work_adapter, work_convert, work_insert, work_preload, work_torque
from gudgeon.trade.workshop import ADAPTER_FORMULA, InsertPlan, MixUp, adapter_setting, insert_plan, mix_ups

__all__ = [
    "ADAPTER_FORMULA",
    "EDITION",
    "FORMULA",
    "USUAL_SHARE",
    "Bearing",
    "Bolt",
    "Friction",
    "InsertPlan",
    "Limit",
    "MixUp",
    "Strength",
    "Thread",
    "ThreadName",
    "Tightening",
    "Trade",
    "Worked",
    "Wrench",
    "adapter_setting",
    "bearing_diameter_mm",
    "bearing_or_guess",
    "bolt_of",
    "engagement_needed_mm",
    "grade",
    "insert_plan",
    "limit_of",
    "minor_diameter_mm",
    "mix_ups",
    "pitch_diameter_mm",
    "preload_from_torque_n",
    "preload_n",
    "proof_load_n",
    "read_grade",
    "read_thread",
    "read_unit",
    "share_of_yield",
    "short_torque_nm",
    "size_unit",
    "stress_area_mm2",
    "strip_area_mm2",
    "tightening",
    "torque_nm",
    "torque_to_strip_nm",
    "torque_to_yield_nm",
    "torque_unit",
    "work_adapter",
    "work_convert",
    "work_insert",
    "work_preload",
    "work_torque",
]
