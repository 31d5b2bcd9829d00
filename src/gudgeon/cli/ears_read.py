"""``gudgeon ears --read``: ten lines read aloud at the bench, what was heard of them, and what may help."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gudgeon.cli.show import print_json, print_lines, tell, width

if TYPE_CHECKING:
    from gudgeon.audio import Microphone
    from gudgeon.domain import Clip
    from gudgeon.reports import Line
    from gudgeon.session import Compared, Levels
    from gudgeon.session.tools import Samples

PAUSE_S = 1.2
"""A pause that ends a line."""
PATIENCE_S = 25.0
"""A line that has not begun after so long is passed over."""
EARLIER = 5


def read_aloud(microphone: str | None, file: Path | None, recogniser: str | None, *, as_json: bool) -> None:
    """Hear the lines, from the microphone one by one or all of them from a recording; say how well that went, keep it, and compare."""
    from gudgeon.cli import wiring
    from gudgeon.session import advice, levels

    lines = [row["line"] for row in csv.DictReader(wiring.tables("speech")["bench_lines"])]
    ear = wiring.recogniser(recogniser, notice=tell)
    if file:
        where, sound, clips = str(file), *_from_file(file)
        heard = [" ".join(hearing.text for hearing in ear.hear(clips))]
        said = [" ".join(lines)]
    else:
        from gudgeon.audio import choose

        found = choose(microphone or wiring.setting("microphone") or None)
        where, sound, by_line = found.name, *_at_microphone(found, lines)
        clips = [clip for line in by_line for clip in line]
        heard = [" ".join(hearing.text for hearing in ear.hear(line)) for line in by_line]
        said = lines
    compared, measured = _compared(said, heard), levels(sound, clips)
    tips = advice(compared, measured, sum(not text for text in heard))
    row = {"at": wiring.clock().isoformat(timespec="seconds"), "microphone": where, "recogniser": ear.name, **asdict(compared)}
    row |= {"noise_db": round(measured.noise_db, 1), "speech_db": round(measured.speech_db, 1), "heard": heard}
    earlier = kept_readings()
    _keep(row)
    if as_json:
        print_json({"schema": 1, **row, "said": said, "advice": tips, "earlier": earlier[-EARLIER:]})
    else:
        print_lines(report(said, heard, compared, measured, tips, [*earlier, row], width()))


def report(
    said: Sequence[str], heard: Sequence[str], compared: Compared, measured: Levels, tips: Sequence[str], rows: Sequence[dict[str, Any]], width: int
) -> list[Line]:
    """What was said and heard, the counts, the levels, the advice, and this reading beside the earlier ones."""
    from gudgeon.cli import wiring
    from gudgeon.reports import paragraph
    from gudgeon.session import compare

    units, lines = wiring.unit_words(), []
    for one, other in zip(said, heard, strict=True):
        wrong = compare(one, other, units)
        if wrong.word_errors or wrong.figure_errors:
            lines += paragraph(f"said:  {one}", [f"heard: {other or 'nothing'}"], width=width)
    counts = f"{compared.word_errors} of {compared.words} words and {compared.figure_errors} of {compared.figures} figures were misheard."
    loud = f"Your voice is at {measured.speech_db:.0f} dB below full scale".replace("-", "")
    loud += f", {measured.above_noise_db:.0f} dB above the noise of the shop."
    lines += paragraph("Heard", [counts, loud], width=width)
    lines += paragraph("Advice", tips, width=width)
    table = [
        f"{row['at'][:16].replace('T', ' ')}  words {row['word_errors']:>3}/{row['words']}  figures {row['figure_errors']:>2}/{row['figures']}"
        f"  noise {row['noise_db']:.0f} dB  {row['microphone']}"
        for row in rows[-EARLIER - 1 :]
    ]
    return lines + paragraph("Readings so far, the latest last", table, width=width)


def readings_file() -> Path:
    """Where readings are kept, one a line."""
    from gudgeon.cli import wiring

    return wiring.data_folder() / "bench_readings.jsonl"


def kept_readings() -> list[dict[str, Any]]:
    """The earlier readings, oldest first; a damaged line is passed over."""
    rows = []
    for line in readings_file().read_text(encoding="utf-8").splitlines() if readings_file().is_file() else ():
        try:
            row = json.loads(line)
        except ValueError:
            continue
        if isinstance(row, dict) and {"at", "words", "word_errors", "figures", "figure_errors", "noise_db", "microphone"} <= row.keys():
            rows.append(row)
    return rows


def _keep(row: dict[str, Any]) -> None:
    from gudgeon.domain import Failure

    path = readings_file()
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        with path.open("a", encoding="utf-8") as out:
            out.write(json.dumps(row, ensure_ascii=False) + "\n")
    except OSError as error:
        raise Failure(f"The reading could not be kept in {path}: {error.strerror}.", next_step="Make room there, then read again.") from error


def _compared(said: Sequence[str], heard: Sequence[str]) -> Compared:
    from gudgeon.cli import wiring
    from gudgeon.session import Compared, compare

    units = wiring.unit_words()
    return sum((compare(one, other, units) for one, other in zip(said, heard, strict=True)), Compared(0, 0, 0, 0))


def _from_file(file: Path) -> tuple[Samples, list[Clip]]:
    import numpy as np

    from gudgeon.audio import decode, speech_clips

    sound = np.concatenate(list(decode(file, notice=tell)))
    return sound, list(speech_clips([sound]))


def _at_microphone(microphone: Microphone, lines: Sequence[str]) -> tuple[Samples, list[list[Clip]]]:
    """All the sound, and the clips of each line."""
    from threading import Event

    import numpy as np

    from gudgeon.audio import Capture
    from gudgeon.domain import SAMPLE_RATE, Clip

    stop = Event()
    sound: list[Samples] = []
    by_line: list[list[Clip]] = []
    capture = Capture(microphone, tell=tell)
    blocks = capture.blocks(stop)

    def remembered() -> Iterator[Samples]:
        for block in blocks:
            sound.append(block)
            yield block

    tell(f"Read each line aloud as you would talk at the bench, then wait for the next one. Microphone: {microphone.name}.")
    try:
        came = remembered()
        for number, line in enumerate(lines, 1):
            begun = sum(map(len, sound)) / SAMPLE_RATE
            tell(f"\n{number:>2} of {len(lines)}   {line}")
            by_line.append([Clip(clip.samples, clip.start + begun, clip.end + begun) for clip in _one_line(came)])
    finally:
        stop.set()
        capture.close()
    return np.concatenate(sound), by_line


def _one_line(came: Iterator[Samples]) -> list[Clip]:
    """The clips of one line, timed from its start: it is over at a pause, or when nothing was said for long."""
    from gudgeon.audio import Gate
    from gudgeon.domain import SAMPLE_RATE

    gate, heard = Gate(pause_s=PAUSE_S), 0
    clips: list[Clip] = []
    for block in came:
        heard += len(block)
        clips += gate.feed(block)
        if clips and not gate.is_open:
            break
        if heard > PATIENCE_S * SAMPLE_RATE and not gate.is_open:
            tell("Nothing was heard.")
            break
    return clips
