"""Run the command line with a recogniser that needs a moment for each clip: for tests that break it off. Not a test itself."""

import sys
import time
from dataclasses import dataclass

from gudgeon.cli import main, wiring
from gudgeon.domain import Entry, Hearing, Judgement, Part, Torque, TorqueDone
from gudgeon.session import Rules

PAUSE = float(sys.argv.pop(1))


class Slow:
    name = "scripted"

    def hear(self, clips):
        for clip in clips:
            time.sleep(PAUSE)
            yield Hearing(text=f"lid at {round(clip.start)}", confidence=0.9, recogniser=self.name)


@dataclass
class SmallReader:
    def read(self, text):
        value = float(text.split()[-1])
        return (Part(name="lid", span=(0, 3)), Torque(value=value, unit="N*m", nm=value, span=(7, len(text))))


def assemble(notes):
    return tuple(
        Entry(part="lid", torques=(TorqueDone(value=note.facts[1].value, unit="N*m", nm=note.facts[1].nm, note=at),), notes=(at,))
        for at, note in enumerate(notes)
    )


wiring.recogniser = lambda name=None, *, phrases=(), notice=None: Slow()
wiring.reader = SmallReader
wiring.rules = lambda: Rules(assemble=assemble, open_items=lambda notes: (), judge=lambda entry, **more: Judgement())
main()
