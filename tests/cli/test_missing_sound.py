"""Where sound of a live session never came is told by its summary, in words and as JSON that the schema knows."""

import pytest
from jsonschema import Draft202012Validator

from gudgeon.audio import KeptGap, keep_gap
from gudgeon.record import Record


@pytest.fixture
def session(gudgeon, home):
    gudgeon("note", "lid at 18")
    with Record.open(home / "record") as record:
        number = record.latest_session().id
    folder = home / "record" / "sound" / str(number)
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def test_a_summary_says_where_nothing_was_heard(gudgeon, session):
    assert "No sound came" not in gudgeon("summary").out
    keep_gap(session, KeptGap(83.0, 20.2, 20.2))
    keep_gap(session, KeptGap(200.0, 7200.0, 300.0))
    told = " ".join(gudgeon("summary").out.split())
    assert "No sound came at 1:23, for 20 s: what was said then is not in the record." in told
    assert "No sound came at 3:20, for 2 h 0 min" in told


def test_so_does_its_json(gudgeon, session):
    assert "missing" not in gudgeon("summary", "--json").json
    keep_gap(session, KeptGap(83.0, 20.2, 20.2))
    taken = gudgeon("summary", "--json").json
    assert taken["missing"] == [{"at": 83.0, "seconds": 20.2}]
    root = gudgeon("export", "--schema").json
    whole = {**root["$defs"]["taken"], "$schema": root["$schema"], "$defs": root["$defs"]}
    assert not list(Draft202012Validator(whole).iter_errors(taken))
