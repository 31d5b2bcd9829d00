""" "All eight done", "eight of them": counts said apart, and joints said to be finished."""

from __future__ import annotations

from dataclasses import replace

from gudgeon.domain import Angle, Fastener, Tool, Torque
from gudgeon.entries.bench import Bench
from gudgeon.entries.drafts import Draft, means, take_count, words_of
from gudgeon.entries.spoken import ASIDES, Scene
from gudgeon.entries.vocabulary import Cue

_MOST = 200
_FAR = 10
_PAIR = frozenset(("both", "pair"))


def take_counts(scene: Scene, bench: Bench) -> None:
    """Counts and endings of a note."""
    partial = {at for cue in scene.cues if cue.sense == "partial" for at in range(cue.at, cue.end)}
    for cue in scene.cues:
        if cue.sense == "partial":
            _take_some(scene, cue, bench)
        if cue.sense not in {"done", "count"}:
            continue
        count = _count(cue, scene)
        if cue.sense == "done" and cue.figure is not None and not _counts_things(scene, cue):
            continue
        if cue.sense == "done":
            _finish(scene, cue, count, bench)
        elif _is_chatter(cue, scene, bench):
            continue
        elif count is not None and not partial.intersection(range(cue.at, cue.end)) and _counts_things(scene, cue):
            draft = _meant(scene, cue, count, bench)
            if draft is not None and (draft.fastener or draft.turned) and draft.count is None:
                take_count(draft, count, some=False)
                draft.step(scene.index, f"{count} of them")


def _is_chatter(cue: Cue, scene: Scene, bench: Bench) -> bool:
    """ "Kids from the school, 22 of them": things of which the note says nothing else that is understood."""
    if scene.facts or scene.mentions:
        return False
    led = [t for t in scene.tokens[: cue.at] if t.kind == "word"]
    return any(not bench.words.role("word", t.norm) and t.norm not in bench.words.places for t in led)


def rest_of_known(scene: Scene, bench: Bench) -> Scene:
    """ "Other six on the draft tube", of whose flange six were done: the joint meant is the one that was told in part."""
    named = [m for m in scene.mentions if m.part]
    if len(named) != 1 or not scene.has("partial") or named[0].fastener or bench.ledger.same_part(named[0].part):
        return scene
    said = set(words_of(named[0].part))
    told = [d for d in bench.ledger.recent() if d.turned and d.count and said < set(words_of(d.part))]
    if len(told) != 1:
        return scene
    mentions = tuple(replace(m, part=told[0].part, place=m.place or told[0].place) if m is named[0] else m for m in scene.mentions)
    facts = tuple(replace(f, part=told[0].part) if isinstance(f, (Torque, Angle)) and f.part == named[0].part else f for f in scene.facts)
    return replace(scene, mentions=mentions, facts=facts)


def both_known(scene: Scene, bench: Bench) -> Scene:
    """ "Both wheels again", where a jockey wheel was told last: the part meant is the one that was told at two places."""
    tokens = scene.tokens
    for mention in scene.mentions:
        at = next((i for i, t in enumerate(tokens) if t.start >= mention.start), 0)
        if not mention.part or mention.place or "both" not in {t.norm for t in tokens[max(at - 2, 0) : at + 1]}:
            continue
        told = [d for d in bench.ledger.recent() if d.turned and d.place and means(words_of(mention.part), words_of(d.part))]
        names = {d.part for d in told if sum(e.part == d.part and e.place != d.place for e in told)}
        if len(names) != 1 or mention.part in names:
            continue
        name = names.pop()
        mentions = tuple(replace(m, part=name) if m.part == mention.part and not m.place else m for m in scene.mentions)
        facts = tuple(replace(f, part=name) if isinstance(f, (Torque, Angle)) and f.part == mention.part else f for f in scene.facts)
        return replace(scene, mentions=mentions, facts=facts)
    return scene


def _take_some(scene: Scene, cue: Cue, bench: Bench) -> None:
    """So many of a number, said behind a value: "hub bolts, eighty newton metres, six of the eight"."""
    words, behind = scene.tokens[cue.at : cue.end], scene.tokens[cue.end : cue.end + 2]
    if [t.norm for t in words[1:]] != ["of", "the"] or not behind or not behind[0].figure or (len(behind) > 1 and behind[1].kind != "punct"):
        return
    draft, count = _meant(scene, cue, None, bench), words[0].value
    if draft is None or not draft.turned or draft.count not in (None, behind[0].value) or not count or not 1 < count < (behind[0].value or 0):
        return
    draft.count, draft.some_only = int(count), True
    draft.step(scene.index, f"{draft.count} of {behind[0].value:g}")


def take_thread(scene: Scene, bench: Bench) -> None:
    """A thread said apart from its fastener: "those cover ones are m eight by the way", "the m ten thread is stripped"; one asked about is none."""
    covered = [f.span for f in scene.facts if isinstance(f, (Fastener, Tool, *ASIDES))]
    at = [i for i, t in enumerate(scene.tokens) if t.thread and not any(s <= t.start < e for s, e in covered)]
    threads = [each.thread.name for each in (scene.tokens[i] for i in at) if each.thread]
    called = len(at) == 1 and at[0] + 1 < len(scene.tokens) and scene.tokens[at[0] + 1].norm in {"thread", "threads"}
    named = [m for m in scene.mentions if m.part or m.place]
    draft = bench.ledger.find(named[0], note=scene.index, alone=called) if named else bench.ledger.current
    if len(threads) == 1 and draft is not None and draft.thread is None and (draft.fastener or draft.turned or called):
        draft.thread = threads[0]
        draft.step(scene.index, f"thread {threads[0]}")


def _count(cue: Cue, scene: Scene) -> int | None:
    figure = cue.figure
    if figure is None and not _PAIR.isdisjoint(t.norm for t in scene.tokens[cue.at : cue.end]):
        return 2
    return int(figure) if figure is not None and figure == int(figure) and 1 < figure <= _MOST else None


def _counts_things(scene: Scene, cue: Cue) -> bool:
    """Whether the figure is a number of things, not the start of a value."""
    follower = scene.tokens[cue.end] if cue.end < len(scene.tokens) else None
    return follower is None or follower.kind not in {"unit", "figure", "thread"}


def _finish(scene: Scene, cue: Cue, count: int | None, bench: Bench) -> None:
    figures = [t.value for t in scene.tokens[cue.at : cue.end] if t.figure]
    follower = scene.tokens[cue.end].norm if cue.end < len(scene.tokens) else ""
    if len(set(figures)) > 1 or follower in {"but", "except", "bar"}:
        return
    draft = _meant(scene, cue, count, bench)
    if draft is None or not (draft.fastener or draft.turned):
        return
    if count is not None:
        if draft.count is not None and draft.count != count and not draft.some_only:
            return
        take_count(draft, count, some=False)
    draft.complete = True
    draft.step(scene.index, "said to be all done")


def _meant(scene: Scene, cue: Cue, count: int | None, bench: Bench) -> Draft | None:
    """The joint whose fasteners are counted: the one named before the words, else the current one, else a recent one of that many."""
    at = scene.tokens[cue.at].start
    named = [m for m in scene.mentions if m.start < at and (m.part or m.fastener or m.place)]
    if not named:
        after = [m for m in scene.mentions if m.start >= at and (m.part or m.fastener)]
        lead = scene.tokens[cue.end].norm if cue.end < len(scene.tokens) else ""
        named = (
            after[:1] if lead in {"on", "of", "for", "in"} or (after and scene.between(scene.tokens[cue.end - 1].end, after[0].start) == []) else []
        )
    if named:
        return bench.ledger.find(named[-1], note=scene.index)
    draft = bench.ledger.current if not scene.mentions else bench.before or bench.ledger.current
    if draft is None or draft.is_part_alone or (count is not None and draft.count not in (None, count)):
        recent = [d for d in bench.ledger.drafts[-_FAR:] if d.count == count and d.fastener and not d.complete]
        return recent[-1] if recent and count is not None else None if draft and draft.is_part_alone else draft
    return draft
