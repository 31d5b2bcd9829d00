"""Values said before their joint: kept until it is named, and claimed back from the joint they were put to meanwhile."""

from __future__ import annotations

from dataclasses import replace

from gudgeon.domain import AngleDone, Torque, TorqueDone
from gudgeon.entries.bench import Bench, said
from gudgeon.entries.drafts import Draft
from gudgeon.entries.scenes import live_values
from gudgeon.entries.spoken import Mention, Scene

_PATIENCE = 3
"""How many notes a value waits for its joint."""
_SHORT = 7


def settle_waiting(scene: Scene, bench: Bench) -> None:
    """Values that waited go to the joint named now, when the words allow it; a value put into the current joint may be claimed back."""
    mention = next((m for m in scene.mentions if m.part or m.fastener or m.place), None)
    claims = _names_last(mention, scene) or _goes_on(scene)
    own = any(isinstance(f, Torque) for f in scene.facts)
    if bench.waiting:
        forward = all(w.forward for w in bench.waiting)
        named = scene.has("names waiting") or _says_what_it_was(mention, scene, bench)
        if mention and (claims or ((forward or named) and not own)):
            draft = bench.joint(mention, scene.index)
            for waiting in bench.waiting:
                put_turn(draft, replace(waiting.value, note=waiting.note), bench, f"named in note {scene.index + 1}")
            draft.step(scene.index, "names the joint of the value before")
            bench.waiting.clear()
            bench.ledger.current = draft
        elif scene.mentions or own or scene.index - bench.waiting[0].note >= _PATIENCE:
            bench.give_up()
    elif (
        (claims or _is_late_name(mention, scene, bench))
        and mention
        and bench.inherited
        and not own
        and scene.index - bench.inherited.note <= (1 if bench.inherited.bolted else _PATIENCE)
    ):
        _claim(bench.joint(mention, scene.index), scene, bench)


def _names_last(mention: Mention | None, scene: Scene) -> bool:
    """Whether a note says of what the last value was; not "now the air pump lid, I mean", where the name itself is set right."""
    meant = [c for c in scene.cues if c.sense == "names last" and scene.tokens[c.end - 1].norm not in {"mean", "meant", "means"}]
    if meant or mention is None:
        return scene.has("names last")
    opened = any(c.sense == "open" and scene.tokens[c.at].start < mention.start for c in scene.cues)
    return scene.has("names last") and not opened


def _is_late_name(mention: Mention | None, scene: Scene, bench: Bench) -> bool:
    """ "Eleven newton metres." "Brake cable bracket that is, two screws": the note opens with a new joint and "that is", and the value before it
    was put, a note ago, to a joint that had one already."""
    last = bench.inherited
    if mention is None or last is None or not mention.part or last.note != scene.index - 1:
        return False
    if _says_what_it_was(mention, scene, bench):
        return True
    if len(last.draft.torques) <= 1:
        return False
    first = next((t for t in scene.tokens if t.norm not in {"the", "a", "those", "them", "these"}), None)
    opens = first is not None and mention.start <= first.start
    cue = next((c for c in scene.cues if c.sense == "names waiting"), None)
    return opens and cue is not None and len(scene.between(scene.tokens[0].start, scene.tokens[cue.at].start)) <= len(mention.part.split()) + 1


def _says_what_it_was(mention: Mention | None, scene: Scene, bench: Bench) -> bool:
    """ "A hundred and twenty newton metres", and then "that's the left steering arm, both bolts of it"."""
    if mention is None or not mention.part or not mention.fastener:
        return False
    led = [t.norm for t in scene.tokens if t.end <= mention.start and t.norm not in bench.words.places]
    return led in (["that", "'s", "the"], ["that", "is", "the"], ["^", "that", "'s", "the"]) and not bench.joint(mention, scene.index).turned


def _goes_on(scene: Scene) -> bool:
    """Whether a note only ends the sentence before it: "on the left caliper bolts"."""
    return bool(scene.tokens) and scene.tokens[0].norm in {"on", "for"} and len(scene.tokens) <= _SHORT and not live_values(scene)


def _claim(draft: Draft, scene: Scene, bench: Bench) -> None:
    """Move the last value, which had named no joint, to the one it was meant for."""
    last = bench.inherited
    if last is None or draft is last.draft or last.value not in last.draft.torques:
        return
    last.draft.torques.remove(last.value)
    last.draft.history.append(f"note {scene.index + 1}: {said(last.value)} turned out to belong to {draft.name()}")
    bench.add_torque(draft, last.value, f"named in note {scene.index + 1}")
    draft.step(scene.index, "names the joint of the value before")
    bench.inherited = None
    bench.ledger.current = draft


def put_turn(draft: Draft, value: TorqueDone | AngleDone, bench: Bench, why: str) -> None:
    """Put a torque or a turn into an entry, with the reason why there."""
    if isinstance(value, TorqueDone):
        bench.add_torque(draft, value, why)
    else:
        bench.add_angle(draft, value, why)
