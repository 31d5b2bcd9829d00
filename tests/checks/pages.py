"""The pages of docs/checks: one a code, with its meaning, a real example and its caution, and an index.

python tests/checks/pages.py          writes them
python tests/checks/pages.py --check  says whether they are up to date
"""

from __future__ import annotations

import csv
import sys
from importlib import resources
from pathlib import Path

if "reached" not in sys.modules:
    sys.path.insert(0, str(Path(__file__).parent))

from reached import CASES, MORE, SHEET, Reached, bundled_trade, judged

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "checks"
HEAD = "Made by `python tests/checks/pages.py` from `src/gudgeon/checks/tables/codes.csv` and the examples in `tests/checks/reached.py`."


def codes() -> list[dict[str, str]]:
    """The rows of codes.csv."""
    text = resources.files("gudgeon.checks").joinpath("tables", "codes.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def pages() -> dict[str, str]:
    """File name → text, of every page and the index."""
    found = {"README.md": _index()}
    trade = bundled_trade()
    for row in codes():
        cases = [case for case in (*CASES, *MORE) if case.code == row["code"]]
        examples = [_example(case, row, trade) for case in cases]
        if row["kind"] == "caution":
            examples = [_caution_example(row, trade)]
        text = [
            f"# {row['code']}",
            "",
            f"A {row['kind']}. {row['meaning']}",
            "",
            *examples,
            f"**Caution.** {row['caution']}",
            "",
            "[All codes](README.md)",
            "",
        ]
        found[f"{slug(row['code'])}.md"] = "\n".join(text)
    return found


def slug(code: str) -> str:
    """A code as a file's name."""
    return code.replace(" ", "-")


ORDER = (
    "A value has one verdict, the first that holds of: unit not said, unlikely, over, under, within, no reference.",
    "It is held against, in this order:",
    "",
    "1. the owner's spec sheet, by its own range or tolerance, else by a rule of thumb that is named (± 4 %, ± 6 % at 10 N·m and below);",
    "2. earlier sessions of the same job: another value at the same joint and stage is a clash;",
    "3. what the fastener can bear, computed from thread, grade and friction; what was not said is taken so that the limit errs to the high side;",
    "4. what the wrench's size suggests, as a guess that never overrules 1 to 3.",
    "",
    "Any number of findings stand beside the verdict, and the cautions always do. A verdict never blocks and never changes what was said.",
)


def _index() -> str:
    lines = ["# Verdicts, findings and cautions", "", HEAD, "", *ORDER, "", "The examples are held against this sheet:", "", "```csv", *SHEET, "```"]
    for kind, title in (("verdict", "Verdicts"), ("finding", "Findings"), ("caution", "Cautions")):
        lines += ["", f"## {title}", "", "| code | meaning |", "| --- | --- |"]
        lines += [f"| [{row['code']}]({slug(row['code'])}.md) | {row['meaning']} |" for row in codes() if row["kind"] == kind]
    return "\n".join([*lines, ""])


def _example(case: Reached, row: dict[str, str], trade: object) -> str:
    judgement = judged(case, trade)  # type: ignore[arg-type]
    said = next(v for v in (*judgement.verdicts, *judgement.findings) if v.code == row["code"])
    lines = [f"> {case.said}", "", f"- {said.reason}"]
    lines += [f"- reference: {said.reference}"] if said.reference else []
    lines += [f"- sum: {said.sum}"] if said.sum else []
    return "\n".join([*lines, ""])


def _caution_example(row: dict[str, str], trade: object) -> str:
    from reached import caution_case

    case = caution_case(row["code"])
    text = next(c.text for c in judged(case, trade).cautions if c.code == row["code"])  # type: ignore[arg-type]
    return "\n".join([f"> {case.said}", "", f"- {text}", ""])


def main() -> None:
    """Write the pages, or check them."""
    wanted = pages()
    if "--check" in sys.argv:
        old = [name for name, text in wanted.items() if not (FOLDER / name).exists() or (FOLDER / name).read_text(encoding="utf-8") != text]
        sys.exit(f"out of date: {', '.join(old)}: python tests/checks/pages.py" if old else 0)
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name in {path.name for path in FOLDER.glob("*.md")} - set(wanted):
        (FOLDER / name).unlink()
    for name, text in wanted.items():
        (FOLDER / name).write_text(text, encoding="utf-8")
    print(f"{len(wanted)} pages in {FOLDER}")


if __name__ == "__main__":
    main()
