from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from gudgeon.domain import SAMPLE_RATE, Clip, Entry, Judgement, OpenItem, Part, Question, Torque, TorqueDone, Verdict
from gudgeon.record import Record
from gudgeon.session import Rules, SoundTools, Tools
from gudgeon.speech import Scripted


def read(text):
    """Every word that is a figure is a torque, every "lid" a part, every question a question: enough to see notes become entries."""
    facts = []
    for word in text.split():
        at = text.index(word)
        if word.isdigit():
            facts.append(Torque(value=float(word), unit="N*m", nm=float(word), span=(at, at + len(word))))
        if word == "lid":
            facts.append(Part(name="lid", span=(at, at + 3)))
    if text.endswith("?"):
        facts.append(Question(text=text, span=(0, len(text))))
    return tuple(facts)


def assemble(notes):
    torques, used = [], []
    for at, note in enumerate(notes):
        found = [fact for fact in note.facts if isinstance(fact, Torque)]
        used += [at] if note.facts else []
        torques += [TorqueDone(value=fact.value, unit=fact.unit, nm=fact.nm, note=at, heard=fact.heard) for fact in found]
    return (Entry(part="lid", torques=tuple(torques), notes=tuple(used)),) if torques else ()


def open_items(notes):
    return tuple(
        OpenItem(kind="question", text=fact.text, note=at) for at, note in enumerate(notes) for fact in note.facts if fact.kind == "question"
    )


def judge(entry, *, sheet, past, **more):
    reason = f"{len(past)} earlier, {len(sheet.rows) if sheet else 'no'} rows."
    return Judgement(
        verdicts=tuple(Verdict(code="no reference", of=f"{torque.value:g} N·m", reason=reason, torque=at) for at, torque in enumerate(entry.torques))
    )


class Clock:
    def __init__(self):
        self.now = datetime(2026, 5, 4, 7, 30, tzinfo=UTC)

    def __call__(self):
        self.now += timedelta(seconds=1)
        return self.now


class ListKeeper:
    """Keeps sound in a file of raw samples, as a real keeper would in segments."""

    def __init__(self, folder):
        folder.mkdir(parents=True, exist_ok=True)
        self.file = Path(folder) / "sound.raw"
        self.closed = False

    @property
    def seconds(self):
        return (self.file.stat().st_size if self.file.exists() else 0) / 4 / SAMPLE_RATE

    def add(self, block):
        with self.file.open("ab") as file:
            file.write(block.astype(np.float32).tobytes())

    def close(self):
        self.closed = True


class Sound:
    """A recording of so many seconds, a note's worth of speech in each; ``stop_at`` presses Ctrl-C there."""

    def __init__(self, seconds, *, stop_at=None, error=None):
        self.seconds, self.stop_at, self.error = seconds, stop_at, error
        self.decoded = []

    def decode(self, path, notice):
        for second in range(self.seconds):
            self.decoded.append(second)
            yield np.full(SAMPLE_RATE, second / 100, dtype=np.float32)

    def gate(self, blocks):
        for at, block in enumerate(blocks):
            if self.stop_at is not None and round(float(block[0]) * 100) == self.stop_at:
                raise self.error or KeyboardInterrupt
            yield Clip(block, float(at), at + 0.9)

    def tools(self, *texts):
        ticks = iter(range(1_000_000))
        return SoundTools(recogniser=Scripted(texts), decode=self.decode, gate=self.gate, keeper=ListKeeper, seconds_now=lambda: float(next(ticks)))


@pytest.fixture
def tools(tmp_path):
    clock = Clock()
    with Record.open(tmp_path / "record", clock=clock) as record:
        yield Tools(record=record, read=read, rules=Rules(assemble=assemble, open_items=open_items, judge=judge), clock=clock)


@pytest.fixture
def source(tmp_path):
    path = tmp_path / "bench.flac"
    path.write_bytes(b"sound")
    return path


@pytest.fixture
def sound():
    return Sound
