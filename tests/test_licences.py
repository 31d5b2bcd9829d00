"""The page of licences names every package that an installation of gudgeon may fetch, in the version that is pinned."""

import re

PIN = re.compile(r"^([a-z0-9][a-z0-9._-]*)==([^ ;\\]+)", re.MULTILINE)


def test_every_pinned_package_stands_on_the_page(repository):
    page = (repository / "docs" / "licences.md").read_text(encoding="utf-8")
    rows = dict(re.findall(r"^\| (\S+) \| (\S+) \|", page, re.MULTILINE))
    pinned: dict[str, set[str]] = {}
    for name, version in PIN.findall((repository / "constraints.txt").read_text(encoding="utf-8")):
        pinned.setdefault(name, set()).add(version)
    missing = {name: versions for name, versions in pinned.items() if rows.get(name) not in versions}
    assert not missing, "run: make licences"
    assert "vosk" in rows and "typst" in rows


def test_none_is_without_a_licence(repository):
    page = (repository / "docs" / "licences.md").read_text(encoding="utf-8")
    assert not re.search(r"UNKNOWN|\|  \|", page)
