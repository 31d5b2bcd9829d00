"""A record with one session of three notes and their sound, and the pages over it."""

from contextlib import contextmanager
from datetime import UTC, datetime

import numpy as np
import pytest
from fastapi.testclient import TestClient

from gudgeon.audio import Keeper
from gudgeon.cli import wiring
from gudgeon.cli.serve import _house
from gudgeon.domain import Note
from gudgeon.pages import House, make_app
from gudgeon.record import Record, Sound
from gudgeon.session import Tools, settle

NOTES = [
    "eight hub bolts to eighty newton metres with a seventeen mil socket",
    "<script>alert(1)</script> the drain plug at forty foot pounds",
    "what is the torque for the filler cap",
]
ORIGIN = {"Origin": "http://127.0.0.1", "Accept": "application/json"}


@pytest.fixture(scope="session")
def reader():
    return wiring.reader()


@pytest.fixture(scope="session")
def rules():
    return wiring.rules()


@pytest.fixture(scope="session")
def trade():
    return wiring.trade()


@pytest.fixture
def opener(tmp_path):
    @contextmanager
    def open_record():
        with Record.open(tmp_path / "record") as record:
            yield record

    return open_record


@pytest.fixture(scope="session")
def document():
    return _house(None).document


@pytest.fixture
def house(opener, reader, rules, trade, document):
    def tools(record):
        return Tools(record=record, read=reader.read, rules=rules, clock=lambda: datetime(2026, 5, 3, tzinfo=UTC))

    def clock():
        return datetime(2026, 5, 3, tzinfo=UTC)

    return House(open_record=opener, trade=trade, units=wiring.unit_words(), tools=tools, clock=clock, document=document)


@pytest.fixture
def client(house):
    return TestClient(make_app(house), base_url="http://127.0.0.1", follow_redirects=False)


@pytest.fixture
def filled(opener, reader, rules):
    with opener() as record:
        session = record.begin_session(started=datetime(2026, 5, 2, 9, 0, tzinfo=UTC), source="bench.flac")
        with Keeper(record.folder / "sound" / str(session.id)) as keeper:
            keeper.add(np.sin(np.arange(16_000 * 9) / 20).astype(np.float32) * 0.3)
        record.add_sound(session.id, Sound(file=f"sound/{session.id}", start=0, seconds=9))
        for at, text in enumerate(NOTES):
            record.add_note(session.id, Note(text=text, start=at * 3.0, end=at * 3.0 + 2.5, confidence=0.9), reader.read(text))
        record.mark_session(session.id, state="finished", seconds=9.0)
        settle(record, session.id, rules)
        return session.id
