"""How well and how fast the embedded recogniser reads the trade: 80 labelled notes in five voices, clean and in shop noise, and a person.

    .venv/bin/python benchmarks/hearing/measure.py [--parts main,person,…] [--only t025,…] [--show] [--again]

Results are kept in benchmarks/results/hearing_rows.jsonl as they come: after Ctrl-C or a kill the same command goes on; ``--show`` only
makes the tables of what is there, ``--only`` reads the sounds of these names anew, after a rule that touches them was changed. Prints Markdown
and keeps it in benchmarks/results/hearing.md.

Forms: `plain` is the model as it comes, `rebuilt` the rebuilt graphs, `phrases` the rebuilt graphs with the built-in phrases and those of a
spec sheet that was not made from the notes (what `gudgeon take` does), `peer` is moonshine-voice's own transcriber on the same model files.
Every form gets the whole sound; ours goes through our gate, which its time includes. A clip is read once by each
form; where no time is compared, on one thread. The texts are read for facts when the tables are made. A torque is right when value and unit are;
it is marked when it has other readings, is a guess, or has no unit.
Wall clock was taken on two cores that were busy with much other work; ratios are of processor time, which that hardly moves (medians over sounds).
No human speech of the trade was at hand: the notes are synthetic voices, the noise is made by a sum.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))

from forms import OURS, PEER, Read, form  # noqa: E402
from jobs import PARTS, TIMED, Row, as_line, jobs, kept  # noqa: E402
from sounds import notes, speak  # noqa: E402

from gudgeon.domain.sound import SAMPLE_RATE  # noqa: E402
from tables import all_tables  # noqa: E402

RESULTS = HERE.parent / "results" / "hearing.md"
ROWS = HERE.parent / "results" / "hearing_rows.jsonl"


def measured(parts: list[str], path: Path, only: frozenset[str] = frozenset()) -> dict[str, Row]:
    """Everything asked for; what earlier runs have read is taken as it is, but for the names in ``only``: these alone are read, and anew."""
    path.parent.mkdir(parents=True, exist_ok=True)
    rows, forms = kept(path), {}
    with path.open("a", encoding="utf-8") as out:
        for job in jobs(parts):
            if (job.name not in only) if only else (job.key in rows):
                continue
            way = (job.form, job.of in TIMED)
            if way not in forms:
                forms[way] = _warm(form(job.form, timed=job.of in TIMED))
            sound = job.sound()
            row = Row(job, len(sound) / SAMPLE_RATE, forms[way](sound))
            rows[job.key] = row
            print(as_line(row), file=out, flush=True)
            print(f"\r{len(rows)} read", end="", file=sys.stderr)
    return rows


def _warm(read: Read) -> Read:
    read(speak(notes()[1], "slt"))
    return read


def peak_mb(name: str) -> float:
    """Peak memory of a process that reads three notes in this form, a long one among them."""
    run = subprocess.run([sys.executable, __file__, "--memory", name], capture_output=True, text=True, check=True)
    return float(run.stdout) / 1000


def _print_memory(name: str) -> None:
    read = form(name)
    for said in (*notes()[1:3], max(notes(), key=lambda said: len(said.text))):
        read(speak(said, "slt"))
    # not getrusage: there a child's peak begins with its parent's
    print(next(line.split()[1] for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM")))


def main() -> None:
    """See the module's text."""
    options = argparse.ArgumentParser(description=(__doc__ or "").split("\n\n")[0])
    options.add_argument("--parts", default=",".join(PARTS), help=f"of {', '.join(PARTS)}")
    options.add_argument("--rows", type=Path, default=ROWS, help="where results are kept")
    options.add_argument("--only", default="", help="names of notes to read anew")
    options.add_argument("--show", action="store_true", help="read nothing more, make the tables of what is there")
    options.add_argument("--again", action="store_true", help="forget earlier results")
    options.add_argument("--memory", choices=(*OURS, PEER), help=argparse.SUPPRESS)
    chosen = options.parse_args()
    if chosen.memory:
        _print_memory(chosen.memory)
        return
    if chosen.again:
        chosen.rows.unlink(missing_ok=True)
    rows = kept(chosen.rows) if chosen.show else measured(chosen.parts.split(","), chosen.rows, frozenset(chosen.only.split(",")) - {""})
    text = "\n".join(all_tables(list(rows.values()), {name: peak_mb(name) for name in (*OURS, PEER)}))
    print(text)
    how = (__doc__ or "").split("\n\n")[-1]
    RESULTS.write_text(f"# Hearing\n\nMade by `benchmarks/hearing/measure.py`.\n\n{how}\n{text}\n", encoding="utf-8")


if __name__ == "__main__":
    main()
