"""A recording brought to the page: read in the background, stopped, refused when it is too large or oddly named; and the live page's events."""

import asyncio
import json
import time
from contextlib import contextmanager
from dataclasses import replace

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from tests.pages.conftest import ORIGIN

from gudgeon.domain import Failure, GudgeonError, Note
from gudgeon.pages import make_app
from gudgeon.pages.bring_page import Bringing
from gudgeon.pages.bringing import safe_name
from gudgeon.pages.house import Templates
from gudgeon.pages.live import MOST_WATCHERS, Live

TEXT = b"eight hub bolts to eighty newton metres\nthe sump plug at 25 foot pounds\n"


def bring(client, body=TEXT, **query):
    return client.post("/bring/file", params={"name": "saturday.txt", **query}, content=body, headers=ORIGIN)


def ended(client, number):
    for _ in range(600):
        row = next(row for row in client.get("/bring/state.json").json()["readings"] if row["number"] == number)
        if row["state"] in ("done", "stopped", "failed"):
            return row
        time.sleep(0.02)
    pytest.fail(f"never ended: {row}")


def test_a_brought_text_becomes_a_session_and_the_file_goes(client, opener):
    answer = bring(client)
    assert answer.status_code == 202
    row = ended(client, answer.json()["number"])
    assert row["state"] == "done"
    with opener() as record:
        assert [note.note.text for note in record.notes(row["session"])] == TEXT.decode().splitlines()
        assert record.session(row["session"]).source.endswith("/saturday.txt")
        assert [torque.value for entry in record.entries(row["session"]) for torque in entry.entry.torques] == [80, 25]
        assert list((record.folder / "incoming").iterdir()) == []


def test_the_same_file_again_is_told_and_not_read_twice(client, opener):
    ended(client, bring(client).json()["number"])
    row = ended(client, bring(client).json()["number"])
    assert "already" in row["said"]
    with opener() as record:
        assert len(record.sessions()) == 1


def test_a_reading_that_is_stopped_keeps_its_notes_and_carries_on(house, opener, filled):
    slow = {}

    def tools(record):
        made = house.tools(record)

        def read(text):
            if slow.get("on"):
                client.post("/bring/1/stop", headers=ORIGIN)
            return made.read(text)

        return replace(made, read=read)

    client = TestClient(make_app(replace(house, tools=tools)), base_url="http://127.0.0.1")
    slow["on"] = True
    row = ended(client, bring(client).json()["number"])
    slow["on"] = False
    assert row["state"] == "stopped"
    with opener() as record:
        assert len(record.notes(row["session"])) == 1
        assert record.session(row["session"]).state == "unfinished"
    again = ended(client, bring(client).json()["number"])
    assert (again["state"], again["session"]) == ("done", row["session"])
    with opener() as record:
        assert len(record.notes(row["session"])) == 2


def test_what_cannot_be_read_is_said(client):
    row = ended(client, bring(client, b"no sound at all", name="noise.mp3").json()["number"])
    assert row["state"] == "failed"
    assert row["said"]


REFUSED = [(b"", {}), (TEXT, {"job": "no such job"})]


@pytest.mark.parametrize(("body", "query"), REFUSED)
def test_empty_files_and_unknown_jobs_are_refused(client, body, query, tmp_path):
    assert bring(client, body, **query).status_code in (400, 404)
    assert not list(tmp_path.rglob("incoming/*"))


def test_a_file_above_the_limit_is_refused_and_leaves_nothing(house, opener, tmp_path):
    app = FastAPI()
    Bringing(house, Templates(), largest=50).add_to(app)
    client = TestClient(app, base_url="http://127.0.0.1")
    with pytest.raises(GudgeonError, match="up to 50 bytes"):
        bring(client)
    with pytest.raises(GudgeonError, match="too large"):
        client.post("/bring/file", content=iter([b"x" * 40, b"x" * 40]), headers={**ORIGIN, "Content-Length": "40"})
    assert not [path for path in tmp_path.rglob("incoming/*") if path.is_file()]


NAMES = [
    ("saturday.m4a", "saturday.m4a"),
    ("../../record.db", "record.db"),
    ("..\\..\\record.db", "record.db"),
    ("/etc/passwd", "passwd"),
    ("..", "recording"),
    ("", "recording"),
    ("<script>.wav", "_script_.wav"),
    ("a\0b\n.wav", "a_b_.wav"),
    ("x" * 300 + ".wav", "x" * 76 + ".wav"),
    (".bashrc", "bashrc"),
]


@pytest.mark.parametrize(("name", "safe"), NAMES)
def test_names_lose_folders_and_odd_letters(name, safe):
    assert safe_name(name) == safe


@pytest.mark.parametrize("name", ["../../record.db", "%2e%2e%2frecord.db", "..\\record.db"])
def test_no_name_reaches_outside_its_own_folder(client, opener, filled, name):
    with opener() as record:
        before = len(record.sessions())
    ended(client, bring(client, b"\0\0 not a database", name=name).json()["number"])
    with opener() as record:
        assert len(record.sessions()) == before


def test_other_sites_cannot_bring_or_stop(client):
    for headers in ({}, {"Origin": "https://elsewhere.example"}, {"Origin": "null"}):
        assert client.post("/bring/file", content=TEXT, headers=headers).status_code == 403
        assert client.post("/bring/1/stop", headers=headers).status_code == 403


async def take_events(live, change, count=4):
    got, asked = [], 0

    async def gone():
        nonlocal asked
        asked += 1
        if asked == 3:
            change()
        return asked > 5

    async for event in live.events(gone, pause_s=0):
        got.append(event)
    return got


def test_the_live_page_is_told_once_of_each_change(house, opener, filled, reader):
    def change():
        with opener() as record:
            text = "<b>the sump plug</b> at 25 foot pounds"
            record.add_note(filled, Note(text=text, start=9.0, end=11.0), reader.read(text))

    events = asyncio.run(take_events(Live(house, Templates()), change))
    sent = [json.loads(event.partition("data: ")[2])["html"] for event in events if "data:" in event]
    assert len(sent) == 2
    assert "25 foot pounds" not in sent[0]
    assert "25 foot pounds" in sent[1]
    assert "<b>" not in sent[1]


def test_a_record_that_cannot_be_opened_is_said_on_the_live_page_and_the_stream_goes_on(house, opener, filled):
    def change():
        broken.append(True)

    @contextmanager
    def open_record():
        if broken:
            raise Failure("The disk is <gone>.", next_step="Look for it.")
        with opener() as record:
            yield record

    broken = []
    events = asyncio.run(take_events(Live(replace(house, open_record=open_record), Templates()), change))
    sent = [json.loads(event.partition("data: ")[2])["html"] for event in events if "data:" in event]
    assert "Session 1" in sent[0]
    assert "The disk is &lt;gone&gt;. Look for it." in sent[1]


def test_too_many_watchers_are_sent_away(house, filled):
    live = Live(house, Templates())
    live._watchers = MOST_WATCHERS
    answer = asyncio.run(live.stream(None))
    assert answer.status_code == 503
