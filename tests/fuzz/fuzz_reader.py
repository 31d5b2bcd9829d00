"""Fuzz the reader of notes under coverage: no text may crash it, hang it, or give a fact whose span lies outside the text.

    make fuzz                 sixty seconds
    make fuzz SECONDS=600     longer

The seeds are the labelled notes. A text that fails is kept as a file in the folder below and its path is printed.
"""

import sys
import tempfile
import time
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["gudgeon"]):
    from gudgeon.cli import wiring
    from gudgeon.domain import fact_to_dict
    from gudgeon.facts import Reader
    from gudgeon.units import UnitWords

HERE = Path(__file__).resolve().parent
TABLES = HERE.parent / "tables"
FOLDER = HERE.parents[1] / ".venv" / "fuzz"
READER = Reader.from_tables(wiring.tables("facts"), UnitWords.from_tables(wiring.tables("units")))
TALK = (
    "lid bolts torqued to forty newton metres no wait not make that 45 Nm with a half inch socket M8x1.25 10.9 first pass second three passes "
    "number two left is it don't forget need two buy another ninety degrees plus of them all but one six cracked , . ? : ( ) - the book says i "
    "think about 7/16 between and thousand hundred point oh five tens 's 've é £4 1:30 80W-90 ½ µm sorry then same on for if was going to new to "
    "meters pounds kilos 螺栓 🔧 \x00 \u202e \ud800"
)
WORDS = TALK.split(" ")
BASE, EACH = 0.5, 0.002
"""Seconds of processor time allowed for any note, and for each of its characters."""


def text_of(data: bytes) -> str:
    """Half of the inputs are taken as text, half as a row of words of the workshop."""
    if data[:1] < b"\x80":
        return data[1:].decode("utf-8", errors="surrogateescape")
    return " ".join(WORDS[byte % len(WORDS)] for byte in data[1:])


def read_one(data: bytes) -> None:
    """One input: read, and everything that was found looked at."""
    text = text_of(data)
    begun = time.process_time()
    facts = READER.read(text)
    taken = time.process_time() - begun
    assert taken < BASE + EACH * len(text), f"{taken:.2f} s for {len(text)} characters"
    for fact in facts:
        start, end = fact.span
        assert 0 <= start < end <= len(text), fact
        assert fact.rule, fact
        fact_to_dict(fact)


def main() -> None:
    """Write the seeds and hand over to the fuzzer, which ends by itself after ``-max_total_time``."""
    with tempfile.TemporaryDirectory() as seeds:
        for table in sorted(TABLES.glob("*_notes.jsonl")):
            for number, line in enumerate(table.read_text(encoding="utf-8").splitlines()):
                (Path(seeds) / f"{table.stem}{number}").write_bytes(b"\x00" + line.encode())
        FOLDER.mkdir(parents=True, exist_ok=True)
        atheris.Setup([*sys.argv, f"-artifact_prefix={FOLDER}/", seeds], read_one)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
