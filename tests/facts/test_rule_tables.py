"""A rule table that is wrong is refused with its row."""

from collections.abc import Callable, Mapping, Sequence

import pytest

from gudgeon.cli import wiring
from gudgeon.domain import BadTable
from gudgeon.facts import Reader
from gudgeon.units import UnitWords

Tables = dict[str, list[str]]


def bundled() -> Tables:
    return {name: list(lines) for name, lines in wiring.tables("facts").items()}


def build(tables: Mapping[str, Sequence[str]]) -> Reader:
    return Reader.from_tables(tables, UnitWords.from_tables(wiring.tables("units")))


def add(table: str, line: str) -> Callable[[Tables], None]:
    return lambda tables: tables[table].append(line)


def header(table: str, line: str) -> Callable[[Tables], None]:
    def change(tables: Tables) -> None:
        tables[table][0] = line

    return change


BAD = {
    "a value that is none": (add("tools", "brace,brace and bit"), r"tools\.csv, row \d+: tool cannot be 'brace and bit'"),
    "an unknown condition": (add("conditions", "gone purple,purple,strong"), r"conditions\.csv, row \d+: condition cannot be 'purple'"),
    "a duplicate": (add("tools", "socket,wrench"), r"tools\.csv, row \d+: 'socket' is already in row 2"),
    "an empty phrase": (add("fillers", '""'), r"fillers\.csv, row \d+: the phrase is empty"),
    "a bad pattern": (add("hedges", "i (think|guess,weak"), r"hedges\.csv, row \d+: '\(think\|guess' is a bad pattern"),
    "a capital letter": (add("chatter", "Bank holiday"), r"chatter\.csv, row \d+: 'Bank' is a bad pattern"),
    "a missing column": (add("compounds", "goose fat,grease"), r"compounds\.csv, row \d+: 2 columns instead of 3"),
    "an empty column": (add("places", "widdershins,"), r"places\.csv, row \d+: place is empty"),
    "an unknown field": (header("tools", "phrase,tool,colour"), r"tools\.csv, row 1: .*colour"),
    "an unknown table": (lambda tables: tables.__setitem__("spells", ["phrase"]), r"no rule table called 'spells'"),
    "a missing table": (lambda tables: tables.pop("tools"), r"tools\.csv is missing"),
}


@pytest.mark.parametrize(("change", "message"), BAD.values(), ids=BAD.keys())
def test_a_bad_table_is_refused_with_its_row(change: Callable[[Tables], object], message: str) -> None:
    tables = bundled()
    change(tables)
    with pytest.raises(BadTable, match=message):
        build(tables)


def test_a_good_row_is_read_from_then_on() -> None:
    tables = bundled()
    tables["tools"].append("brace and bit,drill")
    facts = build(tables).read("half inch hole in the sill with the brace and bit")
    assert [fact.tool for fact in facts if fact.kind == "tool"] == ["drill"]


def test_the_bundled_tables_name_their_row_in_each_rule() -> None:
    facts = build(bundled()).read("torqued the lid bolts to twenty newton metres with a twelve mil socket")
    rules = {fact.kind: fact.rule for fact in facts}
    assert rules["torque"].startswith("torques:figure-unit (unit_words.csv row ")
    assert rules["tool"].startswith("tools:word (tools.csv row ")
    assert rules["action"].startswith("actions:past (actions.csv row ")
