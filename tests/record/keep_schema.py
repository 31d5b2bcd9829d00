"""Write a record of this schema to ``tests/tables/records/schema-N.sql``, to be kept when a migration is added. Not a test itself.

.venv/bin/python tests/record/keep_schema.py
"""

import tempfile
from pathlib import Path

from gudgeon import Record, add_note
from gudgeon.record import schema


def statements(record):
    """The tables as the migrations made them, then their rows; the search index fills itself."""
    rows = record._db.execute("select sql from sqlite_master where sql is not null and name not like '%_fts_%' and name not like 'sqlite_%'")
    yield from (sql for (sql,) in rows.fetchall())
    for line in record._db.conn.iterdump():
        table = line.split('"')[1] if line.startswith('INSERT INTO "') else ""
        if table and "_fts" not in table and not table.startswith("sqlite_"):
            yield line.rstrip(";")
    yield f"pragma user_version = {schema.VERSION}"


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder, Record.open(folder) as opened:
        add_note(opened, "gearbox lid bolts at 24 newton metres")
        text = ";\n".join(statements(opened)) + ";\n"
    target = Path(__file__).parents[1] / "tables" / "records" / f"schema-{schema.VERSION}.sql"
    target.parent.mkdir(exist_ok=True)
    target.write_text(text, encoding="utf-8")
