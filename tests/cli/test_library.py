"""The library door: what docs/library.md shows is what happens, and its table of tables is complete."""

import doctest
import re

import pytest

import gudgeon
from gudgeon import Record


def test_the_examples_of_the_page(repository, home, picture):
    page = (repository / "docs" / "library.md").read_text(encoding="utf-8").replace("```", "")
    example = doctest.DocTestParser().get_doctest(page, {"folder": home / "library", "picture_file": picture}, "library.md", None, 0)
    assert len(example.examples) > 10
    told = []
    result = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS).run(example, out=told.append)
    assert result.failed == 0, "".join(told)


def test_every_table_is_explained(repository, tmp_path):
    page = (repository / "docs" / "library.md").read_text(encoding="utf-8")
    explained = set(re.findall(r"`(\w+)`", "".join(line.split("|")[1] for line in page.splitlines() if line.startswith("| `"))))
    with Record.open(tmp_path) as record:
        rows = record._db.execute("select name from sqlite_master where type = 'table'").fetchall()
    tables = {name for (name,) in rows if "_fts_" not in name and not name.startswith("sqlite_")}
    assert tables == explained


def test_the_columns_that_are_named_exist(repository, tmp_path):
    page = (repository / "docs" / "library.md").read_text(encoding="utf-8")
    with Record.open(tmp_path) as record:
        for line in page.splitlines():
            cells = line.split("|")
            if line.startswith("| `") and cells[3].strip():
                columns = {
                    row[1] for table in re.findall(r"`(\w+)`", cells[1]) for row in record._db.execute(f'pragma table_info("{table}")').fetchall()
                }
                named = re.sub(r"\([^)]*\)", "", cells[3])
                assert set(re.findall(r"`(\w+)`", named)) <= columns, line


def test_public_names():
    assert gudgeon.__all__ == sorted(gudgeon.__all__)
    assert all(getattr(gudgeon, name) for name in gudgeon.__all__)
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        _ = gudgeon.nothing


def test_take(home):
    from gudgeon import take

    (home / "n.txt").write_text("gearbox lid bolts at 24 newton metres\n")
    with Record.open(home / "r") as record:
        taken = take(record, home / "n.txt")
        assert record.entries(taken.session.id)[0].entry.torques[0].nm == 24.0
