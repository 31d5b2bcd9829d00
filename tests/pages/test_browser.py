"""The pages in a real browser: every page at three widths, by keyboard alone, a mend and its undo, sound that plays, print, and no barrier found."""

import socket
import threading
import time
from contextlib import contextmanager

import pytest

from gudgeon.checks import read_spec
from gudgeon.pages import make_app

pytestmark = [pytest.mark.slow, pytest.mark.needs("chromium"), pytest.mark.flaky(reruns=2)]

FLAGS = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking --disable-component-update --disable-sync "
    "--autoplay-policy=no-user-gesture-required"
)
WIDTHS = [390, 820, 1280]
SHEET = "part,fastener,count,torque,unit,tolerance_percent\nhub,bolt,8,80,N*m,5\nsump,drain plug,1,25,lbf*ft,10\n"
JOB = "orchard tractor"
PAGES = [
    *("/", "/session/{0}", "/job", "/joint?line=2", "/build-record", "/order", "/spec", "/spec/edit", "/open", "/find?q=drain", "/live", "/bring"),
    *("/session/99", "/nowhere"),
]


@contextmanager
def serving(app, port=0):
    import uvicorn

    listening = socket.socket()
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    listening.bind(("127.0.0.1", port))
    server = uvicorn.Server(uvicorn.Config(app, log_level="error", access_log=False, ws="none", lifespan="off", timeout_graceful_shutdown=1))
    thread = threading.Thread(target=lambda: server.run(sockets=[listening]), daemon=True)
    thread.start()
    try:
        while not server.started:
            time.sleep(0.01)
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join(10)
        listening.close()


@pytest.fixture(scope="module")
def browser():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS.split())
        yield opened
        opened.close()


@pytest.fixture
def site(house, filled, opener, rules):
    from gudgeon.session import settle

    with opener() as record:
        record.put_sheet(name="hub.csv", text=SHEET, sheet=read_spec(SHEET.splitlines()))
        settle(record, filled, rules)
    with serving(make_app(house)) as address:
        yield address


@pytest.fixture
def page(browser, site):
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    tab = context.new_page()
    tab.set_default_timeout(60_000)
    tab.troubles, tab.expected = [], []  # what the browser itself reports of a request that a test has refused, its message may come late
    tab.on("pageerror", lambda error: tab.troubles.append(str(error)))
    tab.on("console", lambda said: tab.troubles.append(said.text) if said.type == "error" and "404" not in said.text else None)
    yield tab
    assert [said for said in tab.troubles if not any(words in said for words in tab.expected)] == []
    context.close()


def until(page, question):
    """Ask the page until it says yes: its content policy lets Playwright's own waiting run no text as code."""
    late = time.monotonic() + 60
    while time.monotonic() < late:
        if page.evaluate(question):
            return
        page.wait_for_timeout(50)
    pytest.fail(f"never came true: {question}")


def slowly(page):
    """Play at a tenth of the speed, so that a sound is not over before a busy computer has looked at it."""
    page.evaluate("document.getElementById('player').defaultPlaybackRate = 0.1")


def click_strip(page, share):
    """A click into the strip of the sound, that share of its width from the left."""
    strip = page.locator("#wave")
    strip.click(position={"x": strip.bounding_box()["width"] * share, "y": 20})


def in_focus(page):
    return page.evaluate("document.activeElement.id || document.activeElement.tagName")


@pytest.mark.parametrize("width", WIDTHS)
def test_every_page_fits_and_has_no_barrier(page, site, filled, width):
    from axe_playwright_python.sync_playwright import Axe

    page.set_viewport_size({"width": width, "height": 900})
    for path in PAGES:
        page.goto(site + path.format(filled))
        assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth"), path
        found = Axe().run(page).response["violations"]
        assert [(rule["id"], rule["nodes"][0]["html"]) for rule in found] == [], path


def test_a_finger_hits_every_button_on_a_phone(page, site, filled):
    page.set_viewport_size({"width": 390, "height": 900})
    page.goto(f"{site}/session/{filled}")
    small = page.evaluate(
        "[...document.querySelectorAll('button, summary')].filter(b => b.offsetHeight && b.offsetHeight < 32).map(b => b.textContent)"
    )
    assert small == []


def test_the_keyboard_goes_all_the_way(page, site, filled):
    page.goto(f"{site}/session/{filled}")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    for key, note in (("j", "n0"), ("j", "n1"), ("j", "n2"), ("j", "n2"), ("k", "n1")):
        page.keyboard.press(key)
        assert in_focus(page) == note
    page.keyboard.press("k")
    page.keyboard.press("e")
    assert page.evaluate("document.activeElement.name") == "torque-0"
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.tagName") == "SUMMARY"
    assert page.locator("details[open]").count() == 0
    page.keyboard.press("w")
    assert page.evaluate("document.activeElement.name") == "text"


def test_a_value_is_mended_and_taken_back_by_keys_without_a_reload(page, site, filled):
    page.goto(f"{site}/session/{filled}")
    page.evaluate("window.same = true")
    page.keyboard.press("j")
    hub = page.locator("#n0 .verdict").first
    assert "within" in hub.inner_text()
    page.keyboard.press("e")
    page.keyboard.type("120 N m")
    page.keyboard.press("Enter")
    page.locator("#n0 .verdict.out").wait_for()
    assert "over" in page.locator("#n0 .verdict").first.inner_text()
    assert "1 over" in page.locator("#counts").inner_text()
    assert "120 N·m" in page.locator("#told").inner_text()
    page.locator("#progress", has_text="0 of 2 rows").wait_for()
    assert in_focus(page) == "n0"
    page.keyboard.press("z")
    page.locator("#n0 .verdict", has_text="within").wait_for()
    page.locator("#progress", has_text="1 of 2 rows").wait_for()
    assert page.locator("#counts", has_text="over").count() == 0
    assert page.evaluate("window.same") is True


def test_words_are_mended_in_place(page, site, filled):
    page.goto(f"{site}/session/{filled}")
    page.keyboard.press("j")
    page.keyboard.press("w")
    page.keyboard.press("Control+a")
    page.keyboard.type("eight hub bolts to ninety newton metres")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.locator("#n0 .number", has_text="90 N·m").wait_for()


def test_what_is_refused_is_said_and_stays_typed(page, site, filled):
    page.expected.append("status of 400")
    page.goto(f"{site}/session/{filled}")
    page.keyboard.press("j")
    page.keyboard.press("e")
    page.keyboard.type("eighty apples")
    page.keyboard.press("Enter")
    page.locator("#told", has_text="is no torque").wait_for()
    assert page.locator("#n0 input[name=torque-0]").input_value() == "eighty apples"


def test_a_server_that_is_gone_loses_nothing_typed(page, site, filled):
    page.expected.append("ERR_INTERNET_DISCONNECTED")
    page.goto(f"{site}/session/{filled}")
    page.keyboard.press("j")
    page.keyboard.press("e")
    page.keyboard.type("77 N m")
    page.context.set_offline(True)
    page.keyboard.press("Enter")
    page.locator("#told", has_text="does not answer").wait_for()
    assert page.locator("#n0 input[name=torque-0]").input_value() == "77 N m"


def test_the_sound_of_a_note_really_plays(page, site, filled):
    page.goto(f"{site}/session/{filled}")
    slowly(page)
    page.keyboard.press("j")
    page.keyboard.press(" ")
    until(page, "document.getElementById('player').currentTime > 0.3")
    assert page.evaluate("document.getElementById('player').duration") == pytest.approx(2.65, abs=0.3)
    page.evaluate("document.getElementById('player').currentTime = 1.5")
    until(page, "document.getElementById('player').currentTime > 1.6")
    assert page.evaluate("document.getElementById('player').error") is None


WATCH = """window.seen = [];
const player = document.getElementById('player');
player.addEventListener('timeupdate', () => window.seen.push(
    [player.currentTime, document.querySelector('.playing')?.id, document.getElementById('cursor').getAttribute('d')]))"""


def test_a_click_into_the_strip_plays_from_there_and_a_line_moves_along(page, site, filled):
    page.goto(f"{site}/session/{filled}")
    page.evaluate(WATCH)  # written down as it happens: a busy computer may look too late
    slowly(page)
    click_strip(page, 4.5 / 9)  # in the second note, which begins at 3 s
    assert in_focus(page) == "n1"
    until(page, "window.seen.length > 4")
    page.keyboard.press(" ")
    until(page, "document.getElementById('player').paused")
    seen = [moment for moment in page.evaluate("window.seen") if moment[1]]
    assert seen[0][0] == pytest.approx(1.65, abs=0.4)  # the sound of the note begins 0.15 s before its first word
    assert {note for _, note, _ in seen} == {"n1"}
    drawn = [float(line[1:].split()[0]) for _, _, line in seen if line]
    assert drawn == sorted(drawn)
    assert len(set(drawn)) > 1
    until(page, "document.querySelectorAll('.playing').length === 0")  # its event comes a little after the pause


def test_the_strip_of_a_long_session_comes_by_itself(page, site, filled, monkeypatch):
    monkeypatch.setattr("gudgeon.pages.app.AT_ONCE_S", 1.0)
    page.goto(f"{site}/session/{filled}")
    until(page, "document.getElementById('heights').getAttribute('d').startsWith('M0.5')")


def test_arrows_go_a_second_back_and_on_in_the_sound(page, site, filled):
    page.goto(f"{site}/session/{filled}")
    slowly(page)
    page.keyboard.press("j")
    page.keyboard.press(" ")
    until(page, "document.getElementById('player').currentTime > 0.1")
    page.keyboard.press(" ")
    until(page, "document.getElementById('player').paused")
    page.evaluate("document.getElementById('player').currentTime = 1.2")
    page.keyboard.press("ArrowLeft")
    assert page.evaluate("document.getElementById('player').currentTime") == pytest.approx(0.2, abs=0.05)
    page.keyboard.press("ArrowRight")
    assert page.evaluate("document.getElementById('player').currentTime") == pytest.approx(1.2, abs=0.05)


def test_those_to_listen_to_come_alone_with_one_key_and_a_unit_is_chosen(page, site, filled, opener, reader, rules):
    from gudgeon.domain import Note
    from gudgeon.session import settle

    with opener() as record:
        text = "the sump drain plug at twenty five"
        record.add_note(filled, Note(text=text, start=8.0, end=8.9), reader.read(text))
        settle(record, filled, rules)
    page.goto(f"{site}/session/{filled}")
    page.keyboard.press("o")
    assert in_focus(page) == "n3"
    assert page.locator("section.note:visible").count() == 1
    page.get_by_role("button", name="25 lb·ft", exact=True).click()
    page.locator("#n3 .verdict", has_text="within").wait_for()
    assert page.locator("#n3.unsure").count() == 0
    page.keyboard.press("z")
    page.locator("#n3 .verdict", has_text="unit not said").wait_for()


def test_notes_that_came_to_nothing_are_hidden_with_one_key_and_stay_so(page, site, filled, opener, reader):
    from gudgeon.domain import Note

    with opener() as record:
        text = "is there any tea left"
        record.add_note(filled, Note(text=text, start=8.0, end=8.9), reader.read(text))
    page.goto(f"{site}/session/{filled}")
    assert page.locator("#n3").is_visible()
    page.keyboard.press("h")
    assert page.locator("#n3").is_hidden()
    assert page.locator("section.note:visible").count() == 3
    for _ in range(4):
        page.keyboard.press("j")
    assert in_focus(page) == "n2"
    page.goto(f"{site}/session/{filled}")
    assert page.locator("#n3").is_hidden()
    page.get_by_role("button", name="Hide 1 note").click()
    assert page.locator("#n3").is_visible()
    page.get_by_role("button", name="Strike that note").click()
    page.get_by_role("button", name="Bring back the notes struck last").wait_for()


def test_keys_and_the_strip_lead_on_to_the_next_page_of_a_long_session(page, site, filled, monkeypatch):
    monkeypatch.setattr("gudgeon.pages.session_page.ROWS", 2)
    page.goto(f"{site}/session/{filled}")
    for note in ("n0", "n1", "n2"):
        page.keyboard.press("j")
        page.locator(f"#{note}:focus").wait_for()
        page.wait_for_load_state()  # the browser has the note in focus before the new page's script listens
    page.keyboard.press("k")
    page.locator("#n1:focus").wait_for()
    page.wait_for_load_state()
    click_strip(page, 7 / 9)
    page.locator("#n2:focus").wait_for()


def test_what_is_typed_elsewhere_outlives_another_mend(page, site, filled):
    page.goto(f"{site}/session/{filled}")
    page.locator("#n1 details.words summary").click()
    page.locator("#n1 textarea").fill("half a sentence")
    page.locator("#n0 button", has_text="Strike").click()
    page.locator("#told", has_text="struck").wait_for()
    assert page.locator("#n1 textarea").input_value() == "half a sentence"


def test_a_joint_shows_its_values_and_leads_back_to_where_they_were_said(page, site, filled):
    page.goto(f"{site}/job")
    page.get_by_role("link", name="hub bolt").click()
    page.wait_for_url("**/joint?*")  # the page before has such a drawing too
    assert "76 to 84" in page.locator("svg.range").get_attribute("aria-label")
    page.locator("tbody a", has_text="session").first.click()
    page.wait_for_url("**/session/*#e*")
    assert page.locator("article.made").first.is_visible()


def test_a_sheets_file_is_taken_and_its_bad_line_mended_in_place(page, site, tmp_path):
    (tmp_path / "axle.csv").write_text("part,fastener,count,torque,unit,tolerance_percent\naxle,bolt,4,60,N*m,5\nsump,plug,1,many,N*m,5\n")
    page.goto(f"{site}/spec/edit")
    page.set_input_files("#file", tmp_path / "axle.csv")
    until(page, "document.getElementById('text').value.includes('axle')")
    page.get_by_role("button", name="Keep it").click()
    page.locator("#line-3").fill("sump,plug,1,25,N*m,5")
    page.get_by_role("button", name="Keep the corrected lines").click()
    page.get_by_text("2 torque rows").wait_for()
    assert page.locator("#line-3").count() == 0


def test_a_sheet_typed_while_the_server_is_gone_is_not_lost(page, site, filled):
    page.expected.append("ERR_INTERNET_DISCONNECTED")
    page.goto(f"{site}/spec/edit")
    page.fill("#text", "part,torque,unit\nhub,80,N*m\n")
    page.context.set_offline(True)
    page.get_by_role("button", name="Keep it").click()
    page.locator("#told", has_text="does not answer").wait_for()
    assert "hub,80" in page.locator("#text").input_value()
    page.context.set_offline(False)
    page.get_by_role("button", name="Keep it").click()
    page.get_by_text("Kept: 1 torque row").wait_for()


def test_an_open_item_is_ended_and_reopened(page, site, filled, opener):
    from gudgeon.domain import OpenItem

    with opener() as record:
        record.add_item(OpenItem(kind="todo", text="bleed the lines"))
    page.goto(f"{site}/open")
    page.get_by_role("article").filter(has_text="bleed the lines").get_by_text("End item").click()
    page.keyboard.press("Tab")
    page.keyboard.type("done on Saturday")
    page.keyboard.press("Enter")
    page.get_by_text("answered: done on Saturday").wait_for()
    page.locator("li", has_text="bleed the lines").get_by_role("button").click()
    page.locator("article", has_text="bleed the lines").wait_for()


def test_markup_in_words_runs_nothing(page, site, filled):
    alerts = []
    page.on("dialog", lambda dialog: (alerts.append(dialog.message), dialog.dismiss()))
    for path in (f"/session/{filled}", "/find?q=<script>alert(1)</script>", "/find?q=drain"):
        page.goto(site + path)
    assert alerts == []
    page.goto(f"{site}/session/{filled}")
    assert "<script>alert(1)</script>" in page.locator("#n1 .said").inner_text()


def test_search_answers_while_typing(page, site, filled):
    page.goto(f"{site}/find")
    page.keyboard.type("drain plug")
    page.locator("#hits", has_text="40 lb·ft").wait_for()


def test_a_search_that_is_not_answered_says_so_and_what_stands_there(page, site, filled):
    page.expected.append("ERR_INTERNET_DISCONNECTED")
    page.goto(f"{site}/find?q=drain")
    page.context.set_offline(True)
    page.fill("#q", "hub")
    page.locator("#told", has_text="earlier question").wait_for()
    assert "40 lb·ft" in page.locator("#hits").inner_text()
    page.context.set_offline(False)
    page.fill("#q", "hub bolts")
    page.locator("#hits", has_text="80 N·m").wait_for()
    assert page.locator("#told").inner_text() == ""


def test_printed_paper_has_words_and_values_and_no_buttons(page, site, filled):
    page.goto(f"{site}/session/{filled}")
    page.emulate_media(media="print")
    for selector in ("nav", "button.hear", "details.mend", ".legend"):
        assert page.locator(selector).first.is_hidden(), selector
    assert page.locator("#n0 .said").is_visible()
    assert page.locator("#n0 .verdict").first.is_visible()
    assert page.pdf()[:4] == b"%PDF"


def test_a_file_is_brought_and_becomes_a_session(page, site, tmp_path):
    (tmp_path / "evening.txt").write_text("the sump drain plug at 25 foot pounds\n")
    page.goto(f"{site}/bring")
    page.set_input_files("#file", tmp_path / "evening.txt")
    page.get_by_role("button", name="Bring it").click()
    page.locator("#readings", has_text="evening.txt: done").wait_for()
    page.locator("#readings a").click()
    page.locator("#n0 .number", has_text="25 lb·ft").wait_for()


def test_a_reading_shows_how_far_it_is_goes_on_when_the_page_is_closed_and_can_be_stopped(browser, house, opener, tmp_path, request):
    from dataclasses import replace

    go_on = threading.Event()
    request.addfinalizer(go_on.set)

    def tools(record):
        made = house.tools(record)

        def read(text):
            if "slowly" in text:
                go_on.wait(300)
            return made.read(text)

        return replace(made, read=read)

    (tmp_path / "evening.txt").write_text("the sump drain plug at 25 foot pounds\nslowly the hub bolts at 80 newton metres\nslowly done\n")
    with serving(make_app(replace(house, tools=tools))) as address:
        tab = browser.new_page()
        tab.goto(f"{address}/bring")
        tab.set_input_files("#file", tmp_path / "evening.txt")
        tab.get_by_role("button", name="Bring it").click()
        tab.locator("#readings", has_text="1 note so far").wait_for()
        tab.close()
        tab = browser.new_page()
        tab.goto(f"{address}/bring")
        tab.locator("#readings", has_text="evening.txt: reading").wait_for()
        tab.get_by_role("button", name="Stop evening.txt").click()
        until(tab, "document.querySelector('#readings button').disabled")
        go_on.set()
        tab.locator("#readings", has_text="evening.txt: stopped").wait_for()
        tab.close()
    with opener() as record:
        kept = record.notes(record.sessions()[-1].id)
    assert 1 <= len(kept) < 3


SENT = """window.seen = [];
const sent = document.getElementById('sent');
new MutationObserver(() => window.seen.push(sent.value)).observe(sent, { attributes: true });"""


def test_a_big_file_shows_how_much_of_it_has_come(page, site, tmp_path):
    (tmp_path / "long.txt").write_text("nothing was said here\n" * 60_000)
    page.goto(f"{site}/bring")
    network = page.context.new_cdp_session(page)
    network.send("Network.enable")
    network.send("Network.emulateNetworkConditions", {"offline": False, "latency": 0, "downloadThroughput": -1, "uploadThroughput": 700_000})
    page.set_input_files("#file", tmp_path / "long.txt")
    page.evaluate(SENT)  # written down as it happens: a busy computer may look too late
    page.get_by_role("button", name="Bring it").click()
    until(page, "window.seen.some((share) => share > 10 && share < 100)")
    page.locator("#readings", has_text="long.txt").wait_for()
    page.locator("#sent").wait_for(state="hidden")
    page.get_by_role("button", name="Stop long.txt").click()
    page.locator("#readings", has_text="long.txt: stopped").wait_for()


def test_the_live_page_fills_and_outlives_a_lost_connection(page, site, filled, opener, reader):
    from gudgeon.domain import Note

    def say(text):
        with opener() as record:
            record.add_note(filled, Note(text=text, start=9.0, end=11.0), reader.read(text))

    page.goto(f"{site}/live")
    page.locator("#state", has_text="Connected").wait_for()
    say("the sump drain plug at 25 foot pounds")
    page.locator("#rows", has_text="25 foot pounds").wait_for()


def test_a_phone_follows_a_session_while_listen_runs_over_the_network(browser, tmp_path, repository):
    """Two programs of their own, serve --lan and listen, over one record; the phone comes in by the code and sees verdicts before listen ends."""
    import re
    import signal
    import subprocess
    import sys

    from tests.pages.test_serve import running

    from gudgeon.cli.serve import _own_address
    from gudgeon.domain import Failure

    try:
        mine = _own_address()
    except Failure:
        pytest.skip("this computer is in no network")
    record = tmp_path / "record"
    sample = repository / "sample_audio"
    sheet = ["spec", "load", str(sample / "orchard_spec.csv"), "--job", JOB, "--record", str(record)]
    subprocess.run([sys.executable, "-m", "gudgeon", *sheet], check=True, capture_output=True)
    talk = ["listen", "--from", str(sample / "orchard_session.flac"), "--pace", "--plain", "--job", JOB, "--record", str(record)]
    with running(record, "--lan") as (_, shown, port):
        code = re.search(r"code ([A-Z2-9]{4}-[A-Z2-9]{4})", shown)[1]
        tab = browser.new_context(viewport={"width": 390, "height": 780}, has_touch=True, is_mobile=True).new_page()
        tab.set_default_timeout(120_000)
        tab.goto(f"http://{mine}:{port}/enter#{code}")
        tab.get_by_role("heading", name="Sessions").wait_for()
        tab.get_by_role("link", name="Live").tap()
        tab.locator("#state", has_text="Connected").wait_for()
        listening = subprocess.Popen([sys.executable, "-m", "gudgeon", *talk], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            tab.locator("#rows .verdict", has_text="within").first.wait_for()
            assert listening.poll() is None
            tab.locator("#rows", has_text="running").wait_for()
        finally:
            listening.send_signal(signal.SIGINT)
            listening.wait(120)
        tab.locator("#rows .under", has_text="finished").wait_for()  # or unfinished, as far as it came
        tab.context.close()


def test_the_live_page_asks_again_when_the_server_comes_back(browser, house, filled):
    tab = browser.new_page()
    with serving(make_app(house)) as address:
        tab.goto(f"{address}/live")
        tab.locator("#state", has_text="Connected").wait_for()
        port = int(address.rpartition(":")[2])
    tab.locator("#state", has_text="lost").wait_for()
    with serving(make_app(house), port=port):
        tab.locator("#state", has_text="Connected").wait_for()
        tab.close()


def test_another_device_gets_in_with_the_code_in_the_address(browser, house, filled):
    from datetime import UTC, datetime

    from gudgeon.pages import Door

    with serving(make_app(house, door=Door("ABCD2345", b"k" * 32, lambda: datetime.now(UTC)))) as address:
        tab = browser.new_context().new_page()
        tab.goto(f"{address}/session/{filled}")
        assert tab.url.endswith("/enter")
        tab.fill("#code", "WRONG")
        tab.keyboard.press("Enter")
        tab.get_by_text("That is not the code").wait_for()
        tab.goto("about:blank")
        tab.goto(f"{address}/enter#ABCD2345", wait_until="commit")  # its script goes on to the next page before it is loaded
        tab.get_by_role("heading", name="Sessions").wait_for()
        assert "ABCD" not in tab.url
        tab.context.close()


SHOWS_FOCUS = """(e => [e.tagName + ' ' + e.textContent.trim().slice(0, 20),
    getComputedStyle(e).outlineStyle !== 'none' || e.matches('.pic input, audio')])(document.activeElement)"""


def test_every_page_can_be_reached_by_keyboard_and_the_focus_is_seen(page, site, filled):
    page.goto(f"{site}/")
    for name in ("Open items", "Find", "Spec sheets", "Live", "Bring a recording"):
        page.get_by_role("link", name="To the content").focus()
        for _ in range(12):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.textContent") == name:
                break
        page.keyboard.press("Enter")
        page.get_by_role("heading", level=1, name=name).wait_for()
        page.get_by_role("link", name="To the content").focus()
        passed = 0
        for _ in range(60):
            page.keyboard.press("Tab")
            what, seen = page.evaluate(SHOWS_FOCUS)
            if what.startswith("BODY"):
                break
            assert seen, what
            passed += 1
        assert passed >= 6


def test_the_worst_verdicts_are_as_black_on_paper_as_the_others(page, site, filled, opener, rules, reader):
    from gudgeon.domain import Note
    from gudgeon.session import settle

    with opener() as record:
        text = "the sump drain plug at ninety foot pounds"
        record.add_note(filled, Note(text=text, start=8.0, end=8.9), reader.read(text))
        settle(record, filled, rules)
    page.goto(f"{site}/session/{filled}")
    page.emulate_media(media="print")  # printers leave backgrounds out, so a light text on a dark one would vanish
    for verdict in page.locator(".verdict.out").all():
        assert verdict.evaluate("e => getComputedStyle(e).color") == "rgb(42, 37, 32)"
    assert page.locator("#n3 .verdict.out").is_visible()
    assert page.locator("form:visible").count() == 0


def test_the_printed_job_keeps_its_drawings_and_no_joint_is_torn(page, site, filled):
    page.goto(f"{site}/job")
    page.emulate_media(media="print")
    assert page.locator("nav").is_hidden()
    assert page.locator("svg.range").first.is_visible()
    assert page.locator("section.joint").first.evaluate("e => getComputedStyle(e).breakInside") == "avoid"
    assert page.locator(".filled").first.evaluate("e => getComputedStyle(e).fill") == "rgb(42, 37, 32)"


def test_a_picture_is_added_to_a_note_and_shows(page, site, filled, tmp_path):
    from tests.record.pictures import encoded

    (tmp_path / "hub.png").write_bytes(encoded("png"))
    page.goto(f"{site}/session/{filled}")
    page.locator("#n0 .pic input").set_input_files(tmp_path / "hub.png")
    page.locator("#told", has_text="hub.png is kept").wait_for()
    page.locator("#n0 .pictures img").scroll_into_view_if_needed()
    until(page, "document.querySelector('#n0 .pictures img').naturalWidth === 64")
