from datetime import UTC, datetime, timedelta

import pytest

from gudgeon.record import Record


class Clock:
    """A clock that goes on by a second each time it is looked at."""

    def __init__(self):
        self.now = datetime(2026, 5, 4, 7, 30, tzinfo=UTC)

    def __call__(self):
        self.now += timedelta(seconds=1)
        return self.now


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def record(tmp_path, clock):
    with Record.open(tmp_path / "record", clock=clock) as opened:
        yield opened


@pytest.fixture
def session(record, clock):
    return record.begin_session(started=clock(), source="bench.flac", recogniser="scripted").id
