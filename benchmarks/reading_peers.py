"""Run in the peers' own environment by reading.py: notes on standard input as JSON, readings and seconds as JSON out."""

from __future__ import annotations

import json
import sys
import time
import warnings
from collections.abc import Callable, Iterable
from contextlib import suppress
from importlib.metadata import version

Reading = tuple[float, str]


def quantulum() -> Callable[[str], list[Reading]]:
    """quantulum3 without its classifier: every quantity it finds, with the name of its unit."""
    from quantulum3 import parser

    return lambda text: [(quantity.value, quantity.unit.name) for quantity in parser.parse(text)]


def recognizers() -> Callable[[str], list[Reading]]:
    """Recognizers-Text, English: dimensions and temperatures that have a value."""
    from recognizers_number_with_unit import NumberWithUnitRecognizer
    from recognizers_text import Culture

    both = NumberWithUnitRecognizer(Culture.English)
    models = (both.get_dimension_model(), both.get_temperature_model())

    def read(text: str) -> list[Reading]:
        found = [hit.resolution for model in models for hit in model.parse(text)]
        return [(float(each["value"]), each["unit"]) for each in found if each["value"] is not None]

    return read


def digits() -> Callable[[str], list[Reading]]:
    """text2digits: writes spoken numbers as digits and knows no units, so every number it leaves in the text is one reading."""
    from text2digits import text2digits

    convert = text2digits.Text2Digits().convert

    def numbers(text: str) -> Iterable[Reading]:
        for word in convert(text).replace(",", " ").split():
            try:
                yield float(word.rstrip(".;:")), ""
            except ValueError:
                continue

    return lambda text: list(numbers(text))


PEERS = {"quantulum3": quantulum, "recognizers-text-number-with-unit": recognizers, "text2digits": digits}


def measured(build: Callable[[], Callable[[str], list[Reading]]], notes: list[str], rounds: int) -> tuple[list[list[Reading]], float, int]:
    """The readings of each note, processor seconds of the quickest round once all is loaded, and notes that raised an error."""
    read, rows, failed = build(), [], 0
    for note in notes:
        try:
            rows.append(read(note))
        except Exception:  # a peer's own fault is a result, not the end of the run
            rows.append([])
            failed += 1
    return rows, min(timed(read, notes) for _ in range(rounds)), failed


def timed(read: Callable[[str], list[Reading]], notes: list[str]) -> float:
    """Processor seconds of one round."""
    started = time.process_time()
    for note in notes:
        with suppress(Exception):  # counted in the first round
            read(note)
    return time.process_time() - started


def main() -> None:
    """Read the notes with every peer and print what came of it."""
    warnings.simplefilter("ignore")
    notes, rounds = json.load(sys.stdin), int(sys.argv[1])
    result = {}
    for name, build in PEERS.items():
        rows, seconds, failed = measured(build, notes, rounds)
        result[name] = {"version": version(name), "rows": rows, "seconds": seconds, "failed": failed}
    json.dump(result, sys.stdout)


if __name__ == "__main__":
    main()
