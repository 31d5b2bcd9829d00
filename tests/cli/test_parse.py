"""``gudgeon parse``: one row a line, whatever the line."""

import json
import subprocess
import sys

GUDGEON = [sys.executable, "-m", "gudgeon", "parse"]


def parse(data: bytes, *options: str) -> list[dict]:
    run = subprocess.run([*GUDGEON, *options], input=data, capture_output=True, check=False)
    assert run.returncode == 0, run.stderr.decode()
    return [json.loads(line) for line in run.stdout.decode().splitlines()]


def test_rows_match_lines_blank_and_broken_ones_too() -> None:
    rows = parse(b"lid bolts at 18 Nm\n\n\xff\xfe broken \xc3\n\x00\x07\nlast line, no end")
    assert [len(row["facts"]) > 0 for row in rows] == [True, False, False, False, False]
    assert rows[0]["text"] == "lid bolts at 18 Nm"
    torque = next(fact for fact in rows[0]["facts"] if fact["kind"] == "torque")
    assert (torque["value"], torque["unit"], torque["nm"], torque["part"]) == (18.0, "N*m", 18.0, "lid")
    assert "rule" not in torque


def test_nothing_in_nothing_out() -> None:
    assert parse(b"") == []


def test_why_shows_the_rule_and_its_row() -> None:
    [row] = parse(b"lid bolts at 18 Nm with a 12 mm socket\n", "--why")
    rules = {fact["kind"]: fact["rule"] for fact in row["facts"]}
    assert rules["torque"].startswith("torques:figure-unit (unit_words.csv row ")
    assert [fact["words"] for fact in row["facts"]] == ["lid", "bolts", "18 Nm", "12 mm socket"]
    assert rules["tool"].startswith("tools:word (tools.csv row ")


def test_sessions_end_at_an_empty_line() -> None:
    rows = parse(b"lid bolts next, four of them\neighteen newton metres\n\n\npump bolts at 9 Nm\n", "--session")
    assert [row["notes"] for row in rows] == [["lid bolts next, four of them", "eighteen newton metres"], ["pump bolts at 9 Nm"]]
    assert all(row["entries"] for row in rows)
    assert "how" not in rows[0]["entries"][0]
