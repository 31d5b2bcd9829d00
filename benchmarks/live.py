"""How long after the last word the verdict is there: the sample session through the live way, no faster than it was spoken.

    python benchmarks/live.py [RECORDING]

Prints, for each phrase, the seconds from the end of its speech to the moment it is shown, and from the gate's closing; then both in the
middle and at the 95th percentile. The end of speech is taken as the end of the clip less the quiet that the gate adds to it (0.25 s).
"""

import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from gudgeon.audio import decode
from gudgeon.cli import wiring
from gudgeon.cli.listen import paced
from gudgeon.cli.live_parts import live_tools, warm_up
from gudgeon.session import Origin, Reins, begin, listen

TAIL_S = 0.25
"""What the gate leaves after the last speech."""


def measure(path: Path, folder: str) -> list[tuple[float, float, float]]:
    """(length, after the speech, after the gate closed) in seconds, for each phrase."""
    found = []
    with wiring.open_record(Path(folder)) as record:
        tools, reins = wiring.tools(record), Reins()
        sound, _ = live_tools(record, None, None, notice=print)
        tools.read("ready")
        warm_up(sound)
        with begin(Origin(path, wiring.clock()), record, sound.recogniser.name) as start:
            begun = time.monotonic()
            offset = time.perf_counter() - begun

            def show(phrase):
                now = time.monotonic()
                after = now - begun - (phrase.end - TAIL_S)
                found.append((phrase.end - phrase.start, after, now + offset - phrase.closed))
                print(f"{phrase.start:7.1f}  {after:5.2f} s  {found[-1][2]:5.2f} s  {phrase.text}")

            listen(start, paced(decode(path), reins), tools, sound, show=show, reins=reins)
    return found


def main() -> None:
    """Measure and print."""
    path = Path(sys.argv[1]) if len(sys.argv) > 1 else wiring.sample("orchard_session.flac")
    with tempfile.TemporaryDirectory() as folder:
        found = [row for row in measure(path, folder) if row[0] <= 6.0]
    for name, at in (("after the last word", 1), ("after the gate closed", 2)):
        middle, high = np.percentile([row[at] for row in found], [50, 95])
        print(f"{name}: middle {middle:.2f} s, 95th percentile {high:.2f} s, of {len(found)} phrases up to 6 s")


if __name__ == "__main__":
    main()
