"""How the record behaves as it grows: find, brief's questions and adding a note, beside a bare full-text query of SQLite in the same run.

    .venv/bin/python benchmarks/record_scale.py [ENTRIES ...]     (10000 100000 when none are named; 1000000 takes some minutes)

Every entry has its own note; its words come from at least 20,000 distinct terms, and one query in three carries a slip of spelling.
"""

import random
import statistics
import sys
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

from gudgeon.domain import Entry, Judgement, Note, TorqueDone, Verdict
from gudgeon.record import Record, Search
from gudgeon.record.entries import entry_row
from gudgeon.record.pack import dump_entry, stamp

SYLLABLES = [a + b for a in (*"bcdfghklmnprstvw", "br", "cr", "dr", "st", "tr", "pl") for b in ("a", "e", "i", "o", "u", "ar", "en", "il", "on")]
KINDS = ("bolt", "nut", "stud", "screw", "plug", "union", "pin", "clamp")
PLACES = (None, None, "left", "right", "front", "rear", "upper", "lower")
UNITS = (("N*m", 1.0), ("lbf*ft", 1.3558179483), ("lbf*in", 0.1129848290))
QUERIES = 300
BATCH = 5000


def vocabulary(luck, size=24_000):
    """Invented part words, all different."""
    found = set()
    while len(found) < size:
        found.add("".join(luck.choice(SYLLABLES) for _ in range(luck.randint(2, 4))))
    return sorted(found)


def entries(luck, words, count):
    """Invented entries: a few parts come often, most seldom, as in a workshop."""
    for _ in range(count):
        part = f"{words[int(luck.paretovariate(0.6)) % len(words)]} {luck.choice(words)}"
        unit, factor = luck.choice(UNITS)
        value = float(luck.randint(5, 140))
        torque = TorqueDone(value=value, unit=unit, nm=round(value * factor, 4), note=0)
        yield Entry(part=part, place=luck.choice(PLACES), fastener=luck.choice(KINDS), count=luck.randint(1, 12), torques=(torque,), notes=(0,))


def fill(record, luck, words, count):
    """Write the entries in bulk, two hundred a session, through the record's own tables and triggers."""
    db, began = record._db, datetime(2020, 1, 1, tzinfo=UTC)
    db.execute("pragma synchronous = off")
    first = db.execute("select coalesce(max(id), 0) from entries").fetchone()[0]
    terms = {}
    for start in range(0, count, BATCH):
        with record.transaction():
            for at, entry in enumerate(entries(luck, words, min(BATCH, count - start)), start=start):
                number = first + at + 1
                if at % 200 == 0:
                    session = record.begin_session(started=began + timedelta(hours=number // 200), source=f"{number}.flac", recogniser="invented").id
                text = f"{entry.place or ''} {entry.part} {entry.fastener} at {entry.torques[0].value:g}".strip()
                verdict = Verdict(code="no reference", of="it", reason="There is no spec sheet.", torque=0)
                row = entry_row(entry, Judgement(verdicts=(verdict,)), [text]) | {
                    "session": session,
                    "position": at % 200,
                    "reading": dump_entry(entry),
                }
                note = (number, session, at % 200, at * 1.0, at + 0.9, text, stamp(began))
                db.execute('insert into notes (id, session, position, "start", "end", text, added) values (?, ?, ?, ?, ?, ?, ?)', note)
                db.execute(f"insert into entries ({', '.join(row)}) values ({', '.join('?' * len(row))})", list(row.values()))
                torque = entry.torques[0]
                db.execute("insert into entry_notes values (?, ?)", [number, number])
                cells = [number, 0, torque.value, torque.unit, torque.nm, "no reference"]
                db.execute("insert into torques (entry, position, value, unit, nm, verdict) values (?, ?, ?, ?, ?, ?)", cells)
                for word in text.split():
                    terms[word] = terms.get(word, 0) + 1
            db.execute("update sessions set settled = 200, state = 'finished'")
    with record.transaction():
        sql = "insert into terms values (?, ?) on conflict (term) do update set uses = uses + excluded.uses"
        db.conn.executemany(sql, [item for item in terms.items() if len(item[0]) > 2])
    db.execute("pragma synchronous = full")


def slip(luck, word):
    """A slip of spelling: two letters swapped, one lost or one doubled."""
    at = luck.randrange(1, len(word) - 1)
    return luck.choice((word[:at] + word[at + 1] + word[at] + word[at + 2 :], word[:at] + word[at + 1 :], word[:at] + word[at] + word[at:]))


def queries(luck, record):
    """Searches for entries that are there, one in three with a slip; some with a place, a fastener, or a range of torque."""
    last = record._db.execute("select max(id) from entries").fetchone()[0]
    for _ in range(QUERIES):
        part, fastener, nm = record._db.execute(
            "select part, fastener, nm from entries e join torques t on t.entry = e.id where e.id = ?", [luck.randint(1, last)]
        ).fetchone()
        words = part.split()
        if luck.random() < 1 / 3:
            words[1] = slip(luck, words[1])
        shape = luck.randrange(4)
        asked = words if shape else words[1:]
        if shape == 2:
            asked = [*asked, fastener]
        low, high = (nm * 0.9, nm * 1.1) if shape == 3 else (None, None)
        yield part, Search(words=tuple(asked), low_nm=low, high_nm=high)


def times(work, rounds):
    """Milliseconds of each round: median and 95th percentile."""
    spent = []
    for item in rounds:
        began = time.perf_counter()
        work(item)
        spent.append((time.perf_counter() - began) * 1000)
    return statistics.median(spent), sorted(spent)[int(len(spent) * 0.95)]


def bare(record, search):
    """What SQLite alone does: the same words, without slips, synonyms or values, ranked by bm25."""
    words = " AND ".join(f'"{word}"' for word in search.words)
    sql = "select rowid, words from entries_fts where entries_fts match ? order by rank limit 20"
    return record._db.execute(sql, [words]).fetchall()


def measure(count, folder):
    """One size: build it, then ask it."""
    luck = random.Random(7)
    words = vocabulary(luck)
    with Record.open(folder) as record:
        began = time.perf_counter()
        fill(record, luck, words, count)
        built = time.perf_counter() - began
        asked = list(queries(luck, record))
        right = sum(any(hit.entry and hit.entry.entry.part == part for hit in record.find(search)) for part, search in asked)
        searches = [search for _, search in asked]
        ours, raw = times(record.find, searches), times(lambda search: bare(record, search), searches)
        values = times(record.find, [Search(low_nm=value, high_nm=value + 2) for value in range(5, 100)])
        common = times(record.find, [Search(words=(word,)) for word in KINDS * 5])
        home = record.begin_session(started=datetime(2026, 5, 4, tzinfo=UTC), source="typed").id
        adding = times(lambda text: record.add_note(home, Note(text=text)), [f"{word} bolt at twenty" for word in words[:200]])
        terms = record._db.execute("select count(*) from terms").fetchone()[0]
    size = sum(path.stat().st_size for path in Path(folder).iterdir())
    print(f"{count:>9,} entries, {terms:,} terms, built in {built:.0f} s, {size / count:.0f} bytes an entry")
    for name, (middle, high) in (("find", ours), ("bare full text", raw), ("a range", values), ("a common word", common), ("add a note", adding)):
        print(f"          {name:<16}{middle:8.2f} ms median {high:8.2f} ms at 95 %")
    print(f"          the entry meant is among the first 20 for {right} of {len(asked)}")


if __name__ == "__main__":
    for asked_count in [int(text) for text in sys.argv[1:]] or [10_000, 100_000]:
        with tempfile.TemporaryDirectory(prefix="gudgeon-scale-") as place:
            measure(asked_count, place)
