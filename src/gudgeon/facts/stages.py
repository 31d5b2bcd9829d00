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
        if any(n.start < hit.start < n.end for n in work.names):
            continue
        if number != "#":
            stages.append(Stage(hit.start, hit.end, int(number)))
            continue
        value = work.note.tokens[hit.end - 1].value
        if value is not None and value == int(value) and 1 <= value <= 9:
            stages.append(Stage(hit.start, hit.end, int(value)))
            work.used.add(hit.end - 1)
    return stages + _plain_ordinals(work) if stages else stages


def _plain_ordinals(work: Work) -> list[Stage]:
    """ "30 Nm first pass, 55 Nm second, 80 Nm third": ordinals right behind a torque, beside a stage named whole."""
    note, found = work.note, []
    for at, token in enumerate(note.tokens):
        ends = note.kind(at + 1) in ("punct", "") or note.word(at + 1) in ("and", "then")
        if token.figure is None or token.figure.form != "ordinal" or not ends or not 1 < token.figure.value <= 6:
            continue
        if note.kind(at - 1) == "unit" and not any(h.start <= at < h.end for h in note.hits.get("stages", ())):
            found.append(Stage(at, at + 1, int(token.figure.value)))
            work.used.add(at)
    return found


def _each_behind(work: Work, stages: Sequence[Stage], values: Sequence[TorqueDraft | AngleDraft]) -> dict[int, TorqueDraft | AngleDraft]:
    """Stages that each stand right behind a value of their own, by their first token, in sentences where all of several do."""
    ending = {value.end: value for value in values}
    by_sentence: dict[int, list[Stage]] = {}
    for stage in stages:
        by_sentence.setdefault(work.note.sentence[stage.start], []).append(stage)
    whole = [mine for mine in by_sentence.values() if len(mine) > 1 and all(s.start in ending for s in mine)]
    return {stage.start: ending[stage.start] for mine in whole for stage in mine}


def give_stages(work: Work, stages: list[Stage], values: Sequence[TorqueDraft | AngleDraft]) -> None:
    """Set ``stage`` on the value that each stage belongs to: the next one in the sentence, else the one right before."""
    note = work.note
    stages.sort(key=lambda stage: stage.start)
    behind = _each_behind(work, stages, values)
    for index, stage in enumerate(stages):
        if stage.start in behind:
            behind[stage.start].stage = stage.number
            continue
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
