"""Corrections by hand through the pages: what changes, what does not, how it is taken back, and what is refused."""

import re

import pytest
from tests.pages.conftest import NOTES, ORIGIN

from gudgeon.cli import wiring
from gudgeon.pages.views import entry_view, seen, typed
from gudgeon.session import read_torque

SHEET = "part,fastener,count,torque,unit,tolerance_percent\nhub,bolt,8,80,N*m,5\n"


@pytest.fixture
def hub(opener, filled):
    with opener() as record:
        return next(entry for entry in record.entries(filled) if entry.entry.part == "hub")


def form_of(entry, **changed):
    view = entry_view(entry)
    fields = {name: value for name, _, value in view.fields} | {f"torque-{value.which}": value.typed for value in view.values}
    return {**fields, "seen": seen(entry), **changed}


def post(client, filled, entry, what, **form):
    return client.post(f"/session/{filled}/entry/{entry}/{what}", data=form, headers=ORIGIN)


def entry_of(opener, number):
    with opener() as record:
        return record.entry(number)


def test_a_value_is_mended_and_only_that(client, filled, hub, opener):
    answer = post(client, filled, hub.id, "mend", **form_of(hub, **{"torque-0": "35 lb ft"}))
    assert answer.status_code == 200, answer.text
    now = entry_of(opener, hub.id).entry
    assert [(torque.value, torque.unit) for torque in now.torques] == [(35, "lbf*ft")]
    assert now.torques[0].nm == pytest.approx(47.45, abs=0.01)  # 1 lbf·ft = 1.355818 N·m (NIST SP 811)
    assert (now.part, now.count, now.fastener, now.tool) == (hub.entry.part, hub.entry.count, hub.entry.fastener, hub.entry.tool)
    assert "35 lb·ft" in answer.json()["rows"]


def test_the_verdict_follows_at_once(client, filled, hub, opener, rules):
    from gudgeon.checks import read_spec
    from gudgeon.session import settle

    with opener() as record:
        record.put_sheet(name="hub.csv", text=SHEET, sheet=read_spec(SHEET.splitlines()))
        settle(record, filled, rules)
        hub = record.entry(hub.id)
    assert [verdict.code for verdict in hub.judgement.verdicts] == ["within"]
    answer = post(client, filled, hub.id, "mend", **form_of(hub, **{"torque-0": "120 N m"}))
    assert "over" in answer.json()["told"]
    assert "1 over" in answer.json()["counts"]
    undone = post(client, filled, hub.id, "undo")
    assert "1 within" in undone.json()["counts"]


def test_undo_takes_back_one_change_after_the_other(client, filled, hub, opener):
    post(client, filled, hub.id, "mend", **form_of(hub, count="6"))
    post(client, filled, hub.id, "mend", **form_of(entry_of(opener, hub.id), part="rear hub"))
    assert (entry_of(opener, hub.id).entry.count, entry_of(opener, hub.id).entry.part) == (6, "rear hub")
    post(client, filled, hub.id, "undo")
    assert (entry_of(opener, hub.id).entry.count, entry_of(opener, hub.id).entry.part) == (6, "hub")
    post(client, filled, hub.id, "undo")
    assert entry_of(opener, hub.id).entry.count == 8
    last = post(client, filled, hub.id, "undo")
    assert last.status_code == 400
    assert "no change" in last.json()["happened"]


def test_struck_restored_and_taken_back(client, filled, hub, opener):
    for what, struck in (("strike", True), ("restore", False), ("undo", True), ("undo", False)):
        assert post(client, filled, hub.id, what).status_code == 200
        assert entry_of(opener, hub.id).struck is struck, what


def test_words_are_mended_read_anew_and_taken_back(client, filled, hub, opener):
    with opener() as record:
        note = record.notes(filled)[0]
    address = f"/session/{filled}/note/{note.id}"
    answer = client.post(f"{address}/words", data={"text": "eight hub bolts to ninety newton metres"}, headers=ORIGIN)
    assert answer.status_code == 200, answer.text
    assert "90 N·m" in answer.json()["rows"]
    assert "80 N·m" not in answer.json()["rows"]
    client.post(f"{address}/undo", headers=ORIGIN)
    with opener() as record:
        assert record.notes(filled)[0].note.text == NOTES[0]
        assert [torque.value for entry in record.entries(filled) if entry.entry.part == "hub" for torque in entry.entry.torques] == [80]


REFUSED = [
    ({"torque-0": "80 apples"}, "is no torque"),
    ({"torque-0": "eighty"}, "is no torque"),
    ({"count": "-3"}, "'-3' is no"),
    ({"count": "1e9"}, "'1e9' is no"),
    ({"tool": "zzz"}, "is no tool"),
    ({"part": "x" * 600}, "cannot be set"),
    ({"seen": "00000000", "count": "6"}, "changed elsewhere"),
]


@pytest.mark.parametrize(("changed", "said"), REFUSED)
def test_what_cannot_be_is_refused_and_nothing_changes(client, filled, hub, opener, changed, said):
    answer = post(client, filled, hub.id, "mend", **form_of(hub, **changed))
    assert answer.status_code == 400
    assert said in answer.json()["happened"]
    assert entry_of(opener, hub.id) == hub


def test_one_bad_field_keeps_the_good_ones_out_too(client, filled, hub, opener):
    post(client, filled, hub.id, "mend", **form_of(hub, part="axle", count="many"))
    assert entry_of(opener, hub.id) == hub


def test_other_sites_and_other_sessions_cannot_change_anything(client, filled, hub, opener):
    address = f"/session/{filled}/entry/{hub.id}/strike"
    for headers in ({}, {"Origin": "https://elsewhere.example"}, {"Origin": "null"}, {"Origin": "http://127.0.0.1", "Host": "rebound.example"}):
        assert client.post(address, headers=headers).status_code == 403
    assert client.get(address).status_code == 405
    assert client.post(f"/session/99/entry/{hub.id}/strike", headers=ORIGIN).status_code == 400
    assert client.post(f"/session/{filled}/entry/{hub.id}/vanish", headers=ORIGIN).status_code == 400
    assert client.post(f"/session/{filled}/entry/{hub.id}/mend", content=b"a=" + b"x" * 70_000, headers=ORIGIN).status_code == 400
    assert entry_of(opener, hub.id) == hub


def test_a_plain_form_works_without_a_script(client, filled, hub, opener):
    answer = client.post(f"/session/{filled}/entry/{hub.id}/mend", data=form_of(hub, count="6"), headers={"Origin": "http://127.0.0.1"})
    assert answer.status_code == 303
    assert re.fullmatch(rf"/session/{filled}(#\w+)?", answer.headers["location"])
    assert entry_of(opener, hub.id).entry.count == 6


@pytest.mark.parametrize("unit", ["N*m", "N*cm", "lbf*ft", "lbf*in", "kgf*m", "kgf*cm"])
def test_a_value_shown_for_typing_reads_back_as_itself(unit):
    assert read_torque(typed(12.5, unit), wiring.unit_words()) == (12.5, unit)


def test_notes_that_came_to_nothing_are_struck_together_and_brought_back(client, filled, opener, reader):
    from gudgeon.domain import Note

    with opener() as record:
        for at, text in enumerate(("is there any tea left", "put the radio on")):
            record.add_note(filled, Note(text=text, start=9.0 + at, end=9.5 + at), reader.read(text))
    page = client.get(f"/session/{filled}").text
    assert "Hide 2 notes" in page
    assert page.count(' talk" id=') == 2
    assert client.post(f"/session/{filled}/talk/strike", headers={**ORIGIN, "Accept": "text/html"}).headers["location"] == f"/session/{filled}"
    with opener() as record:
        assert [note.struck for note in record.notes(filled)] == [False, False, False, True, True]
    page = client.get(f"/session/{filled}").text
    assert "Hide" not in page
    assert "Bring back the notes struck last" in page
    assert "2 notes were brought back" in client.post(f"/session/{filled}/talk/back", headers=ORIGIN).json()["told"]
    assert client.post(f"/session/{filled}/talk/back", headers=ORIGIN).status_code == 400
    assert client.post(f"/session/{filled}/talk/vanish", headers=ORIGIN).status_code == 400
    assert client.post("/session/99/talk/strike", headers=ORIGIN).status_code == 404
    assert client.post(f"/session/{filled}/talk/strike").status_code == 403
