"""Open items ended and reopened from the page, and a spec sheet corrected with its bad lines shown beside it."""

import re

import pytest
from tests.pages.conftest import ORIGIN

from gudgeon.domain import OpenItem

GOOD = "part,fastener,count,torque,unit,tolerance_percent\nhub,bolt,8,80,N*m,5\n"


@pytest.fixture
def item(opener):
    with opener() as record:
        return record.add_item(OpenItem(kind="question", text="what <b>torque</b> for the filler cap?")).item.id


def state(opener, item):
    with opener() as record:
        found = record.item(item).item
    return found.state, found.ended_by


def test_an_item_is_answered_reopened_and_dropped(client, opener, item):
    assert "<b>" not in client.get("/open").text
    assert client.post(f"/open/{item}/answer", data={"text": "25 in the manual"}, headers=ORIGIN).status_code == 303
    assert state(opener, item) == ("answered", "25 in the manual")
    assert "25 in the manual" in client.get("/open").text
    client.post(f"/open/{item}/reopen", headers=ORIGIN)
    assert state(opener, item)[0] == "open"
    client.post(f"/open/{item}/drop", data={"text": "another cap is fitted"}, headers=ORIGIN)
    assert state(opener, item) == ("dropped", "another cap is fitted")


def test_an_item_leads_to_the_note_that_raised_it(client, opener, filled):
    with opener() as record:
        (note, *_) = [note for note in record.notes(filled) if note.position == 1]
        found = record.raise_items(filled, [OpenItem(kind="question", text="which way round?", note=1)])
        assert found[0].notes == (note.id,)
    link = f"/session/{filled}/note/{note.id}"
    assert f'href="{link}"' in client.get("/open").text and f'href="{link}"' in client.get("/job").text
    assert client.get(link, follow_redirects=False).headers["location"] == f"/session/{filled}?begin=1#n1"
    assert client.get(f"/session/{filled}/note/999", follow_redirects=False).headers["location"] == f"/session/{filled}"
    assert client.get("/session/999/note/1").status_code == 404


@pytest.mark.parametrize(("what", "text"), [("answer", ""), ("answer", "  "), ("drop", ""), ("vanish", "x"), ("answer", "x" * 2001)])
def test_an_end_without_words_is_refused(client, opener, item, what, text):
    assert client.post(f"/open/{item}/{what}", data={"text": text}, headers=ORIGIN).status_code == 400
    assert state(opener, item)[0] == "open"


def test_other_sites_end_no_item_and_change_no_sheet(client, opener, item):
    for headers in ({}, {"Origin": "https://elsewhere.example"}):
        assert client.post(f"/open/{item}/answer", data={"text": "x"}, headers=headers).status_code == 403
        assert client.post("/spec/edit", data={"text": GOOD}, headers=headers).status_code == 403
    assert state(opener, item)[0] == "open"


def test_a_sheet_is_kept_judged_at_once_and_shown_again(client, opener, filled):
    answer = client.post("/spec/edit", data={"text": GOOD.replace("\n", "\r\n")}, headers=ORIGIN)
    assert answer.status_code == 200
    assert "1 torque row and" in answer.text
    assert "within" in client.get(f"/session/{filled}").text
    with opener() as record:
        assert record.sheet(None).text == GOOD
    assert "hub,bolt,8,80,N*m,5" in client.get("/spec/edit").text


def test_bad_lines_are_shown_with_their_words_and_the_rest_is_used(client, opener):
    text = GOOD + "sump,plug,1,many <i>,N*m,5\n"
    answer = client.post("/spec/edit", data={"text": text}, headers=ORIGIN).text
    assert "Line 3" in answer
    assert "many &lt;i&gt;" in answer
    assert "<i>" not in answer
    with opener() as record:
        assert record.sheet(None).text == text


@pytest.mark.parametrize("text", ["", "nonsense", "part,torque\n", "part,fastener,torque,unit\nhub,bolt,many,N*m\n"])
def test_a_sheet_without_a_row_changes_nothing_and_stays_typed(client, opener, text):
    client.post("/spec/edit", data={"text": GOOD}, headers=ORIGIN)
    answer = client.post("/spec/edit", data={"text": text}, headers=ORIGIN)
    assert answer.status_code == 400
    assert all(line in answer.text for line in text.splitlines())
    with opener() as record:
        assert record.sheet(None).text == GOOD


def test_a_sheet_too_large_or_of_no_job_is_refused(client, opener):
    assert client.post("/spec/edit", data={"text": "x" * (1 << 20)}, headers=ORIGIN).status_code == 400
    assert client.post("/spec/edit", data={"text": GOOD, "job": "no such job"}, headers=ORIGIN).status_code == 404
    with opener() as record:
        assert record.sheet(None) is None


def test_a_refused_line_is_corrected_in_its_place(client, opener):
    bad = "sump,plug,1,many,N*m,5"
    client.post("/spec/edit", data={"text": GOOD + bad + "\n"}, headers=ORIGIN)
    page = client.get("/spec/edit").text
    assert f'name="line-3" class="sheet" value="{bad}"' in page
    form = {"text": GOOD + bad + "\n", "was-3": bad, "line-3": "sump,plug,1,25,N*m,5"}
    assert "2 torque rows" in client.post("/spec/edit", data=form, headers=ORIGIN).text
    with opener() as record:
        assert record.sheet(None).text == GOOD + "sump,plug,1,25,N*m,5\n"


def test_a_line_that_moved_is_not_written_over(client, opener):
    form = {"text": GOOD + "axle,bolt,2,60,N*m,5\n", "was-3": "sump,plug,1,many,N*m,5", "line-3": "sump,plug,1,25,N*m,5"}
    client.post("/spec/edit", data=form, headers=ORIGIN)
    with opener() as record:
        assert record.sheet(None).text == GOOD + "axle,bolt,2,60,N*m,5\n"


@pytest.fixture
def many(opener):
    with opener() as record:
        record.new_job("orchard tractor")
        record.new_job("sprayer")
        for at in range(130):
            record.add_item(OpenItem(kind="question", text=f"question {at:03}"), job="sprayer" if at % 2 else "orchard tractor")
        for at in range(30):
            record.answer(record.add_item(OpenItem(kind="buy", text=f"gasket {at:02}")).item.id, f"bought {at:02}")
        record.add_item(OpenItem(kind="fault", text="a cracked hub"), job="sprayer")


def numbers(page):
    return [int(found) for found in re.findall(r"question (\d{3})", page)]


def test_of_many_items_a_few_stand_on_the_page_and_the_others_a_page_further(client, many):
    page = client.get("/open").text
    assert numbers(page) == list(range(20)), "the oldest first"
    assert "a cracked hub" in page
    assert "110 newer: questions" in page
    assert "bought 29" in page and "bought 09" not in page
    assert "10 that ended earlier" in page
    assert numbers(client.get("/open?kind=question").text) == list(range(100))
    assert numbers(client.get("/open?kind=question&begin=100").text) == list(range(100, 130))
    assert "bought 09" in client.get("/open?kind=ended&begin=20").text
    assert "Nothing of this kind" in client.get("/open?kind=question&begin=9999").text
    assert numbers(client.get("/open?kind=nonsense").text) == list(range(20))
    assert "131 open items" in client.get("/").text


def test_the_items_of_one_job_alone(client, many):
    page = client.get("/open", params={"job": "sprayer"}).text
    assert numbers(page) == list(range(1, 40, 2))
    assert "all kinds</strong> (66)" in page
    assert client.get("/open?job=no+such+job").status_code == 404


@pytest.mark.parametrize(
    ("back", "where"),
    [
        ("kind=question&begin=100&job=sprayer", "/open?job=sprayer&kind=question&begin=100"),
        ("", "/open"),
        ("kind=//evil.example&begin=-1", "/open"),
        ("job=a%0d%0ab", "/open?job=a%0D%0Ab"),
    ],
)
def test_after_an_end_one_is_where_one_was(client, opener, item, back, where):
    answer = client.post(f"/open/{item}/answer", data={"text": "x", "back": back}, headers=ORIGIN)
    assert answer.headers["location"] == f"{where}#i{item}"
