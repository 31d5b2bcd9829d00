"""Writes docs/licences.md: every pinned package with its licence as it states it itself, what brings it, and libraries that lie inside packages.

Run by ``make licences`` after the pins have changed. Fails when a package states no licence.
"""

from __future__ import annotations

import re
import sys
import tomllib
from importlib import metadata
from pathlib import Path

import av._core as ffmpeg

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "docs" / "licences.md"
PIN = re.compile(r"^([a-z0-9][a-z0-9._-]*)==([^ ;\\]+)(?: ; ([^\\]*))?", re.MULTILINE)
NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
STATED = {
    "vosk": "states none; Apache-2.0 in its repository (from memory)",
    "colorama": "BSD-3-Clause (from memory: it is for Windows, and not installed where this page was made)",
}
"""Packages that cannot be asked."""
EXTRAS = ("model", "vosk", "pages", "pdf", "build")
HEAD = """# Licences

gudgeon itself is under the Apache License 2.0 (`LICENSE`). Its wheel contains none of the packages below; pip fetches them from the package
index. Who hands on a complete installation hands them on too. This page is made by `make licences` from what the installed packages state of
themselves; it is no legal advice.

## Packages

| package | version | licence, as the package states it | brought by |
| --- | --- | --- | --- |
"""
INSIDE = """
## Libraries inside packages

Some packages carry compiled libraries of others. These lie beside the package's own code on the computer where this page was made (Linux, x86-64):

"""
NOTES = """
Of these FFmpeg (libav…, libsw…) states: {ffmpeg}. x264 and x265 are under the GNU GPL 2 or later; they are encoders for video, which
gudgeon never calls. LAME (libmp3lame, LGPL) makes the sound clips inside an HTML build record.
`onnxruntime` lists what it is built from in its `ThirdPartyNotices.txt`.

The `typst` package carries the typefaces it sets with; a PDF contains the letters used of Libertinus Serif (SIL Open Font License 1.1).

The speech model (`moonshine-cpp`) is under the MIT licence. Models for `vosk` are your own choice and bring their own licences.
"""


def normal(name: str) -> str:
    """A package's name as the index compares it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def pins() -> dict[str, str]:
    """Every pinned package that an installation of gudgeon may have, with a version; where several are pinned the one that is installed here."""
    found: dict[str, str] = {}
    brought = bringers()
    for name, version, _ in PIN.findall((ROOT / "constraints-dev.txt").read_text(encoding="utf-8")):
        if normal(name) in brought:
            here = installed(name)
            found[normal(name)] = here["Version"] if here else version.strip()
    return found


def installed(name: str) -> metadata.PackageMetadata | None:
    """What an installed package says of itself; None when it is not installed."""
    try:
        return metadata.metadata(name)
    except metadata.PackageNotFoundError:
        return None


def bringers() -> dict[str, list[str]]:
    """Package → what brings it: gudgeon itself, or extras."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    roots = {"gudgeon": project["dependencies"], **{extra: project["optional-dependencies"][extra] for extra in EXTRAS}}
    brought: dict[str, list[str]] = {}
    for root, lines in roots.items():
        todo, seen = [named(line) for line in lines], set()
        while todo:
            name = todo.pop()
            if name in seen:
                continue
            seen.add(name)
            brought.setdefault(name, []).append(root)
            here = installed(name)
            for line in (here.get_all("Requires-Dist") or []) if here else []:
                if "extra ==" not in line:
                    todo.append(named(line))
    return brought


def named(line: str) -> str:
    """The package of a requirement."""
    found = NAME.match(line)
    assert found, line
    return normal(found[0])


def licence(name: str) -> str:
    """A package's licence in its own words: the expression, else the short text, else the classifiers. Raises SystemExit when it states none."""
    here = installed(name)
    if name in STATED:
        return STATED[name]
    if here is None:
        sys.exit(f"{name} is not installed: look its licence up, and say so in STATED of scripts/licences.py.")
    classes = [text.split(" :: ")[-1] for text in here.get_all("Classifier") or [] if text.startswith("License :: ")]
    text = (here.get("License") or "").strip()
    told = here.get("License-Expression") or (text if 0 < len(text) < 60 and "\n" not in text else "") or ", ".join(classes)
    if told in ("", "UNKNOWN"):
        sys.exit(f"{name} states no licence: look it up, and say so in STATED of scripts/licences.py.")
    return told


def inside() -> list[str]:
    """Lines on the compiled libraries that lie beside packages."""
    lines = []
    for name in pins():
        files = metadata.files(name) or [] if installed(name) else []
        libraries = sorted(
            {re.split(r"-[0-9a-f]{6,}|\.so|\.dylib", file.name)[0] for file in files if ".libs" in str(file.parent) and ".so" in file.name}
        )
        if libraries:
            lines.append(f"- `{name}`: {', '.join(libraries)}")
    return lines


def page() -> str:
    """The whole page."""
    brought = bringers()
    rows = [f"| {name} | {version} | {licence(name)} | {', '.join(brought[name])} |" for name, version in sorted(pins().items())]
    told = {str(library["license"]) for library in ffmpeg.library_meta.values()}
    return HEAD + "\n".join(rows) + "\n" + INSIDE + "\n".join(inside()) + "\n" + NOTES.format(ffmpeg=", ".join(sorted(told)))


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"{PAGE.relative_to(ROOT)} is written.")
