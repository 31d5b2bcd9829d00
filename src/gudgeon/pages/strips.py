"""The height of a session's sound, measured once: an hour of it takes seconds, so what was measured is kept beside the sound and goes with it."""

from __future__ import annotations

import json
from pathlib import Path

from gudgeon.pages.session_page import COLUMNS, strip

FILE = "strip.json"


def kept_strip(folder: Path, seconds: float) -> list[float]:
    """The heights of a session's sound, 0..1, as kept beside it, else measured and kept there; empty when it is gone or very long."""
    of = [round(seconds, 3), sum(file.stat().st_size for file in folder.glob("*.flac"))]
    try:
        kept = json.loads((folder / FILE).read_text(encoding="utf-8"))
        if kept["of"] == of and len(kept["heights"]) == COLUMNS:
            return [float(height) for height in kept["heights"]]
    except (OSError, ValueError, KeyError, TypeError):
        pass  # not measured yet, or of another state of the sound
    heights = strip(folder, seconds)
    if heights:
        part = folder / f"{FILE}.part"
        try:
            part.touch(mode=0o600)
            part.write_text(json.dumps({"of": of, "heights": heights}), encoding="utf-8")
            part.replace(folder / FILE)
        except OSError:  # a record that may only be read: it is measured again the next time
            part.unlink(missing_ok=True)
    return heights
