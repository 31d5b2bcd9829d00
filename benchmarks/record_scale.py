"""How the record behaves as it grows: find, brief and adding a note, beside a bare full-text query of SQLite in the same run.

    .venv/bin/python benchmarks/record_scale.py [ENTRIES ...]            (10000 100000 when none are named; 1000000 takes a quarter of an hour)
    .venv/bin/python benchmarks/record_scale.py --keep 10000 100000 1000000     also writes benchmarks/results/record.md

Every entry has its own note; its words come from more than 20,000 distinct terms, and one query in three carries a slip of spelling. The
entries belong to a hundred jobs, each with a spec sheet of forty rows, two hundred open items, two entries in a hundred on the sheet and five
in a hundred with a value to verify. From the hundred-thousandth on they are copies of those before, a year later each time.
"""

import os
import platform
import random
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from gudgeon import add_note
from gudgeon.audio import Keeper, decode
from gudgeon.checks import read_spec
from gudgeon.cli.brief import view_of
from gudgeon.domain import SAMPLE_RATE, Entry, Joint, Judgement, Note, OpenItem, TorqueDone, Verdict
from gudgeon.record import Record, Search
from gudgeon.record.entries import entry_row
from gudgeon.record.pack import stamp
from gudgeon.record.words import entry_words
from gudgeon.reports import brief

REPOSITORY = Path(__file__).resolve().parents[1]
RESULTS = REPOSITORY / "benchmarks" / "results" / "record.md"
SYLLABLES = [a + b for a in (*"bcdfghklmnprstvw", "br", "cr", "dr", "st", "tr", "pl") for b in ("a", "e", "i", "o", "u", "ar", "en", "il", "on")]
KINDS = ("bolt", "nut", "stud", "screw", "plug", "union", "pin", "clamp")
PLACES = (None, None, "left", "right", "front", "rear", "upper", "lower")
UNITS = (("N*m", 1.0), ("lbf*ft", 1.3558179483), ("lbf*in", 0.1129848290))
ITEM_KINDS = ("question", "verify", "todo", "buy", "fault")
QUERIES = 300
BATCH = 5000
JOBS, SHEET_ROWS, OPEN_ITEMS = 100, 40, 200
ON_SHEET, DOUBTFUL = 0.02, 0.05
BEGAN = datetime(2010, 1, 1, tzinfo=UTC)
ORIGINALS = 100_000
LIMITS = {"find": 30.0, "brief": 200.0, "store a note": 20.0}
"""Milliseconds that the 95th percentile is to stay under."""


def vocabulary(luck, size=24_000):
    """Invented part words, all different."""
    found = set()
    while len(found) < size:
        found.add("".join(luck.choice(SYLLABLES) for _ in range(luck.randint(2, 4))))
    return sorted(found)


def sheet_of(luck, words):
    """A spec sheet of forty joints."""
    rows = [f"{luck.choice(words)} {luck.choice(words)},bolt,{luck.randint(2, 8)},{luck.randint(10, 90)},N*m" for _ in range(SHEET_ROWS)]
    return "\n".join(["part,fastener,count,torque,unit", *rows])


def make_jobs(record, luck, words):
    """A hundred jobs, each with its sheet and its open items; the sheets, read."""
    sheets, home = [], record.begin_session(started=BEGAN, source="x.flac").id
    with record.transaction():
        for number in range(JOBS):
            name, text = f"job {number}", sheet_of(luck, words)
            record.new_job(name)
            sheets.append(read_spec(text.split("\n")))
            record.put_sheet(name="sheet.csv", text=text, sheet=sheets[-1], job=name)
            for at in range(OPEN_ITEMS):
                record.add_item(OpenItem(kind=ITEM_KINDS[at % len(ITEM_KINDS)], text=f"{luck.choice(words)} {luck.choice(words)}"), job=name)
    record.mark_session(home, state="finished")
    return sheets


def entries(luck, words, count):
    """Invented entries: a few parts come often, most seldom, as in a workshop."""
    for _ in range(count):
        part = f"{words[int(luck.paretovariate(0.6)) % len(words)]} {luck.choice(words)}"
        unit, factor = luck.choice(UNITS)
        value = float(luck.randint(5, 140))
        torque = TorqueDone(value=value, unit=unit, nm=round(value * factor, 4), hedged=luck.random() < DOUBTFUL, note=0)
        yield Entry(part=part, place=luck.choice(PLACES), fastener=luck.choice(KINDS), count=luck.randint(1, 12), torques=(torque,), notes=(0,))


def on_sheet(luck, entry, sheet):
    """Two entries in a hundred are of a joint of the job's sheet."""
    verdict = Verdict(code="no reference", of="it", reason="There is no spec sheet.", torque=0)
    if luck.random() >= ON_SHEET:
        return entry, Judgement(verdicts=(verdict,))
    row = luck.choice(sheet.rows)
    torque = TorqueDone(value=row.torque, unit=row.unit, nm=row.torque, note=0)
    entry = Entry(part=row.part, fastener=row.fastener, count=luck.randint(1, row.count), torques=(torque,), notes=(0,))
    verdict = Verdict(code="within", of="it", reason="It is what the sheet asks for.", torque=0)
    return entry, Judgement(verdicts=(verdict,), joint=Joint(row=row, score=1.0, why="the same name"))


NOTES = 'insert into notes (id, session, position, "start", "end", text, added) values (?, ?, ?, ?, ?, ?, ?)'
TORQUES = "insert into torques (entry, position, value, unit, nm, hedged, verdict) values (?, 0, ?, ?, ?, ?, ?)"


def copies(db, times):
    """What is there, so many times again, a year later each time, with numbers of their own."""
    sessions, notes = (db.execute(f"select max(id) from {table}").fetchone()[0] for table in ("sessions", "notes"))
    for year in range(1, times + 1):
        s, n = sessions * year, notes * year
        same = "seconds, source, recogniser, state, reached, settled"
        db.execute(
            f"""insert into sessions (id, uid, job, started, {same}) select id + {s}, uid || {year}, job,
                (substr(started, 1, 4) + {year}) || substr(started, 5), {same} from sessions where id <= {sessions}"""
        )
        columns = [row[1] for row in db.execute("pragma table_info(entries)").fetchall() if row[1] not in ("id", "session")]
        for table, names in (("notes", ["position", '"start"', '"end"', "text", "added"]), ("entries", columns)):
            kept = ", ".join(names)
            db.execute(f"insert into {table} (id, session, {kept}) select id + {n}, session + {s}, {kept} from {table} where id <= {notes}")
        db.execute(f"insert into entry_notes select entry + {n}, note + {n} from entry_notes where entry <= {notes}")
        kept = "position, value, unit, nm, hedged, verdict"
        db.execute(f"insert into torques (entry, {kept}) select entry + {n}, {kept} from torques where entry <= {notes}")


def fill(record, luck, words, count):
    """Write the entries in bulk, two hundred a session, through the record's own tables and triggers; ``ORIGINALS`` of them and then copies."""
    db = record._db
    db.execute("pragma synchronous = off")
    sheets, terms, job, session, times = make_jobs(record, luck, words), {}, 0, 0, count // ORIGINALS
    count = min(count, ORIGINALS)
    for start in range(0, count, BATCH):
        notes, rows, torques = [], [], []
        with record.transaction():
            for at, plain in enumerate(entries(luck, words, min(BATCH, count - start)), start=start):
                number = at + 1
                if at % 200 == 0:
                    job = (at // 200) % JOBS
                    moment = BEGAN + timedelta(hours=number // 200)
                    session = record.begin_session(started=moment, source=f"{number}.flac", recogniser="invented", job=f"job {job}").id
                entry, judgement = on_sheet(luck, plain, sheets[job])
                text = f"{entry.place or ''} {entry.part} {entry.fastener} at {entry.torques[0].value:g}".strip()
                row = {"id": number, "session": session, "position": at % 200}
                row |= entry_row(entry, judgement, entry_words(entry, judgement, [text]))
                rows.append(row | {"reading": row["body"]})
                notes.append((number, session, at % 200, at * 1.0, at + 0.9, text, stamp(BEGAN)))
                torque = entry.torques[0]
                torques.append((number, torque.value, torque.unit, torque.nm, int(torque.hedged), judgement.verdicts[0].code))
                for word in text.split():
                    terms[word] = terms.get(word, 0) + 1
            db.conn.executemany(NOTES, notes)
            db.conn.executemany(
                f"insert into entries ({', '.join(rows[0])}) values ({', '.join('?' * len(rows[0]))})", [list(r.values()) for r in rows]
            )
            db.conn.executemany("insert into entry_notes values (?, ?)", [(note[0], note[0]) for note in notes])
            db.conn.executemany(TORQUES, torques)
    with record.transaction():
        db.execute("update sessions set settled = (select count(*) from notes n where n.session = sessions.id), state = 'finished'")
        sql = "insert into terms values (?, ?) on conflict (term) do update set uses = uses + excluded.uses"
        db.conn.executemany(sql, [item for item in terms.items() if len(item[0]) > 2])
    with record.transaction():
        copies(db, times - 1)
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
    """Milliseconds of each round: median and 95th percentile on the clock, and the 95th percentile of the processor's own time."""
    spent, worked = [], []
    for item in rounds:
        began, busy = time.perf_counter(), time.process_time()
        work(item)
        spent.append((time.perf_counter() - began) * 1000)
        worked.append((time.process_time() - busy) * 1000)
    return statistics.median(spent), sorted(spent)[int(len(spent) * 0.95)], sorted(worked)[int(len(worked) * 0.95)]


def bare(record, search):
    """What SQLite alone does: the same words, without slips, synonyms or values, ranked by bm25."""
    words = " AND ".join(f'"{word}"' for word in search.words)
    sql = "select rowid, words from entries_fts where entries_fts match ? order by rank limit 20"
    return record._db.execute(sql, [words]).fetchall()


def cold(folder, *command):
    """Seconds of a whole command, started anew, the best of three."""
    spent = []
    for _ in range(3):
        began = time.perf_counter()
        subprocess.run([sys.executable, "-m", "gudgeon", *command, "--record", folder], check=True, capture_output=True)
        spent.append(time.perf_counter() - began)
    return min(spent)


def measure(count, folder):
    """One size: build it, then ask it; the lines of its table."""
    luck = random.Random(7)
    words = vocabulary(luck)
    with Record.open(folder) as record:
        began = time.perf_counter()
        fill(record, luck, words, count)
        built = time.perf_counter() - began
        asked = list(queries(luck, record))
        right = sum(any(hit.entry and hit.entry.entry.part == part for hit in record.find(search)) for part, search in asked)
        searches, jobs = [search for _, search in asked], [f"job {number}" for number in range(JOBS)]
        rows = {"find": times(record.find, searches), "bare SQLite full text": times(lambda search: bare(record, search), searches)}
        rows["find a range of torque"] = times(record.find, [Search(low_nm=value, high_nm=value + 2) for value in range(5, 100)])
        rows["find a wide range"] = times(record.find, [Search(low_nm=value, high_nm=120) for value in range(5, 100)])
        rows["find a common word"] = times(record.find, [Search(words=(word,)) for word in KINDS * 5])
        rows["find a common word in one job"] = times(record.find, [Search(words=(KINDS[at % 8],), job=job) for at, job in enumerate(jobs)])
        rows["brief"] = times(lambda job: brief(view_of(record, job)), jobs)
        home = record.begin_session(started=datetime(2026, 5, 4, tzinfo=UTC), source="typed").id
        rows["store a note"] = times(lambda text: record.add_note(home, Note(text=text)), [f"{word} bolt at twenty" for word in words[:200]])
        said = [f"{word} cover bolts at {at + 10} newton metres" for at, word in enumerate(words[:21])]
        add_note(record, "the reader is warm", job="job 0")
        rows["read, judge and store a typed note"] = times(lambda text: add_note(record, text, job="job 0"), said)
        terms = record._db.execute("select count(*) from terms").fetchone()[0]
    size = sum(path.stat().st_size for path in Path(folder).iterdir() if path.is_file())
    starts = {command[0]: cold(folder, *command) for command in (("find", words[0]), ("brief", "--job", "job 7"))}
    lines = [f"## {count:,} entries", "", f"{terms:,} terms, built in {built:.0f} s, {size / count:.0f} bytes an entry with its note and index.", ""]
    lines += ["| what | median, ms | 95 %, ms | 95 % of the processor's time, ms | to stay under |", "| --- | --- | --- | --- | --- |"]
    lines += [f"| {name} | {middle:.2f} | {high:.2f} | {busy:.2f} | {LIMITS.get(name, '')} |" for name, (middle, high, busy) in rows.items()]
    lines += ["", f"The entry that was meant is among the first twenty for {right} of {len(asked)}."]
    return [*lines, "From cold: " + ", ".join(f"`gudgeon {name}` {seconds:.2f} s" for name, seconds in starts.items()) + ".", ""]


def sound_an_hour():
    """Megabytes that an hour of sound takes, from the sample session kept as a session's sound is."""
    with tempfile.TemporaryDirectory() as folder:
        with Keeper(folder) as keeper:
            samples = np.concatenate(list(decode(REPOSITORY / "sample_audio" / "orchard_session.flac")))
            keeper.add(samples)
        size = sum(path.stat().st_size for path in Path(folder).iterdir())
    return size / len(samples) * SAMPLE_RATE * 3600 / 1e6


def main(sizes, keep):
    """Measure each size, print it, and keep the page when asked."""
    machine = f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}"
    lines = ["# The record as it grows", "", *__doc__.strip().split("\n\n")[-1].split("\n"), "", f"Measured on {machine}.", ""]
    lines += [f"An hour of sound takes {sound_an_hour():.0f} MB (FLAC, 16 kHz; from the sample session).", ""]
    for count in sizes:
        with tempfile.TemporaryDirectory(prefix="gudgeon-scale-") as place:
            found = measure(count, place)
        print("\n".join(found), flush=True)
        lines += found
        if keep:
            RESULTS.write_text("\n".join(lines).rstrip() + "\n", encoding="utf-8")


if __name__ == "__main__":
    main([int(text) for text in sys.argv[1:] if text.isdigit()] or [10_000, 100_000], "--keep" in sys.argv)
