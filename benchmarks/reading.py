"""How well and how fast notes are read: our reader on the labelled notes and sessions of all trades, three general readers beside it.

    .venv/bin/python benchmarks/reading.py [--no-peers] [--rounds 3]

Prints Markdown and keeps it in benchmarks/results/reading.md. The peers are installed, at the versions in benchmarks/peers.txt, into
benchmarks/work/peers-venv and nowhere else; without a network and without that folder their rows say so.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent
sys.path.insert(0, str(ROOT / "tests"))

import score  # noqa: E402  (the scorer of the tests, beside its tables)
from reading_judge import Labelled, Reading, in_our_units, judged, wanted_values  # noqa: E402

TABLES = ROOT / "tests" / "tables"
TRADES: dict[str, tuple[str, ...]] = {"tractor": ("tractor.jsonl", "tractor_sessions.jsonl")} | {
    trade: (f"{trade}_notes.jsonl", f"{trade}_sessions.jsonl") for trade in ("bicycle", "press", "boat", "lathe", "moto", "clock")
}
TRADES["mixed"] = ("mixed_notes.jsonl",)
TRADES["bench"] = ("bench_notes.jsonl",)
TRADES["yard"] = ("yard_notes.jsonl", "yard_sessions.jsonl")
TRADES["club"] = ("club_notes.jsonl", "club_sessions.jsonl")
TRADES["cafe"] = ("cafe_notes.jsonl", "cafe_sessions.jsonl")
TRADES["van"] = ("van_notes.jsonl", "van_sessions.jsonl")
TRADES["mill"] = ("mill_sessions.jsonl",)
TRADES["fair"] = ("fair_sessions.jsonl",)
TRADES["apart"] = ("apart_notes.jsonl", "apart_sessions.jsonl")
TRADES["trades"] = ("trades_sessions.jsonl",)
TRADES["unread"] = ("unread_sessions.jsonl",)
"""The files of each trade: its notes, its sessions, or both. Nobody who writes rules reads the unread ones: they only measure."""
PEER_TRADE = "tractor"
BASIS = """\
The {notes} notes of the {trade} corpus hold {of} torques and measures said with a unit. Right: value and unit agree. Wrong: a size was
reported that the note does not hold as torque, measure, tool size, thread, length or turn: a value taken back, a wrong unit, chatter.
The peers do not claim to know what a figure was for, so tool sizes, lengths and turns are not held against them, nor are plain numbers,
money, times and distances by road; every name they have for foot pounds or inch pounds is accepted. text2digits knows no units: its
figures alone are compared. Notes a second: processor time of one core after start-up, the quickest of {rounds} rounds, in this one run."""
MAIN_KINDS = ("all", "torque", "tool", "measure")


def labelled(name: str) -> list[Labelled]:
    """The labelled notes or sessions of one file."""
    return [json.loads(line) for line in (TABLES / name).read_text(encoding="utf-8").splitlines() if line.strip()]


def parsed(lines: str, *options: str) -> list[Labelled]:
    """What ``gudgeon parse`` prints for these lines."""
    run = subprocess.run([sys.executable, "-m", "gudgeon", "parse", *options], input=lines, capture_output=True, text=True, check=True)
    return [json.loads(line) for line in run.stdout.splitlines() if line.strip()]


def note_rows(notes: Sequence[Labelled]) -> list[Labelled]:
    """What our reader makes of each labelled note."""
    return parsed("".join(note["text"] + "\n" for note in notes))


def scored_notes(notes: Sequence[Labelled], rows: Sequence[Labelled]) -> score.Tally:
    """The scorer's tally of one trade's notes."""
    tally = score.Tally()
    for note, row in zip(notes, rows, strict=True):
        score.score_note(tally, note, row, None)
    return tally


def scored_sessions(sessions: Sequence[Labelled]) -> score.Tally:
    """The scorer's tally of one trade's sessions."""
    rows = parsed("".join("\n".join(each["notes"]) + "\n\n" for each in sessions), "--session")
    tally = score.Tally()
    for session, row in zip(sessions, rows, strict=True):
        score.score_session(tally, session, row, None)
    return tally


def table(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> list[str]:
    """A Markdown table; all columns but the first are set right."""
    return [
        "| " + " | ".join(heads) + " |",
        "| --- |" + " ---: |" * (len(heads) - 1),
        *("| " + " | ".join(str(cell) for cell in row) + " |" for row in rows),
        "",
    ]


def rate(tally: score.Tally, kind: str) -> str:
    """Precision / recall / F1."""
    return " / ".join(f"{value:.3f}" for value in tally.rates(kind))


def notes_part(tallies: dict[str, score.Tally], counts: dict[str, int]) -> list[str]:
    """Scores of the notes of all trades."""
    heads = ["trade", "notes", *MAIN_KINDS, "torques invented", "tied to a wrong part"]
    rows = [[trade, counts[trade], *(rate(t, kind) for kind in MAIN_KINDS), t.invented, t.elsewhere] for trade, t in tallies.items()]
    kinds = [
        [kind, *(f"{t.rates(kind)[2]:.3f} ({sum(t.kind[kind][:2])})" if kind in t.kind else "–" for t in tallies.values())] for kind in score.KEYS
    ]
    fields = sorted({field for t in tallies.values() for field in t.field})
    shares = [[field, *(f"{t.field[field][0]}/{t.field[field][1]}" if field in t.field else "–" for t in tallies.values())] for field in fields]
    return [
        "## Notes",
        "",
        "Precision / recall / F1 of `gudgeon parse` by `tests/score.py`.",
        "",
        *table(heads, rows),
        "F1 by kind (how many are labelled):",
        "",
        *table(["kind", *tallies], kinds),
        "Other fields of facts that were found, right of all:",
        "",
        *table(["field", *tallies], shares),
    ]


def sessions_part(tallies: dict[str, score.Tally], counts: dict[str, int]) -> list[str]:
    """Scores of the sessions of all trades."""
    heads = ["trade", "sessions", "torques, each at its joint", "invented", "tied to a wrong joint"]
    rows = [[trade, counts[trade], rate(t, "torque"), t.invented, t.elsewhere] for trade, t in tallies.items()]
    fields = sorted({field for t in tallies.values() for field in t.field})
    shares = [[field, *(f"{t.field[field][0]}/{t.field[field][1]}" if field in t.field else "–" for t in tallies.values())] for field in fields]
    return ["## Sessions", "", "`gudgeon parse --session`.", "", *table(heads, rows), *table(["field", *tallies], shares)]


def seconds(work: Callable[[], object], rounds: int) -> float:
    """Processor seconds of the quickest of some rounds, after one that is not counted."""
    work()
    taken = []
    for _ in range(rounds):
        started = time.process_time()
        work()
        taken.append(time.process_time() - started)
    return min(taken)


def our_speed(notes: Sequence[Labelled], rounds: int) -> float:
    """Notes a second of the reader, once it is loaded."""
    from gudgeon.cli.wiring import tables
    from gudgeon.facts import Reader
    from gudgeon.units import UnitWords

    reader = Reader.from_tables(tables("facts"), UnitWords.from_tables(tables("units")))
    return len(notes) / seconds(lambda: [reader.read(note["text"]) for note in notes], rounds)


def child_seconds(command: Sequence[str], text: str = "") -> tuple[float, float]:
    """Wall and processor seconds of one run of a command."""
    before, started = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(command, input=text, text=True, capture_output=True, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.perf_counter() - started, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def start_part() -> list[str]:
    """What a person waits for one line, beside what the heaviest library takes; the two take turns."""
    one, spacy = [], []
    for _ in range(7):
        one.append(child_seconds([sys.executable, "-m", "gudgeon", "parse"], "sump plug thirty newton metres\n"))
        spacy.append(child_seconds([sys.executable, "-c", "import spacy"]))
    ours, theirs = ([min(run[i] for run in runs) for i in (0, 1)] for runs in (one, spacy))
    rows = [
        ["`gudgeon parse` on one line", *(f"{value:.2f}" for value in ours)],
        ["`import spacy` alone", *(f"{value:.2f}" for value in theirs)],
        ["difference", *(f"{a - b:.2f}" for a, b in zip(ours, theirs, strict=True))],
    ]
    return ["## Start-up", "", "Seconds, the quickest of seven, taken in turns.", "", *table(["what", "wall", "processor"], rows)]


def peers_python() -> Path:
    """The peers' own interpreter; the environment is made when it is not there or its list has changed."""
    folder = HERE / "work" / "peers-venv"
    python, wanted, stamp = folder / "bin" / "python", (HERE / "peers.txt").read_text(encoding="utf-8"), folder / "installed.txt"
    if not stamp.exists() or stamp.read_text(encoding="utf-8") != wanted:
        print("installing the peers into benchmarks/work/peers-venv …", file=sys.stderr)
        subprocess.run([sys.executable, "-m", "venv", str(folder)], check=True)
        subprocess.run([str(python), "-m", "pip", "install", "-q", "--no-deps", "-r", str(HERE / "peers.txt")], check=True)
        stamp.write_text(wanted, encoding="utf-8")
    return python


def peers_run(notes: Sequence[Labelled], rounds: int) -> dict[str, Labelled]:
    """What each peer read in each note, and its quickest round."""
    command = [str(peers_python()), str(HERE / "reading_peers.py"), str(rounds)]
    run = subprocess.run(command, input=json.dumps([note["text"] for note in notes]), capture_output=True, text=True, check=True)
    return json.loads(run.stdout)


def our_readings(rows: Sequence[Labelled]) -> list[list[Reading]]:
    """Our torques and measures that have a unit."""
    return [[(fact["value"], fact["unit"]) for fact in row["facts"] if fact["kind"] in ("torque", "measure") and fact["unit"]] for row in rows]


def peers_part(notes: Sequence[Labelled], rows: Sequence[Labelled], speed: float, rounds: int) -> list[str]:
    """Right and wrong values and speed, ours and the peers'."""
    right, wrong = judged(notes, our_readings(rows))
    lines: list[list[object]] = [["gudgeon", right, wrong, f"{speed:,.0f}"]]
    try:
        peers = peers_run(notes, rounds)
    except (OSError, subprocess.CalledProcessError) as error:
        return ["## Beside other readers", "", f"Not measured: the peers could not be installed or run ({type(error).__name__}).", ""]
    for name, each in peers.items():
        reads_units = name != "text2digits"
        right, wrong = judged(notes, in_our_units(each["rows"]) if reads_units else each["rows"], with_unit=reads_units)
        lines.append(
            [
                f"{name} {each['version']}",
                right if reads_units else f"{right} figures",
                wrong if reads_units else "–",
                f"{len(notes) / each['seconds']:,.0f}",
            ]
        )
    of = sum(len(wanted_values(note)) for note in notes)
    return [
        "## Beside other readers",
        "",
        BASIS.format(notes=len(notes), trade=PEER_TRADE, of=of, rounds=rounds),
        "",
        *table(["reader", "right", "wrong", "notes/s"], lines),
    ]


def machine() -> str:
    """The processor, the cores and the Python, without names of hosts."""
    info = Path("/proc/cpuinfo")
    models = [line.split(":", 1)[1].strip() for line in info.read_text().splitlines() if line.startswith("model name")] if info.exists() else []
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], cwd=ROOT, capture_output=True, text=True, check=False).stdout.strip()
    changed = subprocess.run(["git", "status", "--porcelain", "src"], cwd=ROOT, capture_output=True, text=True, check=False).stdout.strip()
    commit = f"{commit} with changes not yet committed" if changed else commit
    return f"{models[0] if models else platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, commit {commit or 'unknown'}"


def main() -> None:
    """Measure, print and keep."""
    cli = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    cli.add_argument("--no-peers", action="store_true", help="only our own figures")
    cli.add_argument("--rounds", type=int, default=3)
    args = cli.parse_args()
    notes = {trade: labelled(file) for trade, files in TRADES.items() for file in files if "sessions" not in file}
    sessions = {trade: labelled(file) for trade, files in TRADES.items() for file in files if "sessions" in file}
    rows = {trade: note_rows(each) for trade, each in notes.items()}
    speed = our_speed([note for each in notes.values() for note in each], args.rounds)
    parts = [
        "# How well notes are read",
        "",
        f"Made by `benchmarks/reading.py` on: {machine()}.",
        "",
        "What the rules scored when they first met the other trades: [first_scores.md](first_scores.md).",
        "",
    ]
    parts += notes_part({trade: scored_notes(each, rows[trade]) for trade, each in notes.items()}, {t: len(n) for t, n in notes.items()})
    parts += sessions_part({trade: scored_sessions(each) for trade, each in sessions.items()}, {t: len(s) for t, s in sessions.items()})
    parts += [f"The reader alone: {speed:,.0f} notes a second on one core, after start-up, over the notes of all trades.", ""]
    parts += start_part()
    if not args.no_peers:
        parts += peers_part(notes[PEER_TRADE], rows[PEER_TRADE], our_speed(notes[PEER_TRADE], args.rounds), args.rounds)
    text = "\n".join(parts)
    print(text)
    results = HERE / "results" / "reading.md"
    results.parent.mkdir(exist_ok=True)
    results.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
