"""How well and how fast the embedded recogniser reads: as it comes, rebuilt, and rebuilt with likely phrases.

    .venv/bin/python benchmarks/hearing/measure.py [--voices slt,rms] [--again]

Every sentence, and the recording of a person, is read by all forms one right after the other, so that a busy machine slows all of them;
ratios are medians over sentences. Chatter and the teens are read by the two rebuilt forms.
Results are kept in benchmarks/work/hearing as they come: after Ctrl-C the same command goes on. Prints Markdown and keeps it in
benchmarks/results/hearing.md. No human speech of the trade was at hand: the sentences are synthetic voices.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path
from statistics import median
from typing import Any

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))

from sounds import DICKENS, VOICES, chatter, missing, real_clips, sentences, speak, word_errors  # noqa: E402

from gudgeon.domain import Clip, Hearing  # noqa: E402
from gudgeon.speech import Embedded, read_phrases  # noqa: E402

WORK = HERE.parent / "work" / "hearing"
RESULTS = HERE.parent / "results" / "hearing.md"
TEENS = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
TIES = ("thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
FIGURES = dict(zip(TEENS, range(13, 20), strict=True)) | dict(zip(TIES, range(30, 100, 10), strict=True))
FORMS = ("plain", "rebuilt", "phrases")
Row = dict[str, Any]


def recogniser(form: str) -> Embedded:
    """The embedded recogniser in one of its forms."""
    table = HERE.parents[1] / "src" / "gudgeon" / "speech" / "tables" / "phrases.csv"
    phrases = read_phrases(table.read_text(encoding="utf-8").splitlines())
    return Embedded(cache=None if form == "plain" else WORK / "cache", phrases=phrases if form == "phrases" else ())


def read(ear: Embedded, clip: Clip) -> tuple[Hearing, float]:
    """What the recogniser hears, and the seconds it took."""
    began = time.perf_counter()
    (hearing,) = ear.hear([clip])
    return hearing, time.perf_counter() - began


def clips(voices: Sequence[str]) -> Iterator[tuple[str, str, Clip]]:
    """Key, voice and clip of everything that is read."""
    for n, clip in enumerate(real_clips()):
        yield f"real/{n}", "a person", clip
    for voice in voices:
        for s in sentences():
            yield f"sentence/{voice}/{s.number}", voice, speak(s.said, voice, WORK / "wav" / f"{voice}-{s.number:02}.wav")
        for n, said in enumerate(chatter()):
            yield f"chatter/{voice}/{n}", voice, speak(said, voice, WORK / "wav" / f"{voice}-chatter-{n:02}.wav")
        for word in FIGURES:
            said = f"The drain plug is torqued to {word} newton metres."
            yield f"teen/{voice}/{word}", voice, speak(said, voice, WORK / "wav" / f"{voice}-{word}.wav")


def measured(voices: Sequence[str], *, again: bool) -> list[Row]:
    """One row for every clip and form; those of earlier runs are taken as they are."""
    WORK.mkdir(parents=True, exist_ok=True)
    kept = WORK / "rows.jsonl"
    if again:
        kept.unlink(missing_ok=True)
    rows = [json.loads(line) for line in kept.read_text(encoding="utf-8").splitlines()] if kept.exists() else []
    done = {row["key"] for row in rows}
    ears = {form: recogniser(form) for form in FORMS}
    for ear in ears.values():
        list(ear.hear([speak("Ready.", "slt", WORK / "wav" / "ready.wav")]))
    with kept.open("a", encoding="utf-8") as out:
        for key, voice, clip in clips(voices):
            if key in done:
                continue
            row: Row = {"key": key, "voice": voice, "seconds": clip.seconds, "forms": {}}
            for form in FORMS if key.startswith(("sentence/", "real/")) else FORMS[1:]:
                hearing, took = read(ears[form], clip)
                row["forms"][form] = {"text": hearing.text, "took": took, "others": [(o.text, o.odds) for o in hearing.others]}
            rows.append(row)
            print(json.dumps(row), file=out, flush=True)
            print(f"\r{len(rows)} clips", end="", file=sys.stderr)
    wanted = {key for key, _, _ in clips(voices)}
    return [row for row in rows if row["key"] in wanted]


def peak_mb(form: str) -> float:
    """Peak memory of a process that reads ten clips in this form."""
    run = subprocess.run([sys.executable, __file__, "--memory", form], capture_output=True, text=True, check=True)
    return float(run.stdout) / 1000


def main_table(rows: Sequence[Row]) -> list[str]:
    """Speed, words of the sentences, word errors on chatter and on the person's recording, memory."""
    short = [r for r in rows if r["key"].startswith("sentence/")]
    heads = ("form", "wall / audio", "ratio to plain", "wanted words right", "word errors in chatter", "word error rate, a person", "peak memory")
    lines = [f"| {' | '.join(heads)} |", "| - | -: | -: | -: | -: | -: | -: |"]
    for form in FORMS:
        speed = median(r["forms"][form]["took"] / r["seconds"] for r in short)
        ratio = median(r["forms"][form]["took"] / r["forms"]["plain"]["took"] for r in short)
        right, wanted = right_words(rows, form)
        chat = "–" if form == "plain" else "{} of {}".format(*errors_in_chatter(rows, form))
        errors, words = word_errors(DICKENS, " ".join(r["forms"][form]["text"] for r in rows if r["key"].startswith("real/")))
        cells = (
            form,
            f"{speed:.2f}",
            f"{ratio:.2f}",
            f"{right} of {wanted}",
            chat,
            f"{errors / words:.3f}",
            f"{peak_mb(form):.0f} MB",
        )
        lines.append(f"| {' | '.join(cells)} |")
    return lines


def right_words(rows: Sequence[Row], form: str) -> tuple[int, int]:
    """How many of the wanted words and figures are in the texts, and how many there are."""
    spoken, lost, wanted = sentences(), 0, 0
    for r in (r for r in rows if r["key"].startswith("sentence/")):
        s = spoken[int(r["key"].split("/")[2])]
        lost, wanted = lost + len(missing(s, r["forms"][form]["text"])), wanted + len(s.must_hold)
    return wanted - lost, wanted


def errors_in_chatter(rows: Sequence[Row], form: str) -> tuple[int, int]:
    """Word errors in speech that is not about the trade, and words said; figures in digits count as errors for every form alike."""
    said = chatter()
    pairs = [word_errors(said[int(r["key"].split("/")[2])], r["forms"][form]["text"]) for r in rows if r["key"].startswith("chatter/")]
    return sum(e for e, _ in pairs), sum(n for _, n in pairs)


def teen_table(rows: Sequence[Row]) -> list[str]:
    """Teens and -ties by voice: right at first, right among the other readings, wrong and not marked."""
    lines = ["| voice | form | right | right one among the others | wrong, unmarked | right, but doubted |", "| - | - | - | - | - | - |"]
    for voice in sorted({r["voice"] for r in rows if r["key"].startswith("teen/")}):
        for form in ("rebuilt", "phrases"):
            counts: dict[str, int] = defaultdict(int)
            for r in (r for r in rows if r["key"].startswith(f"teen/{voice}/")):
                counts[_teen(r["key"].rsplit("/", 1)[1], r["forms"][form])] += 1
                counts["of"] += 1
            right = counts["right"] + counts["doubted"]
            lines.append(f"| {voice} | {form} | {right} of {counts['of']} | {counts['other']} | {counts['wrong']} | {counts['doubted']} |")
    return lines


def _teen(word: str, heard: Row) -> str:
    def holds(text: str) -> bool:
        return bool({word, str(FIGURES[word])} & set(text.lower().replace("-", " ").replace(".", " ").replace("nm", " nm").split()))

    if holds(heard["text"]):
        return "doubted" if heard["others"] else "right"
    return "other" if any(holds(text) for text, _ in heard["others"]) else "wrong"


def main() -> None:
    """See the module's text."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--voices", default=",".join(VOICES))
    options.add_argument("--again", action="store_true")
    options.add_argument("--memory", choices=FORMS, help=argparse.SUPPRESS)
    chosen = options.parse_args()
    if chosen.memory:
        ear = recogniser(chosen.memory)
        for s in sentences()[:10]:
            read(ear, speak(s.said, "slt", WORK / "wav" / f"slt-{s.number:02}.wav"))
        # not getrusage: there a child's peak begins with its parent's
        print(next(line.split()[1] for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM")))
        return
    rows = measured(chosen.voices.split(","), again=chosen.again)
    text = "\n".join([*main_table(rows), "", "Teens and -ties, `The drain plug is torqued to … newton metres.`:", "", *teen_table(rows)])
    RESULTS.parent.mkdir(exist_ok=True)
    RESULTS.write_text(f"# Hearing\n\n{(__doc__ or '').split(chr(10) * 2)[-1]}\n{text}\n", encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
