"""Ordinary English gives next to no torque, and little else (texts: the Debian packages fortunes and fortunes-min)."""

import os
from pathlib import Path

import pytest

from gudgeon.facts import Reader

FOLDER = Path("/usr/share/games/fortunes")
PASSAGES = 4000


def passages() -> list[str]:
    found: list[str] = []
    for path in sorted(FOLDER.iterdir()) if FOLDER.is_dir() else []:
        if path.suffix not in (".dat", ".u8"):
            text = path.read_text(encoding="utf-8", errors="replace")
            found += [" ".join(part.split()) for part in text.split("\n%\n") if part.strip()]
    return found[:PASSAGES]


@pytest.mark.slow
def test_ordinary_english_gives_no_torque(reader: Reader) -> None:
    texts = passages()
    if len(texts) < PASSAGES:
        missing = "not installed: the Debian packages fortunes and fortunes-min"
        pytest.fail(missing) if os.environ.get("CI") else pytest.skip(missing)
    facts = [reader.read(text) for text in texts]
    torques = [fact for found in facts for fact in found if fact.kind == "torque"]
    assert len(torques) <= 2, torques
    assert sum(bool(found) for found in facts) <= 0.06 * len(texts)
