"""The door for other devices: who gets in, with what, how often one may try, and that a forged or old cookie opens nothing."""

from datetime import UTC, datetime, timedelta

import pytest
from fastapi.testclient import TestClient

from gudgeon.pages import LOOPBACK, Door, address, make_app
from gudgeon.pages.door import COOKIE, TRIES

CODE = "ABCD2345"
START = datetime(2026, 5, 3, 12, tzinfo=UTC)
ORIGIN = {"Origin": "http://192.0.2.7"}


class Clock:
    def __init__(self):
        self.now = START

    def __call__(self):
        return self.now


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def door(clock):
    return Door(CODE, b"k" * 32, clock)


@pytest.fixture
def client(house, door):
    app = make_app(house, hosts=LOOPBACK | {"192.0.2.7"}, door=door)
    return TestClient(app, base_url="http://192.0.2.7", follow_redirects=False)


def enter(client, code):
    return client.post("/enter", data={"code": code}, headers=ORIGIN)


@pytest.mark.parametrize(
    "path", ["/", "/session/1", "/session/1/note/1.wav", "/find.json?q=a", "/open", "/spec", "/job", "/live", "/live/events", "/bring"]
)
def test_nothing_is_shown_before_the_code(client, filled, path):
    assert client.get(path).status_code == 401
    asked = client.get(path, headers={"Accept": "text/html"})
    assert (asked.status_code, asked.headers["location"]) == (303, "/enter")
    assert "hub" not in asked.text


@pytest.mark.parametrize("path", ["/session/1/entry/1/strike", "/session/1/note/1/words", "/bring/file?name=a", "/bring/1/stop"])
def test_nothing_is_changed_before_the_code(client, filled, path):
    assert client.post(path, headers=ORIGIN, content=b"x").status_code == 401


@pytest.mark.parametrize("typed", [CODE, "abcd-2345", " ABCD 2345 "])
def test_the_code_lets_in_however_it_is_typed(client, filled, typed):
    answer = enter(client, typed)
    assert answer.status_code == 303
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert client.get(f"/session/{filled}").status_code == 200


def test_after_five_wrong_codes_even_the_right_one_waits(client, clock):
    for at in range(TRIES):
        assert enter(client, f"WRONG{at:03}").status_code == 403
    assert enter(client, CODE).status_code == 429
    clock.now += timedelta(minutes=1, seconds=1)
    assert enter(client, CODE).status_code == 303


FORGED = [
    "",
    ".",
    "9999999999",
    "9999999999.",
    "9999999999." + "0" * 64,
    "٩٩٩٩٩٩٩٩٩٩." + "0" * 64,
    "99999999999999999999999.x",
    "-1.x",
    "9999999999.é",
]


@pytest.mark.parametrize("cookie", FORGED)
def test_a_forged_cookie_opens_nothing(door, cookie):
    assert not door.knows(cookie)


def test_a_cookie_ends_and_cannot_be_lengthened_or_carried_to_another_start(door, clock):
    cookie = door.cookie()
    until, _, signature = cookie.partition(".")
    assert door.knows(cookie)
    assert not door.knows(f"{int(until) + 1}.{signature}")
    assert not Door(CODE, b"j" * 32, clock).knows(cookie)
    clock.now += timedelta(hours=12, seconds=1)
    assert not door.knows(cookie)


def test_the_code_cannot_be_sent_from_another_site_or_name(client):
    assert client.post("/enter", data={"code": CODE}, headers={"Origin": "https://elsewhere.example"}).status_code == 403
    assert client.post("/enter", data={"code": CODE}, headers={**ORIGIN, "Host": "rebound.example"}).status_code == 403
    assert COOKIE not in client.cookies


def test_the_address_for_the_phone_keeps_the_code_out_of_the_request_line():
    assert address("192.0.2.7", 8417, CODE).partition("#")[2] == CODE
    assert CODE not in address("192.0.2.7", 8417, CODE).partition("#")[0]
