"""The words that entries are found by, and the list of all terms ever stored, against which misspelt words are compared."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence

from gudgeon.domain import Entry, Judgement
from gudgeon.record.database import Database

SHORTEST_TERM = 3
TERM = re.compile(r"[^\W_]+")
UNIT_WORDS = {
    "N*m": "N·m nm newton metres",
    "N*cm": "N·cm ncm",
    "lbf*ft": "lb·ft lbft foot pounds",
    "lbf*in": "lb·in lbin inch pounds",
    "kgf*m": "kgf·m",
    "kgf*cm": "kgf·cm",
}


def terms_of(text: str) -> list[str]:
    """The terms of a text as the full-text index cuts it: lower case, letters and digits only, accents off."""
    plain = text.lower()
    if not plain.isascii():
        plain = "".join(letter for letter in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(letter))
    return TERM.findall(plain)


def words(text: str) -> frozenset[str]:
    """A set of words from a line of them."""
    return frozenset(text.split())


def count_terms(db: Database, text: str) -> None:
    """Add the words of a stored text to the list of known terms."""
    known = {term for term in terms_of(text) if len(term) >= SHORTEST_TERM and not term.isdigit()}
    db.conn.executemany(
        "insert into terms (term, uses) values (?, 1) on conflict (term) do update set uses = uses + 1", [(t,) for t in sorted(known)]
    )


def know_terms(db: Database, text: str) -> None:
    """See that the words of a text are known terms, without counting them."""
    known = {term for term in terms_of(text) if len(term) >= SHORTEST_TERM and not term.isdigit()}
    db.conn.executemany("insert or ignore into terms (term, uses) values (?, 0)", [(t,) for t in sorted(known)])


def thread_words(thread: str) -> str:
    """A thread and its size alone: ``M8x1.25 M8``."""
    return f"{thread} {thread.split('x')[0]}"


def entry_words(entry: Entry, judgement: Judgement, texts: Sequence[str]) -> str:
    """All that an entry can be found by, as one text: names, sizes, values, verdicts, and the words said."""
    return " ".join(_parts_of(entry, judgement, texts))


def _parts_of(entry: Entry, judgement: Judgement, texts: Sequence[str]) -> Iterable[str]:
    for name in (entry.part, entry.place, entry.fastener, entry.grade, entry.state):
        if name:
            yield name
    thread = entry.thread or (judgement.joint.row.thread if judgement.joint else None)
    if thread:
        yield thread_words(thread)
    if entry.torques:
        yield "torque"
    for torque in entry.torques:
        yield f"{torque.value:g} {UNIT_WORDS.get(torque.unit or '', torque.unit or '')}"
    for measure in entry.measures:
        yield f"{measure.quantity or ''} {measure.value:g} {measure.unit}"
    if entry.tool:
        yield f"{entry.tool.tool} {entry.tool.size or '':{'g' if entry.tool.size else ''}} {entry.tool.size_unit or ''}"
    if entry.compound:
        yield f"{entry.compound.compound} {entry.compound.strength or ''}"
    yield from entry.conditions
    yield from (verdict.code for verdict in judgement.verdicts)
    yield from (finding.code for finding in judgement.findings)
    yield from texts
