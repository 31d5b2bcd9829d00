"""The web site made of docs/: built without a warning, whole, with nothing from elsewhere, and fit for a narrow screen and for the keyboard."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

CLONE = Path(__file__).resolve().parents[1]
PAGES = sorted([*(CLONE / "docs").rglob("*.md"), *(CLONE / f"{name}.md" for name in ("README", "DEVELOPERS", "SECURITY", "CHANGELOG"))])
LOOKED_AT = ("index", "docs/index", "docs/first-session", "docs/bicycle", "docs/house", "docs/agreement", "docs/checks/clash", "search")
FLAGS = ("--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync")

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("site")
    command = [sys.executable, "-m", "sphinx", "-W", "-q", "-b", "html", "-c", "docs", "-d", str(made / "kept"), ".", str(made / "site")]
    built = subprocess.run(command, cwd=CLONE, capture_output=True, text=True)
    assert built.returncode == 0, built.stderr
    return made / "site"


def test_every_page_is_there(site: Path) -> None:
    for page in PAGES:
        assert (site / page.relative_to(CLONE)).with_suffix(".html").exists(), page
    for folder in (site, site / "docs", site / "docs" / "checks"):
        assert (folder / "index.html").exists()


def test_nothing_is_loaded_from_elsewhere(site: Path) -> None:
    for page in site.rglob("*.html"):
        loaded = r"""<(?:script|img|link|iframe|source)[^>]*(?:src|href)=["'](?:https?:)?//"""
        assert not re.findall(loaded, page.read_text(encoding="utf-8")), page
    for style in site.rglob("*.css"):
        assert not re.search(r"@import|url\(\s*['\"]?(?:https?:)?//", style.read_text(encoding="utf-8")), style


@pytest.mark.needs("chromium")
@pytest.mark.parametrize("width", [1280, 390])
def test_no_page_runs_over_or_bars_anyone(site: Path, width: int) -> None:
    from axe_playwright_python.sync_playwright import Axe
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path="/usr/bin/chromium", args=list(FLAGS))
        tab = browser.new_page(viewport={"width": width, "height": 900})
        for page in LOOKED_AT:
            tab.goto((site / f"{page}.html").as_uri())
            found = Axe().run(tab).response["violations"]
            assert not found, f"{page}: {[(each['id'], each['nodes'][0]['html'][:120]) for each in found]}"
            assert tab.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0, page
        browser.close()
