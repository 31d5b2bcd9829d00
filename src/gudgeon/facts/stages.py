"""Passes and stages said aloud, and the value each belongs to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gudgeon.facts.drafts import AngleDraft, TorqueDraft
from gudgeon.facts.work import Work

NEAR, FAR = 3, 12
BELONGS_BEFORE = frozenset(["for", "as", "on", "in"])


@dataclass(frozen=True, slots=True)
class Stage:
    """A stage named at tokens ``start`` to ``end``."""

    start: int
    end: int
    number: int


def find_stages(work: Work) -> list[Stage]:
    """All stages named in a note, in order."""
    stages = []
    for hit in work.note.hits.get("stages", ()):
        number = hit.row["stage"]
        if number != "#":
            stages.append(Stage(hit.start, hit.end, int(number)))
            continue
        value = work.note.tokens[hit.end - 1].value
        if value is not None and value == int(value) and 1 <= value <= 9:
            stages.append(Stage(hit.start, hit.end, int(value)))
            work.used.add(hit.end - 1)
    return stages


def give_stages(work: Work, stages: list[Stage], values: Sequence[TorqueDraft | AngleDraft]) -> None:
    """Set ``stage`` on the value that each stage belongs to: the next one in the sentence, else the one right before."""
    note = work.note
    for index, stage in enumerate(stages):
        limit = stages[index + 1].start if index + 1 < len(stages) else len(note.tokens)
        sentence = note.sentence[stage.start]
        before = [v for v in values if v.end <= stage.start and note.sentence[v.at] == sentence]
        after = [v for v in values if stage.end <= v.at and note.sentence[v.at] == sentence]
        told = "that" in note.norms[max(0, stage.start - 4) : stage.start]
        reach_back = FAR if told else NEAR
        if work.scopes.planned[stage.start]:
            continue
        near = before[-1] if before and before[-1].stage is None and stage.start - before[-1].end <= reach_back else None
        led = told or note.word(stage.start - 1) in BELONGS_BEFORE or note.word(stage.start - 2) in BELONGS_BEFORE
        reach = [v for v in after if v.at < limit or index + 1 == len(stages)]
        if near is not None and (led or not reach):
            near.stage = stage.number
        elif reach and reach[0].stage is None:
            reach[0].stage = stage.number
