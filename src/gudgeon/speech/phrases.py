"""The built-in list of phrases: units as they are said, threads, tools, parts and other words of the trade."""

from __future__ import annotations

import csv
from collections.abc import Sequence

from gudgeon.domain import BadTable


def read_phrases(lines: Sequence[str]) -> list[str]:
    """The phrases of a table with the columns ``phrase`` and ``kind``, in its order. Raises BadTable when the first is missing."""
    rows = csv.DictReader(lines)
    if "phrase" not in (rows.fieldnames or ()):
        raise BadTable("The list of phrases has no column called 'phrase'.")
    return [row["phrase"].strip() for row in rows if row["phrase"] and row["phrase"].strip()]
