"""The pages over a real record: what they show, what they say when something is missing, and that markup in words stays text."""

import sqlite3
from dataclasses import replace

import numpy as np
import pytest
from fastapi.testclient import TestClient
from tests.pages.conftest import NOTES, ORIGIN

from gudgeon.checks import read_spec
from gudgeon.domain import Note
from gudgeon.pages import make_app
from gudgeon.session import settle


def test_an_empty_record_says_what_to_do(client):
    assert "gudgeon take" in client.get("/").text
    assert "Nothing is open" in client.get("/open").text
    assert "gudgeon spec load" in client.get("/spec").text
    assert "No session yet" in client.get("/job").text
    assert "This page fills when one begins" in client.get("/live").text
    assert "Nothing was found" in client.get("/find?q=hub").text
    assert client.get("/build-record").status_code == 200
    assert client.get("/order").status_code == 200
    assert client.get("/bring").status_code == 200
    assert "no joint" in client.get("/joint?line=2").text


def test_the_session_page_shows_words_facts_and_values(client, filled):
    page = client.get(f"/session/{filled}").text
    assert 'class="fact fact-torque"' in page
    assert "80 N·m" in page
    assert "40 lb·ft (54.2 N·m)" in page
    assert 'id="heights" d="M' in page
    assert "manual decides" in page


def test_markup_in_words_stays_text(client, filled):
    for address in (f"/session/{filled}", "/find?q=drain", "/find?q=<script>alert(1)</script>"):
        assert "<script>alert" not in client.get(address).text


def test_a_notes_sound_comes_whole_and_in_parts(client, filled, opener):
    with opener() as record:
        note = record.notes(filled)[1]
    address = f"/session/{filled}/note/{note.id}.wav"
    whole = client.get(address)
    assert whole.status_code == 200
    assert whole.content[:4] == b"RIFF"
    assert len(whole.content) == pytest.approx(2 * 16_000 * (2.5 + 0.3), rel=0.01)
    part = client.get(address, headers={"Range": "bytes=1000-1999"})
    assert part.status_code == 206
    assert part.content == whole.content[1000:2000]
    assert "content-encoding" not in part.headers
    assert client.get("/session/1").headers["content-encoding"] == "gzip"
    assert client.get(address, headers={"Range": "bytes=99999999-"}).status_code == 416


def test_a_stretch_of_sound_is_exact_to_the_sample(client, filled, opener):
    with opener() as record:
        note = record.notes(filled)[1]
    whole = client.get(f"/session/{filled}/note/{note.id}.wav").content
    samples = np.frombuffer(whole[44:], "<i2")  # a RIFF header of 44 bytes: RIFF/WAVE, "fmt " and "data" (Microsoft and IBM, 1991)
    first = round((note.note.start - 0.15) * 16_000)
    said = np.sin(np.arange(first, first + len(samples)) / 20) * 0.3 * 32767
    assert np.abs(samples - said).max() <= 1.5


def test_the_strip_of_a_long_session_is_drawn_in_later(client, filled, monkeypatch):
    monkeypatch.setattr("gudgeon.pages.app.AT_ONCE_S", 1.0)
    page = client.get(f"/session/{filled}").text
    assert f'data-from="/session/{filled}/strip.json" d=""' in page
    assert client.get(f"/session/{filled}/strip.json").json()["path"].startswith("M0.5 ")
    assert 'd="M0.5 ' in client.get(f"/session/{filled}").text
    assert client.get("/session/99/strip.json").status_code == 404


def test_search_finds_a_value_and_its_sound(client, filled):
    answer = client.get("/find.json", params={"q": "drain plug"}).json()
    assert "40 lb·ft" in answer["html"]
    assert ".wav" in answer["html"]
    assert "Nothing was found" in client.get("/find.json", params={"q": "zzzzzz"}).json()["html"]


def test_missing_things_are_said_in_sentences(client, filled, opener):
    assert client.get("/session/99").status_code == 404
    assert client.get(f"/session/{filled}/note/999.wav").status_code == 404
    with opener() as record:
        for file in (record.folder / "sound" / str(filled)).iterdir():
            file.unlink()
        (record.folder / "sound" / str(filled)).rmdir()
    assert "not there any more" in client.get(f"/session/{filled}").text


def test_other_names_and_other_sites_are_refused(client, filled):
    assert client.get("/", headers={"Host": "workshop.example"}).status_code == 403
    answer = client.get("/")
    assert "default-src 'none'" in answer.headers["content-security-policy"]
    for path in ("/static/../app.py", "/static/%2e%2e/app.py", "/session/1/note/..%2f..%2frecord.db.wav"):
        assert client.get(path).status_code in (404, 422)


SHEET = "part,fastener,count,torque,unit,tolerance_percent\nhub,bolt,8,80,N*m,5\nsump,drain plug,1,25,lbf*ft,10\n"


@pytest.fixture
def sheeted(filled, opener, rules):
    with opener() as record:
        record.put_sheet(name="hub.csv", text=SHEET, sheet=read_spec(SHEET.splitlines()))
        settle(record, filled, rules)
    return filled


def test_progress_is_counted_anew_whenever_the_record_changed(client, sheeted, opener, reader, rules):
    assert client.get("/progress.json").json() == {"schema": 1, "done": 1, "total": 2}
    for at, text in enumerate(["the sump drain plug at 25 foot pounds", "the hub bolts at 120 newton metres"]):
        with opener() as record:
            record.add_note(sheeted, Note(text=text, start=9.0 + at, end=9.5 + at), reader.read(text))
            settle(record, sheeted, rules)
        assert client.get("/progress.json").json()["done"] == (2 if at == 0 else 1)


def test_a_few_sheets_are_shown_and_the_others_named(client, sheeted, opener):
    with opener() as record:
        for name in ("apple press", "cider barrow", "seed drill", "water ram"):
            record.new_job(name)
            record.put_sheet(name="small.csv", text=SHEET, sheet=read_spec(SHEET.splitlines()), job=name)
    shown = client.get("/spec").text
    assert shown.count("rows are done") == 3 and shown.count('href="/spec?job=') == 2
    alone = client.get("/spec", params={"job": "cider barrow"}).text
    assert alone.count("rows are done") == 1 and "<h2>cider barrow · small.csv</h2>" in alone
    assert "<h2>sessions without a job · hub.csv</h2>" in client.get("/spec", params={"job": ""}).text


def test_a_joint_page_draws_its_values_and_lists_them(client, sheeted):
    page = client.get("/joint", params={"line": 2}).text
    assert "allowed 76 to 84 N·m" in page
    assert "80 N·m, within" in page
    assert NOTES[0] in page
    assert client.get("/joint", params={"line": 99}).status_code == 404


def test_where_sound_was_taken_away_no_player_is_offered(client, sheeted, opener):
    places = (f"/session/{sheeted}", "/find?q=hub", "/joint?line=2")
    assert all(".wav" in client.get(path).text for path in places)
    with opener() as record:
        record.forget_sound(sheeted)
    for path in places:
        assert ".wav" not in client.get(path).text, path
        assert "80 N·m" in client.get(path).text
    assert "not there any more" in client.get(f"/session/{sheeted}").text


def test_values_of_two_stages_are_drawn_each_against_its_own(client, filled, opener, reader, rules):
    sheet = "part,fastener,count,torque,unit,stage,tolerance_percent\nhead,nut,8,30,N*m,1,5\nhead,nut,8,65,N*m,2,5\n"
    with opener() as record:
        record.put_sheet(name="head.csv", text=sheet, sheet=read_spec(sheet.splitlines()))
        text = "head nuts second pass sixty six newton metres"
        record.add_note(filled, Note(text=text, start=9.0, end=11.0), reader.read(text))
        settle(record, filled, rules)
    page = client.get("/job").text
    assert "66 N·m, within" in page
    assert "allowed 61.75 to 68.25 N·m" in page
    assert page.count('class="range"') == 1  # nothing was said of the first stage, so nothing is drawn against it


ASKED_BADLY = [
    ("/nowhere", 404),
    ("/session/abc", 422),
    ("/joint", 422),
    ("/session/1/entry/1/mend", 405),
    ("/session/99999999999999999999", 422),
    ("/joint?line=99999999999999999999", 422),
    ("/session/-1", 422),
]


@pytest.mark.parametrize(("path", "status"), ASKED_BADLY)
def test_an_address_that_is_none_gets_a_page_that_says_so(client, filled, path, status):
    answer = client.get(path)
    assert answer.status_code == status
    assert "<h1>" in answer.text
    assert client.get(path, headers={"Accept": "application/json"}).json()["happened"]


def test_what_nobody_thought_of_is_said_without_its_inside(house, filled):
    def broken():
        raise RuntimeError("the inside")

    answer = TestClient(make_app(replace(house, open_record=broken)), base_url="http://127.0.0.1", raise_server_exceptions=False).get("/")
    assert answer.status_code == 500
    assert "the inside" not in answer.text
    assert "gudgeon itself" in answer.text
    assert "default-src 'none'" in answer.headers["content-security-policy"]


@pytest.mark.slow  # the record waits ten seconds for the other program
def test_a_record_that_is_locked_is_said_and_can_be_read(client, filled, opener, tmp_path):
    with opener() as record:
        entry = record.entries(filled)[0].id
    holding = sqlite3.connect(tmp_path / "record" / "record.db", isolation_level=None)
    holding.execute("begin immediate")
    answer = client.post(f"/session/{filled}/entry/{entry}/strike", headers=ORIGIN)
    assert answer.status_code == 503
    assert "Another program" in answer.json()["happened"]
    assert client.get(f"/session/{filled}").status_code == 200
    holding.close()


def test_a_newer_record_is_said(client, filled, tmp_path):
    holding = sqlite3.connect(tmp_path / "record" / "record.db")
    holding.execute("pragma user_version = 999")
    holding.close()
    for path in ("/", "/session/1", "/job", "/live", "/spec", "/open", "/bring"):
        newer = client.get(path)
        assert newer.status_code == 503, path
        assert "newer gudgeon" in newer.text


def test_a_long_session_goes_over_several_pages_and_a_change_stays_on_its_own(client, filled, opener, monkeypatch):
    monkeypatch.setattr("gudgeon.pages.session_page.ROWS", 2)
    first, second = client.get(f"/session/{filled}").text, client.get(f"/session/{filled}?begin=2").text
    assert 'id="n1"' in first
    assert 'id="n2"' not in first
    assert 'id="n2"' in second
    assert 'id="n1"' not in second
    assert 'aria-current="page">notes 3 to 3' in second
    assert 'id="n2"' in client.get(f"/session/{filled}?begin=9999").text
    with opener() as record:
        note = record.notes(filled)[2].id
    rows = client.post(f"/session/{filled}/note/{note}/words", data={"text": "the filler cap is cracked", "begin": "2"}, headers=ORIGIN).json()[
        "rows"
    ]
    assert 'id="n2"' in rows
    assert 'id="n0"' not in rows


def test_the_page_that_is_shown_is_marked_in_the_navigation(client, filled):
    for path in ("/", "/open", "/find", "/spec", "/live", "/bring"):
        assert f'href="{path}" aria-current="page"' in client.get(path).text
    assert "aria-current" not in client.get("/session/1").text


def test_a_session_says_where_no_sound_came(client, filled, opener):
    from gudgeon.audio import KeptGap, keep_gap

    assert "No sound came" not in client.get(f"/session/{filled}").text
    with opener() as record:
        keep_gap(record.folder / "sound" / str(filled), KeptGap(at=4.0, lasted=20.0, filled=2.0))
    assert "No sound came at 0:04 (20 s)" in client.get(f"/session/{filled}").text


def test_a_fault_said_in_a_later_session_stands_at_its_joint(client, opener, filled, reader, rules):
    from datetime import UTC, datetime

    with opener() as record:
        record.put_sheet(name="hub.csv", text=SHEET, sheet=read_spec(SHEET.splitlines()))
        settle(record, filled, rules)
        later = record.begin_session(started=datetime(2026, 5, 9, 9, 0, tzinfo=UTC), source="evening.txt").id
        for text in ("one of the hub bolts was stripped", "that is where I stopped"):
            record.add_note(later, Note(text=text), reader.read(text))
        settle(record, later, rules)
    joint = client.get("/joint?line=2").text
    assert "found stripped" in joint
    assert "one of the hub bolts was stripped" in joint
    assert joint.index("9 May") < joint.index("eight hub bolts to eighty"), "newest first"
    assert f"Found stripped on 9 May, session {later}." in client.get("/job").text
    with opener() as record:
        record.strike_entry(record.entries(later)[0].id)
    assert "found stripped" not in client.get("/joint?line=2").text
