"""What gudgeon computes for each row of oracles.json, and the table of agreement in docs/agreement.md.

python tests/outside/agreement.py          writes the table
python tests/outside/agreement.py --check  says whether it is up to date
"""

from __future__ import annotations

import json
import re
import sys
from importlib import resources
from pathlib import Path
from typing import Any

from gudgeon.trade import (
    Thread,
    Trade,
    adapter_setting,
    bearing_or_guess,
    preload_n,
    proof_load_n,
    short_torque_nm,
    stress_area_mm2,
    torque_nm,
)
from gudgeon.units import to_nm

HERE = Path(__file__).resolve().parent
PAGE = HERE.parents[1] / "docs" / "agreement.md"
ROWS: list[dict[str, Any]] = json.loads((HERE / "oracles.json").read_text(encoding="utf-8"))
IN2 = 25.4**2
LBF = 0.45359237 * 9.80665
UNITS = {"lbf.in": "lbf*in", "lbf.ft": "lbf*ft", "kgf.m": "kgf*m", "kgf.cm": "kgf*cm"}
STATEMENTS = {
    "TB-M12": "states a textbook's result, made with a proof stress of 600 MPa where the standard has 580: no test of a function",
    "TB-3/8-24": "states a textbook's result with its own rounded area 0.0878: no test of a function",
}


def bundled_trade() -> Trade:
    """The trade's tables as they are shipped."""
    folder = resources.files("gudgeon.trade").joinpath("tables")
    files = [file for file in folder.iterdir() if file.name.endswith(".csv")]
    return Trade.from_tables({file.name.removesuffix(".csv"): file.read_text(encoding="utf-8").splitlines() for file in files})


def computed(row: dict[str, Any], trade: Trade) -> float:
    """gudgeon's figure for a row, in the row's unit."""
    name, given = row["id"], row["inputs"]
    if name in STATEMENTS:
        return statement(name)
    if name.startswith("TW-"):
        return adapter_setting(wanted=given["T_target"], length=given["L"], reach=given["E"], angle_deg=given["angle_deg"])
    if name.startswith("U-"):
        return to_nm(1.0, UNITS[given["unit"]])
    if name.startswith("FE-"):
        return in_unit(short_torque_nm(preload_n=given["F_lbf"] * LBF, k=given["K"], diameter_mm=given["d_in"] * 25.4), row["unit"])
    thread = thread_of(given, trade)
    if name.startswith("As-"):
        return stress_area_mm2(thread)
    if name.startswith("At-"):
        return stress_area_mm2(thread) / IN2
    if name.startswith("VDI-"):
        return vdi(row, thread, trade)
    strength = trade.strength(str(given.get("cls") or given["grade"]), thread)
    assert strength
    if name.startswith("Fp-"):
        return proof_load_n(thread, strength)
    clamp = 0.75 * proof_load_n(thread, strength)
    if name.startswith("F-"):
        return clamp / LBF
    assert re.match(r"T(15|20)-", name), name
    return in_unit(short_torque_nm(preload_n=clamp, k=given["K"], diameter_mm=thread.diameter_mm), row["unit"])


def thread_of(given: dict[str, Any], trade: Trade) -> Thread:
    """The row's thread; a size alone is the coarse one."""
    return trade.threads_of(given.get("thread") or given["size"])[0]


def vdi(row: dict[str, Any], thread: Thread, trade: Trade) -> float:
    """Preload in kN or torque in N·m at 0.9 of the 0.2 % proof stress."""
    given = row["inputs"]
    known = trade.strength(given.get("cls"), thread)
    stress = known.yield_mpa if known else given["Rp02"]
    load = preload_n(thread, stress_mpa=stress, share=0.9, mu=given["mu"])
    if row["unit"] == "kN":
        return load / 1000
    return torque_nm(thread, preload_n=load, mu=given["mu"], bearing=bearing_or_guess(trade, thread))


def statement(name: str) -> float:
    """The textbook's own arithmetic, with the textbook's own figures."""
    return {"TB-M12": 0.75 * 84.3 * 600 / 1000, "TB-3/8-24": 0.18 * 0.75 * 85000 * 0.0878 * 0.375}[name]


def in_unit(nm: float, unit: str) -> float:
    """Newton metres in a unit of the rows."""
    return nm / to_nm(1.0, UNITS[unit])


def agrees(row: dict[str, Any], value: float) -> bool:
    """Whether a figure lies within the row's tolerance; stress areas to three figures, as they are printed."""
    if row["id"].startswith("As-"):
        return float(f"{value:.3g}") == float(f"{row['value']:.3g}")
    return abs(value / row["value"] - 1) <= row["rel_tol"]


def page(trade: Trade) -> str:
    """The table as Markdown."""
    lines = [
        "# Agreement with figures from outside",
        "",
        "Made by `python tests/outside/agreement.py` from the bundled tables and sums; a test keeps it true. `S1` and the like are the pages listed",
        "below; *from memory* rows were confirmed by no page at hand. Stress areas agree when they are equal to three figures.",
        "",
        "| row | what | outside | gudgeon | difference | allowed | status | source |",
        "| --- | --- | --- | --- | --- | --- | --- | --- |",
    ]
    right = 0
    for row in ROWS:
        value = computed(row, trade)
        good = agrees(row, value)
        right += good
        status = "statement only" if row["id"] in STATEMENTS else row["status"]
        lines.append(
            f"| {row['id']} | {row['what']} | {row['value']:g} {row['unit']} | {value:.5g} | {100 * (value / row['value'] - 1):+.2f} % | "
            f"{100 * row['rel_tol']:g} % | {status}{'' if good else ' **differs**'} | {row['source'].replace('references.md ', '')} |"
        )
    memory = sum(row["status"] == "from memory" for row in ROWS)
    lines += ["", f"{right} of {len(ROWS)} rows agree; {memory} rows are from memory, {len(STATEMENTS)} are statements that test no function:", ""]
    lines += [f"- `{name}` {why}." for name, why in STATEMENTS.items()]
    return "\n".join([*lines, "", *PAGES, ""])


PAGES = (
    "## Pages",
    "",
    "- S1 a wholesaler's catalogue, mastik.pt pages 685 and 686 (VDI 2230, 2001 edition); S2 infosys.beckhoff.com 9224328075 (2003 edition)",
    "- S3 staging2.optimas.com ISO metric thread proof loads; S4 usefastener.com knowledge 404; S5 a supplier's VDI tables, scribd 564189166",
    "- S6 engineersedge.com torque against tension; S7 studylib.net 26058660; S8 cncexpo.com MetricBoltTorque; S9 engineeringprep.com problem 112",
    "- S10 published solutions to a machine-design textbook, chapter 8; S12 US Army TM 9-254; S13 torqwrench.com; S14 an adapter leaflet",
    "- S15 a wrench manual; S16 calculator.city 4676; S17 agentcalc.com torque wrench extension",
)

if __name__ == "__main__":
    text = page(bundled_trade())
    if "--check" in sys.argv:
        sys.exit(
            0 if PAGE.exists() and PAGE.read_text(encoding="utf-8") == text else "docs/agreement.md is out of date: python tests/outside/agreement.py"
        )
    PAGE.parent.mkdir(exist_ok=True)
    PAGE.write_text(text, encoding="utf-8")
    print(f"{PAGE} written")

__all__ = ["ROWS", "STATEMENTS", "agrees", "bundled_trade", "computed", "page"]
