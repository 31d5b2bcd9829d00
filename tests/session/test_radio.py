"""The radio and other people: news with figures in other synthetic voices, louder and softer than the speaker, makes no entries."""

import csv
import sys

import numpy as np
import pytest

from gudgeon.cli import wiring
from gudgeon.domain import ReadNote

SPEAKER = (
    ("The gearbox lid bolts got twenty four newton metres.", "gearbox lid", 24.0),
    ("The rocker cover nuts got eighty inch pounds.", "rocker cover", 80.0),
    ("The drain plug in the sump got twenty five foot pounds.", "sump", 25.0),
)


@pytest.fixture(scope="module")
def talk(repository):
    with (repository / "benchmarks" / "voice" / "talk.csv").open(encoding="utf-8") as table:
        return [row["said"] for row in csv.DictReader(table)]


def test_talk_with_figures_makes_nothing_by_itself(talk):
    reader, assembler = wiring.reader(), wiring.assembler()
    for text in talk:
        notes = [ReadNote(text=text, facts=reader.read(text))]
        assert (assembler.assemble(notes), assembler.open_items(notes)) == ((), ()), text


def test_talk_after_a_value_leaves_the_value_alone(talk):
    reader, assembler = wiring.reader(), wiring.assembler()
    first = ReadNote(text=SPEAKER[0][0], facts=reader.read(SPEAKER[0][0]))
    for text in talk:
        entries = assembler.assemble([first, ReadNote(text=text, facts=reader.read(text))])
        assert [(entry.part, [torque.value for torque in entry.torques]) for entry in entries] == [("gearbox lid", [24.0])], text


@pytest.mark.slow
@pytest.mark.needs("flite", "espeak-ng", "sox")
def test_the_radio_louder_and_softer_than_the_speaker(repository, talk, tmp_path):
    from gudgeon.cli.live_parts import live_tools
    from gudgeon.session import Reins, begin_live, listen

    sys.path.insert(0, str(repository / "benchmarks" / "voice"))
    from voices import RADIO, speak

    sys.path.pop(0)
    news = [speak(text, RADIO[n % len(RADIO)], peak_db=(-1.0, -20.0)[n // 2 % 2]) for n, text in enumerate(talk[:12])]
    speaker = [speak(text, "slt", peak_db=-9.0) for text, _, _ in SPEAKER]
    gap = np.zeros(16_000, dtype=np.float32)
    order = [*news[:4], speaker[0], *news[4:8], speaker[1], *news[8:], speaker[2]]
    blocks = iter(np.array_split(np.concatenate([part for sound in order for part in (sound, gap)]), 900))
    with wiring.open_record(tmp_path / "record") as record:
        tools, reins = wiring.tools(record), Reins()
        sound, _ = live_tools(record, None, None, notice=lambda text: None)
        with begin_live(tools, job=None, by=None, recogniser="embedded", source="radio", carry_on=None) as start:
            taken = listen(start, blocks, tools, sound, show=lambda phrase: None, reins=reins, endless=True)
        entries = record.entries(taken.session.id)
        assert len(record.notes(taken.session.id)) >= len(order)
        assert [(one.entry.part, [torque.value for torque in one.entry.torques]) for one in entries] == [
            (part, [value]) for _, part, value in SPEAKER
        ]
