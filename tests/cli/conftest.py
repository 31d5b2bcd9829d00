"""Runs the command line in this process, as ``python -m gudgeon`` would, with a small reader and judge handed in."""

import json
import signal
import sys
from dataclasses import dataclass
from fractions import Fraction

import av
import pytest

from gudgeon.cli import main, wiring
from gudgeon.domain import Caution, Condition, Entry, Judgement, OpenItem, Part, Question, Torque, TorqueDone, Verdict
from gudgeon.session import Rules


@dataclass(frozen=True)
class Ran:
    status: int
    out: str
    err: str

    @property
    def json(self):
        assert self.out, self.err
        return json.loads(self.out)

    @property
    def lines(self):
        return [json.loads(line) for line in self.out.splitlines()]


class SmallReader:
    """Reads "lid", "cover", "stripped", "bent", whole figures as N·m, and questions."""

    def read(self, text):
        facts = []
        for word in text.split():
            at = text.index(word)
            if word.isdigit():
                facts.append(Torque(value=float(word), unit="N*m", nm=float(word), span=(at, at + len(word))))
            if word in ("stripped", "bent"):
                facts.append(Condition(condition=word, span=(at, at + len(word))))
            if word in ("lid", "cover"):
                facts.append(Part(name=word, span=(at, at + len(word))))
        if text.endswith("?"):
            facts.append(Question(text=text, span=(0, len(text))))
        return tuple(facts)


def assemble(notes):
    entries = []
    for at, note in enumerate(notes):
        part = next((fact.name for fact in note.facts if fact.kind == "part"), None)
        torques = tuple(TorqueDone(value=fact.value, unit=fact.unit, nm=fact.nm, note=at) for fact in note.facts if fact.kind == "torque")
        if torques:
            entries.append(Entry(part=part, torques=torques, notes=(at,), how=("said in one breath",)))
    return tuple(entries)


def open_items(notes):
    return tuple(
        OpenItem(kind="question", text=fact.text, note=at) for at, note in enumerate(notes) for fact in note.facts if fact.kind == "question"
    )


def judge(entry, *, sheet, past, **more):
    rows = [row for row in sheet.rows if row.part == entry.part] if sheet else []
    verdicts = []
    for at, torque in enumerate(entry.torques):
        code = "no reference" if not rows else "within" if torque.value == rows[0].torque else "over"
        verdicts.append(Verdict(code=code, of=f"{torque.value:g} N·m", reason=f"It was judged to be {code}.", torque=at))
    return Judgement(verdicts=tuple(verdicts), cautions=(Caution("manual", "The maker's manual decides."),))


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A user without any settings, and a record in a folder of its own."""
    monkeypatch.setenv("GUDGEON_RECORD", str(tmp_path / "record"))
    monkeypatch.setenv("GUDGEON_SETTINGS", str(tmp_path / "settings.toml"))
    monkeypatch.setenv("GUDGEON_LOG", str(tmp_path / "gudgeon.log"))
    for name in ("GUDGEON_TRACE", "COLUMNS", "GUDGEON_MODELS"):
        monkeypatch.delenv(name, raising=False)
    return tmp_path


@pytest.fixture
def gudgeon(home, monkeypatch, capsys):
    """``gudgeon("take", "x.txt")`` → what it printed and its exit status."""
    monkeypatch.setattr(wiring, "reader", SmallReader)
    monkeypatch.setattr(wiring, "rules", lambda: Rules(assemble=assemble, open_items=open_items, judge=judge))
    before = signal.getsignal(signal.SIGTERM)

    def run(*arguments):
        monkeypatch.setattr(sys, "argv", ["gudgeon", *map(str, arguments)])
        capsys.readouterr()
        status = 0
        try:
            main()
        except SystemExit as done:
            status = int(done.code or 0)
        finally:
            signal.signal(signal.SIGTERM, before)
        captured = capsys.readouterr()
        return Ran(status, captured.out, captured.err)

    return run


@pytest.fixture
def picture(home):
    """A small JPEG, made with FFmpeg's encoder."""
    context = av.CodecContext.create("mjpeg", "w")
    context.width, context.height, context.pix_fmt, context.time_base = 32, 32, "yuvj420p", Fraction(1, 1)
    data = b"".join(bytes(packet) for packet in (*context.encode(av.VideoFrame(32, 32, "yuvj420p")), *context.encode(None)))
    (home / "lid.jpg").write_bytes(data)
    return home / "lid.jpg"
