#!/usr/bin/env python3
"""Score a reader of notes against labelled notes or labelled sessions.

    score.py NOTES.jsonl    [--command "gudgeon parse"]
    score.py SESSIONS.jsonl [--command "gudgeon parse --session"]

Notes: the command gets one note a line on standard input and prints one JSON object a line (design/facts.md).
Sessions: notes one a line, an empty line after each session; it prints one JSON object a session with "entries".

A labelled fact and a read fact match when they are of one kind and every key field agrees: numbers to one part in a thousand,
names when they hold the same content words, give or take one. Each fact matches at most once. A labelled fact with
"optional": true is right when read and no loss when not. Other fields of matched facts are counted apart ("fields").
"Invented" are torques whose value or unit nobody applied. "Elsewhere" are right torques tied to a wrong part.

Floors make the exit status 1 when they are not met:
    --floor KIND=F1  --precision KIND=P  --recall KIND=R  --field FIELD=SHARE  --invented N  --elsewhere N   (KIND may be "all")
"""

from __future__ import annotations

import argparse
import collections
import json
import shlex
import subprocess
import sys
from pathlib import Path

KEYS = {
    "torque": ("value", "unit", "angle_deg", "stage"),
    "angle": ("angle_deg",),
    "tool": ("tool", "size", "size_unit"),
    "fastener": ("fastener", "count", "thread", "length_mm", "grade"),
    "part": ("name",),
    "compound": ("compound", "strength"),
    "action": ("action",),
    "condition": ("condition",),
    "measure": ("value", "unit"),
    "buy": ("item",),
    "mark": (),
    "question": (),
    "assumption": (),
    "todo": (),
}
FIELDS = {
    "torque": ("hedged", "replaces", "low", "high", "part", "place"),
    "angle": ("stage", "part"),
    "part": ("place", "state"),
    "action": ("status",),
    "measure": ("quantity",),
    "buy": ("count",),
}
WORDY = {"name", "item", "part", "quantity", "place"}
STOP = {"the", "a", "an", "of", "and", "for", "on", "side", "hand"}
NUMBERS = {"one": "1", "two": "2", "three": "3", "four": "4", "number": "", "no": "", "#": ""}


def words(text: object) -> frozenset[str]:
    """Content words, singular, as a set."""
    found = (w.strip(".,'\"").lower() for w in str(text).replace("-", " ").split())
    found = (NUMBERS.get(w, w) for w in found)
    return frozenset(w[:-1] if len(w) > 3 and w.endswith("s") and not w.endswith("ss") else w for w in found if w) - STOP


def same(field: str, wanted: object, got: object) -> bool:
    """Whether one field agrees; a labelled list means any of its values will do."""
    if isinstance(wanted, list):
        return any(same(field, w, got) for w in wanted)
    if wanted in (None, False) or got in (None, False):
        return wanted in (None, False) and got in (None, False)
    if field in WORDY:
        w, g = words(wanted), words(got)
        return bool(w and g) and (w <= g or g <= w) and len(w ^ g) <= 1
    if isinstance(wanted, (int, float)) and isinstance(got, (int, float)):
        return abs(wanted - got) <= 1e-3 * max(abs(wanted), abs(got), 1e-9)
    return str(wanted).casefold() == str(got).casefold()


def pair(wanted: list[dict], got: list[dict], keys: dict) -> tuple[list[tuple[dict, dict]], list[dict], list[dict]]:
    """Pairs that agree, labelled facts missed, and read facts that are wrong."""
    left, pairs, missed = [g for g in got if g.get("kind") in keys], [], []
    for fact in sorted(wanted, key=lambda f: bool(f.get("optional"))):
        kind = fact["kind"]
        fits = [g for g in left if g["kind"] == kind and all(same(f, fact.get(f), g.get(f)) for f in keys[kind])]
        extra = FIELDS.get(kind, ())
        hit = max(fits, key=lambda g: sum(same(f, fact.get(f), g.get(f)) for f in extra), default=None)
        if hit is not None:
            left.remove(hit)
        if fact.get("optional"):
            continue
        if hit is None:
            missed.append(fact)
        else:
            pairs.append((fact, hit))
    return pairs, missed, left


class Tally:
    """Hits, misses, wrong ones by kind, and shares of fields that are right."""

    def __init__(self) -> None:
        self.kind = collections.defaultdict(lambda: [0, 0, 0])
        self.field = collections.defaultdict(lambda: [0, 0])
        self.invented = self.elsewhere = 0

    def rates(self, kind: str) -> tuple[float, float, float]:
        rows = list(self.kind.values()) if kind == "all" else [self.kind[kind]]
        hit, missed, wrong = (sum(r[i] for r in rows) for i in range(3))
        p, r = hit / (hit + wrong) if hit + wrong else 1.0, hit / (hit + missed) if hit + missed else 1.0
        return p, r, 2 * p * r / (p + r) if p + r else 0.0

    def share(self, field: str) -> float:
        right, of = self.field[field]
        return right / of if of else 1.0


def value_of(torque: dict) -> tuple:
    return (torque.get("value"), torque.get("unit"))


def is_near(a: tuple, b: tuple) -> bool:
    return same("value", a[0], b[0]) and same("unit", a[1], b[1])


def score_note(tally: Tally, note: dict, row: dict, only: str | None) -> tuple[list[dict], list[dict]]:
    wanted = [f for f in note["facts"] if only in (None, f["kind"])]
    got = [f for f in row["facts"] if only in (None, f.get("kind"))]
    for fact in got:
        start, end = fact.get("span") or (0, 0)
        if not 0 <= start < end <= len(note["text"]):
            sys.exit(f"{note['id']}: the span {fact.get('span')} of {fact} is not inside the text")
    pairs, missed, wrong = pair(wanted, got, KEYS)
    for place, facts in ((0, [f for f, _ in pairs]), (1, missed), (2, wrong)):
        for fact in facts:
            tally.kind[fact["kind"]][place] += 1
    for fact, hit in pairs:
        for field in FIELDS.get(fact["kind"], ()):
            if fact.get(field) not in (None, False) or hit.get(field) not in (None, False):
                tally.field[f"{fact['kind']}.{field}"][1] += 1
                tally.field[f"{fact['kind']}.{field}"][0] += same(field, fact.get(field), hit.get(field))
        if fact["kind"] == "torque" and hit.get("part") and not same("part", fact.get("part"), hit["part"]):
            tally.elsewhere += 1
    said = [value_of(f) for f in wanted if f["kind"] == "torque"]
    tally.invented += sum(f["kind"] == "torque" and not any(is_near(value_of(f), s) for s in said) for f in wrong)
    return missed, wrong


def score_session(tally: Tally, session: dict, row: dict, only: str | None) -> tuple[list[dict], list[dict]]:
    """Every applied torque must stand in the entry of its part and place, and nowhere else."""

    def flat(entries: list[dict]) -> list[dict]:
        return [
            {"kind": "torque", "part": e.get("part"), "place": e.get("place"), **{k: t.get(k) for k in ("value", "unit", "angle_deg", "stage")}}
            for e in entries
            for t in e.get("torques") or []
        ]

    keys = {"torque": ("value", "unit", "part", "place")}
    wanted, got = flat(session["entries"]), flat(row["entries"])
    pairs, missed, wrong = pair(wanted, got, keys)
    for place, facts in ((0, [f for f, _ in pairs]), (1, missed), (2, wrong)):
        tally.kind["torque"][place] += len(facts)
    for fact, hit in pairs:
        for field in ("angle_deg", "stage"):
            if fact.get(field) is not None or hit.get(field) is not None:
                tally.field[f"torque.{field}"][1] += 1
                tally.field[f"torque.{field}"][0] += same(field, fact.get(field), hit.get(field))
    for fact in wrong:
        tally.invented += not any(is_near(value_of(fact), value_of(w)) for w in wanted)
        tally.elsewhere += any(is_near(value_of(fact), value_of(w)) for w in wanted)
    left = list(row["entries"])
    for entry in session["entries"]:
        fits = [e for e in left if same("part", entry.get("part"), e.get("part")) and same("place", entry.get("place"), e.get("place"))]
        twin = max(fits, key=lambda e: sum(same(f, entry.get(f), e.get(f)) for f in ("fastener", "thread", "count")), default=None)
        if twin is not None:
            left.remove(twin)
        got_facts = twin or {}
        for field in ("fastener", "count", "thread"):
            if entry.get(field) is not None:
                tally.field[f"entry.{field}"][1] += 1
                tally.field[f"entry.{field}"][0] += same(field, entry[field], got_facts.get(field))
        for field in ("tool", "compound"):
            if entry.get(field):
                mine = got_facts.get(field) or {}
                tally.field[f"entry.{field}"][1] += 1
                tally.field[f"entry.{field}"][0] += all(same(k, v, mine.get(k)) for k, v in entry[field].items())
        for field, of in (("angles", "angle_deg"), ("measures", "value")):
            for item in entry.get(field) or []:
                tally.field[f"entry.{field}"][1] += 1
                tally.field[f"entry.{field}"][0] += any(same(of, item.get(of), g.get(of)) for g in got_facts.get(field) or [])
        for condition in entry.get("conditions") or []:
            tally.field["entry.conditions"][1] += 1
            tally.field["entry.conditions"][0] += condition in (got_facts.get("conditions") or [])
    return missed, wrong


def floors(items: list[str]) -> dict[str, float]:
    return {k: float(v) for k, v in (item.split("=") for item in items)}


def main() -> int:
    cli = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    cli.add_argument("corpus")
    cli.add_argument("--command")
    cli.add_argument("--kind", help="show and count this kind only")
    cli.add_argument("--show", type=int, default=0, help="print this many cases that went wrong")
    for name in ("floor", "precision", "recall", "field"):
        cli.add_argument(f"--{name}", action="append", default=[], metavar="NAME=LEAST")
    for name in ("invented", "elsewhere"):
        cli.add_argument(f"--{name}", type=int, metavar="MOST")
    args = cli.parse_args()

    cases = [json.loads(line) for line in Path(args.corpus).read_text(encoding="utf-8").splitlines() if line.strip()]
    sessions = "entries" in cases[0]
    command = args.command or ("gudgeon parse --session" if sessions else "gudgeon parse")
    blocks = ["\n".join(c.get("notes") or c["lines"]) + "\n\n" for c in cases] if sessions else [c["text"] + "\n" for c in cases]
    text = "".join(blocks)
    run = subprocess.run(shlex.split(command), input=text, capture_output=True, text=True)
    rows = [json.loads(line) for line in run.stdout.splitlines() if line.strip()]
    if run.returncode or len(rows) != len(cases):
        sys.exit(f"{command!r} gave {len(rows)} rows for {len(cases)}, status {run.returncode}\n{run.stderr[-2000:]}")

    tally, shown = Tally(), 0
    for case, row in zip(cases, rows, strict=True):
        missed, wrong = (score_session if sessions else score_note)(tally, case, row, args.kind)
        if (missed or wrong) and shown < args.show:
            shown += 1
            print(f"{case['id']}: {case.get('text') or ' / '.join(case.get('notes') or case['lines'])}")
            for title, facts in (("missed", missed), ("wrong ", wrong)):
                for fact in facts:
                    print("  ", title, {k: v for k, v in fact.items() if v is not None and k not in ("span", "rule")})

    print(f"{'kind':<12}{'labelled':>9}{'precision':>11}{'recall':>8}{'F1':>7}")
    for kind in [*(k for k in KEYS if k in tally.kind), "all"]:
        p, r, f = tally.rates(kind)
        of = sum(v[0] + v[1] for v in tally.kind.values()) if kind == "all" else sum(tally.kind[kind][:2])
        print(f"{kind:<12}{of:>9}{p:>11.3f}{r:>8.3f}{f:>7.3f}")
    print("fields      " + ", ".join(f"{k} {v[0]}/{v[1]}" for k, v in sorted(tally.field.items())))
    print(f"torques invented {tally.invented}, tied to a wrong part {tally.elsewhere}")

    short = [
        f"{k} {name}"
        for name, i in (("precision", 0), ("recall", 1), ("floor", 2))
        for k, least in floors(getattr(args, name)).items()
        if tally.rates(k)[i] < least
    ]
    short += [k for k, least in floors(args.field).items() if tally.share(k) < least]
    short += [name for name in ("invented", "elsewhere") if getattr(args, name) is not None and getattr(tally, name) > getattr(args, name)]
    if short:
        print("short of the floor:", ", ".join(short))
    return 1 if short else 0


if __name__ == "__main__":
    sys.exit(main())
