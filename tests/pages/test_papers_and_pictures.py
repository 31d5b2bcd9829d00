"""The build record as a page and a file; pictures shown and added, and what is refused of them."""

import pytest
from tests.pages.conftest import ORIGIN
from tests.record.pictures import PLACE, encoded, photo, pixels, with_place


@pytest.fixture
def address(opener, filled):
    with opener() as record:
        return f"/session/{filled}/note/{record.notes(filled)[0].id}/picture"


def test_the_build_record_is_a_page_that_runs_nothing(client, filled):
    answer = client.get("/build-record")
    assert answer.status_code == 200
    assert "80 N·m" in answer.text
    assert "<script>alert" not in answer.text
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "script-src" not in policy
    assert "content-disposition" not in answer.headers
    assert 'href="/build-record' in client.get("/job").text


def test_it_can_be_kept_as_a_file_whatever_the_job_is_called(client, opener, filled):
    with opener() as record:
        record.new_job('../"tractor"; x=é')
    answer = client.get("/build-record", params={"save": "true", "job": '../"tractor"; x=é'})
    kept = answer.headers["content-disposition"]
    assert kept.startswith("attachment; filename*=UTF-8''")
    assert not set('"/\\;') & set(kept.partition("''")[2])


def test_the_order_is_a_page_too_and_an_unknown_job_is_said(client, filled):
    assert client.get("/order").status_code == 200
    assert client.get("/build-record", params={"job": "no such job"}).status_code == 404


def test_a_picture_is_kept_and_shown_without_its_place(client, address):
    data = with_place("jpeg")
    assert PLACE in data
    answer = client.post(address, params={"name": "<b>hub.jpg"}, content=data, headers=ORIGIN)
    assert answer.status_code == 200, answer.text
    assert "<b>hub" not in answer.json()["rows"]
    assert f'src="{address}/1/small"' in answer.json()["rows"]
    assert f'href="{address}/1"' in answer.json()["rows"]
    shown = client.get(f"{address}/1")
    assert shown.headers["content-type"] == "image/jpeg"
    assert PLACE not in shown.content
    assert (pixels(shown.content) == pixels(data)).all()


NO_PICTURES = [b"", b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>", b"<html><script>alert(1)</script>", b"\xff\xd8\xff"]


@pytest.mark.parametrize("data", NO_PICTURES)
def test_what_is_no_picture_is_refused(client, address, data, tmp_path):
    assert client.post(address, params={"name": "a.jpg"}, content=data, headers=ORIGIN).status_code == 400
    assert not list(tmp_path.rglob("photos/*/*"))


def test_other_sites_other_sessions_and_too_much_are_refused(client, address, monkeypatch):
    data = with_place("png")
    assert client.post(address, content=data).status_code == 403
    assert client.post(address.replace("/session/1/", "/session/9/"), content=data, headers=ORIGIN).status_code == 400
    monkeypatch.setattr("gudgeon.pages.picture_routes.LARGEST", 1000)
    assert client.post(address, content=data + b"x" * 1000, headers=ORIGIN).status_code == 400
    assert client.get(f"{address}/1").status_code == 404


def test_a_heavy_picture_is_light_in_a_list_and_whole_behind_its_link(client, address, opener):
    data = photo("jpeg", 3000, 2000)
    assert len(data) > 400_000
    client.post(address, content=data, headers=ORIGIN)
    for _ in range(2):  # made, then kept in memory
        shown = client.get(f"{address}/1/small")
        assert shown.headers["content-type"] == "image/jpeg"
        assert len(shown.content) <= 40_000
        assert pixels(shown.content).shape == (320, 480, 3)
    assert len(client.get(f"{address}/1").content) > 400_000
    with opener() as record:
        record.forget_pictures()
    assert client.get(f"{address}/1/small").status_code == 404
    assert client.get(f"{address.replace('/session/1/', '/session/2/')}/1/small").status_code == 404


def test_a_picture_that_cannot_be_made_small_is_shown_as_it_is(client, address, monkeypatch):
    from gudgeon.record import small_pictures

    monkeypatch.setattr(small_pictures, "LIGHT", 100)
    monkeypatch.setattr(small_pictures, "MOST_PIXELS", 100)
    client.post(address, content=encoded("png"), headers=ORIGIN)
    shown = client.get(f"{address}/1/small")
    assert shown.headers["content-type"] == "image/png"
    assert shown.content == encoded("png")
