"""The build record as a page, in a real browser: accessible, nothing cut on a telephone, sound that plays, and prints with heads on every page."""

import re
import shutil
import subprocess
from dataclasses import replace

import numpy as np
import pytest

from gudgeon.audio import mp3
from gudgeon.reports import Attachment, BuildView, SessionPart, as_html, build_record

pytestmark = [pytest.mark.slow, pytest.mark.needs("chromium"), pytest.mark.needs("pdftotext")]
PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de0000000c4944415408d763f8cfc000000301010018dd8db00000000049454e44ae426082"
)


@pytest.fixture
def page_file(view, tmp_path):
    """The record of the shared session, many times over, with a picture and a sound."""
    picture, sound = Attachment("picture", "lid.png", 21, 1), Attachment("sound", "Sound of session 3 at 0:40", 21)
    entries = [replace(entry, id=100 * turn + entry.id) for turn in range(12) for entry in view.entries]
    part = SessionPart(session=view.session, notes=view.notes, entries=entries, attached={21: (picture, sound)})
    document = build_record(BuildView(job="orchard tractor", parts=[part], items=view.items, made=view.session.started, maker="gudgeon 9"))
    tone = mp3(np.sin(np.arange(32_000, dtype=np.float32) / 20))
    path = tmp_path / "record.html"
    path.write_text(as_html(document, {picture: PNG, sound: tone}), encoding="utf-8")
    return path


@pytest.fixture
def browser():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        chromium = driver.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        yield chromium
        chromium.close()


@pytest.mark.parametrize("width", [360, 1280])
def test_on_the_screen(browser, page_file, width):
    from axe_playwright_python.sync_playwright import Axe

    page = browser.new_page(viewport={"width": width, "height": 900})
    complaints = []
    page.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
    page.goto(page_file.as_uri())
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate("[...document.images].every(i => i.naturalWidth > 0)")
    seconds = page.evaluate(
        "() => new Promise(done => { const a = document.querySelector('audio'); a.onloadedmetadata = () => done(a.duration);"
        " a.onerror = () => done(-1); a.preload = 'auto'; a.load(); })"
    )
    assert seconds == pytest.approx(2.0, abs=0.2)
    assert not complaints


def test_on_paper(browser, page_file, tmp_path):
    page = browser.new_page()
    page.goto(page_file.as_uri())
    page.pdf(path=str(tmp_path / "x.pdf"), prefer_css_page_size=True)
    text = subprocess.run(["pdftotext", "-layout", tmp_path / "x.pdf", "-"], check=True, capture_output=True, text=True).stdout
    pages = text.split("\f")[:-1]
    assert len(pages) > 4
    for at, sheet in enumerate(pages, start=1):
        assert re.search(rf"\b{at} of {len(pages)}\b", sheet), f"page {at} has no number"
    headless = [at for at, sheet in enumerate(pages, start=1) if "heard, confidence" in sheet and not re.search("(Value|Size) as said", sheet)]
    assert not headless, "a page of a table without its head"
    assert "Sound of session" not in text, "a player is no use on paper"
