"""How the site is made: Sphinx with MyST, a look of our own, nothing from elsewhere (``make site``).

The source is the whole clone, so that a link that leads somewhere in the repository leads there on the site too: the front page is the README, the
order of the pages is the order of the links in docs/README.md and docs/checks/README.md.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Any

from pygments.lexers.special import TextLexer

CLONE = Path(__file__).resolve().parents[1]
LINK = re.compile(r"\]\((?!https?:)([^)#\s]+)\.md\)")
WIDE_TABLE = re.compile(r"<table(?= class)((?:(?!</tr>).)*(?:<th(?:(?!</tr>).)*){6}</tr>)", re.DOTALL)
CONTENTS = {"README": ["docs/README", "CHANGELOG"], "docs/README": ["DEVELOPERS", "SECURITY"], "docs/checks/README": []}
"""Pages whose links make the contents, each with what it does not link to."""

project = "gudgeon"
extensions = ["myst_parser"]
root_doc = "README"
include_patterns = ["*.md", "docs/**", "benchmarks/**.md"]
exclude_patterns = [".*", "build", "dist", "src", "tests", "models", "sample_audio", "scripts", "docs/site", "docs/pictures"]
myst_heading_anchors = 4

html_theme = "basic"
html_title = "gudgeon"
html_static_path = ["site/static"]
templates_path = ["site"]
html_css_files = ["plain.css"]
html_copy_source = False
html_show_sourcelink = False
html_show_copyright = False
html_show_sphinx = False
html_use_index = False
html_sidebars = {"**": ["contents.html"]}
pygments_style = "bw"


def with_contents(app: Any, name: str, source: list[str]) -> None:
    """What Sphinx reads of a page: to an index the contents are added that its links make."""
    if name.startswith("benchmarks/"):  # results that a guide links to; they are not in the contents
        source[0] = f"---\norphan: true\n---\n\n{source[0]}"
    if name in CONTENTS:
        here = CLONE / name
        linked = [(here.parent / link).resolve().relative_to(CLONE).as_posix() for link in LINK.findall(source[0])]
        mine = [page for page in linked if name == "docs/README" or (name == "docs/checks/README" and page.startswith("docs/checks/"))]
        pages = [f"/{page}" for page in dict.fromkeys([*mine, *CONTENTS[name]]) if page != name]
        source[0] += "\n\n```{toctree}\n:hidden:\n\n" + "\n".join(pages) + "\n```\n"


def finish(app: Any, exception: Exception | None) -> None:
    """Wide tables, which scroll on a narrow screen, can be reached by keyboard; a folder's README is what a browser is shown for the folder."""
    if exception is not None:
        return
    for page in Path(app.outdir).rglob("*.html"):
        made = page.read_text(encoding="utf-8")
        page.write_text(WIDE_TABLE.sub(r'<table tabindex="0"\1', made), encoding="utf-8")
    for page in Path(app.outdir).rglob("README.html"):
        shutil.copyfile(page, page.with_name("index.html"))


def setup(app: Any) -> dict[str, bool]:
    """Called by Sphinx."""
    app.add_lexer("csv", TextLexer)
    app.connect("source-read", with_contents)
    app.connect("build-finished", finish)
    return {"parallel_read_safe": True, "parallel_write_safe": True}
