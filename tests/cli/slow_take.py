"""Run the command line for tests that break it off: ``slow_take.py PAUSE COMMAND …``. Not a test itself.

``PAUSE`` is how many seconds a small recogniser needs for each clip, or ``real`` for the real one. A note that a take acknowledges is told
on standard error at that moment, as ``ack TEXT``.
"""

import os
import sys
import time
from contextlib import contextmanager
from dataclasses import dataclass

import gudgeon.cli.take
from gudgeon.cli import main, wiring
from gudgeon.domain import Entry, Hearing, Judgement, Part, Torque, TorqueDone
from gudgeon.session import Rules

PAUSE = sys.argv.pop(1)


class Slow:
    name = "scripted"

    def hear(self, clips):
        for clip in clips:
            time.sleep(float(PAUSE))
            yield Hearing(text=f"lid at {round(clip.start * 10)}", confidence=0.9, recogniser=self.name)


@dataclass
class SmallReader:
    def read(self, text):
        if not text.split()[-1].isdigit():
            return ()
        value = float(text.split()[-1])
        return (Part(name="lid", span=(0, 3)), Torque(value=value, unit="N*m", nm=value, span=(7, len(text))))


def assemble(notes):
    return tuple(
        Entry(part="lid", torques=(TorqueDone(value=note.facts[1].value, unit="N*m", nm=note.facts[1].nm, note=at),), notes=(at,))
        for at, note in enumerate(notes)
    )


@contextmanager
def acknowledging(what, total, unit):
    yield lambda done, text: text and os.write(2, f"ack {text}\n".encode())


gudgeon.cli.take.progress = acknowledging
if PAUSE != "real":
    wiring.recogniser = lambda name=None, **how: Slow()
    wiring.reader = SmallReader
    wiring.rules = lambda: Rules(assemble=assemble, open_items=lambda notes: (), judge=lambda entry, **more: Judgement())
main()
