"""The guides: every page stands in the index, and no link between them leads nowhere."""

import re
from pathlib import Path

import pytest

DOCS = Path(__file__).parents[1] / "docs"
LINK = re.compile(r"\]\(([^)#\s]+)(?:#[^)]*)?\)")


def test_every_page_is_in_the_index() -> None:
    linked = set(LINK.findall((DOCS / "README.md").read_text(encoding="utf-8")))
    assert {page.name for page in DOCS.glob("*.md")} - {"README.md"} == {name for name in linked if "/" not in name}


@pytest.mark.parametrize("page", sorted(DOCS.rglob("*.md")), ids=lambda page: str(page.relative_to(DOCS)))
def test_links_lead_somewhere(page: Path) -> None:
    for link in LINK.findall(page.read_text(encoding="utf-8")):
        assert link.startswith(("https://", "http://", "mailto:")) or (page.parent / link).exists(), link
