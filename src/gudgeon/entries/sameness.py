"""What "the same" is said of: the joint that is the model, and those that get the same."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from gudgeon.domain import Compound, Condition, Fastener, Part, Tool
from gudgeon.entries.bench import Bench
from gudgeon.entries.drafts import Draft, words_of
from gudgeon.entries.joint_words import singular
from gudgeon.entries.spoken import AS, Mention, Scene
from gudgeon.entries.vocabulary import Cue

_MOST_TWINS = 24
_BEFORE = frozenset(("one", "last", "other"))
"""What "the same as that" goes on with where it means the joint before."""
_CALLED = 4
"""Words of what "the same as" goes on with, at most."""
_LISTING = frozenset(
    (
        "as",
        "well",
        "too",
        "also",
        "nos",
        "no",
        ".",
        ":",
        "and",
        ",",
        "&",
        "to",
        "is",
        "are",
        "got",
        "get",
        "gets",
        "had",
        "all",
        "exactly",
        "then",
        "number",
        "numbers",
    )
)
_TO_COME = frozenset(("will", "'ll", "would", "should", "to"))
_GIVEN = frozenset(("gets", "get", "got", "had", "has", "have", "takes", "take", "wants"))
_BEING = frozenset(("'s", "is", "are", "isn't", "hasn't", "wants", "needs"))
_ALSO = frozenset(("the", "same", "too", "also", "as", "likewise", "identical", "had", "has", "got", "done"))
_ALL_OF_THEM = frozenset(("all", "both", "each", "too", "and", ",", "."))
_JOINING = frozenset(
    ("on", "for", "with", "as", "to", "there", "here", "goes", "one", "the", "again", "likewise", "ditto", "too", "thing", "deal", "story")
)


def names_model(scene: Scene, cue: Cue, bench: Bench) -> bool:
    """Whether "same as the …" goes on with words that name a joint; when it is not understood, nothing is copied."""
    if bench.section is not None and bench.section.opened == scene.index and bench.section.twin is not None:
        return False
    follower = scene.tokens[cue.end] if cue.end < len(scene.tokens) else None
    at = cue.end + (follower is not None and follower.norm in {"the", "that", "those"})
    named = any(isinstance(f, Part) and at < len(scene.tokens) and f.span[0] <= scene.tokens[at].start < f.span[1] for f in scene.facts)
    plain = follower is not None and at < len(scene.tokens) and (scene.tokens[at].norm in _ALL_OF_THEM or not named)
    if follower is not None and follower.norm in {"that", "those"} and plain:
        return False  # "rear flange same as that, all eight"
    told = at < len(scene.tokens) and at > cue.end and scene.tokens[at].norm not in bench.words.places and scene.tokens[at].norm not in _BEFORE
    return scene.tokens[cue.end - 1].norm in AS and told


def _model_called(scene: Scene, cue: Cue, bench: Bench) -> Draft | None:
    """The joint that "the same as" calls by one word of its name: "jupiter arm collar the same as saturn's"."""
    after = scene.tokens[cue.end - (scene.tokens[cue.end - 1].norm in AS) :]
    if not after or after[0].norm not in AS:
        return None
    said = [singular(t.norm) for t in after[1 : 1 + _CALLED] if t.kind == "word" and t.norm not in {"the", "that", "on", "one", "'s"}]
    if len(said) != 1:
        return None
    found = [d for d in bench.ledger.recent() if d.turned and said[0] in words_of(d.part)]
    return found[0] if len({(d.part, d.place) for d in found}) == 1 else None


def numbers_before(scene: Scene, cue: Cue, bench: Bench) -> list[Mention]:
    """ "Two, three and four the same", after number one: the twins named by their bare numbers before the cue."""
    current = bench.ledger.current
    if current is None or not (current.place or "").startswith("number"):
        return []
    values: list[float] = []
    same = {at for c in scene.cues if c.sense == "same" for at in range(c.at, c.end)}
    for token in (t for i, t in enumerate(scene.tokens) if i not in same):
        if token.figure is not None:
            values += [piece.value for piece in token.figure.splits[0]] if token.figure.splits else [token.figure.value]
        elif token.norm not in _LISTING:
            return []
    return [Mention(0, 0, part=current.part, place=f"number {value:g}") for value in values if value == int(value) and 0 < value <= _MOST_TWINS]


def same_cue(scene: Scene) -> Cue | None:
    """The cue that says "same" of a joint, not of a tool, a time or an order."""
    if scene.has("untouched"):
        return None
    norms = [t.norm for t in scene.tokens]
    refused = {at for cue in scene.cues if cue.sense == "not same" for at in range(cue.at, cue.end)}
    for cue in scene.cues:
        if cue.sense != "same" or refused.intersection(range(cue.at, cue.end)):
            continue
        if any(one in _TO_COME and other == "be" for one, other in pairwise(norms[max(cue.at - 3, 0) : cue.at + 1])):
            continue  # "the right side will be the same": a plan
        last = scene.tokens[cue.end - 1]
        follower = scene.tokens[cue.end].start if cue.end < len(scene.tokens) else -1
        named = any(f.span[0] <= follower < f.span[1] for f in scene.facts if isinstance(f, (Tool, Fastener, Part, Compound)))
        given = cue.at > 0 and scene.tokens[cue.at - 1].norm in _GIVEN
        if named and last.norm not in _JOINING and not given:
            continue
        return cue
    return None


def without_model(scene: Scene, cue: Cue) -> Scene:
    """The note without the joint that another is only said to be the same as; a fastener named behind it is the other's."""
    at = scene.tokens[cue.at].start
    model = next((m for m in scene.mentions if m.part and m.start >= at), None)
    own = [m for m in scene.mentions if m.part and m.start < at]
    if scene.tokens[cue.end - 1].norm not in AS or model is None or not own:
        return scene
    last = own[-1]
    fuller = replace(last, fastener=last.fastener or model.fastener, end=last.end)
    mentions = tuple(fuller if m is last else m for m in scene.mentions if m is not model)
    return replace(scene, mentions=mentions, secondary=scene.secondary | {words_of(model.part)})


def model_and_targets(scene: Scene, cue: Cue, bench: Bench) -> tuple[Mention | None, list[Mention]]:
    """The joint that is the model, when it was named ("same as the left"), and the joints that get the same."""
    named = [m for m in scene.mentions if m.part or m.place or (m.job and m.fastener)]
    named = [m for m in named if not _is_told_apart(m, cue, named, scene)]
    at = scene.tokens[cue.at].start
    called = _model_called(scene, cue, bench)
    before = [m for m in named if m.start < at]
    if called is not None and before:
        return Mention(at, at, part=called.part, place=called.place), before[-1:]
    behind = scene.tokens[cue.end].norm if cue.end < len(scene.tokens) else ""
    if scene.tokens[cue.end - 1].norm in AS or (behind in AS and "done" not in scene.line.senses):
        after = [m for m in named if m.start >= at]
        before = [m for m in named if m.start < at]
        asked = [m for m in scene.asides if m.part and m.place and m.start < at]
        if after and not before and len(asked) == 1:
            return after[0], asked  # "and the right backplate? Same as the left"
        if after and (before or bench.ledger.current):
            current = bench.ledger.current
            own = before or [Mention(at, at, part=current.part, place=current.place)] if current else before
            return after[0], own
    if scene.has("other"):
        place = bench.words.opposite(bench.ledger.current.place) if bench.ledger.current else None
        if place and not any(m.place for m in named):
            part = named[0].part if named else None
            return None, [Mention(at, at, part=part, place=place, fastener=named[0].fastener if named else None)]
    return None, [m for m in named if m.start < at or not before or "but" not in scene.between(at, m.start)]


def _is_told_apart(mention: Mention, cue: Cue, named: list[Mention], scene: Scene) -> bool:
    """Whether a joint behind "the same" and a comma has a fault of its own: "base bolts same, spindle collar missing"."""
    at, after = scene.tokens[cue.at].start, scene.tokens[cue.end - 1].end
    if mention.start >= after and any(m.start < at for m in named) and _goes_its_own_way(mention, scene):
        return True
    led = [t.norm for t in scene.tokens if t.end <= mention.start][-3:]
    if mention.start >= after and led in (["that", "'s", "the"], ["that", "is", "the"]) and not mention.fastener:
        return any(m.start < at for m in named)  # "blade number three likewise, and that's the rotor full"
    if mention.start < after or not any(m.start < at for m in named) or "," not in scene.between(after, mention.start):
        return False
    return any(isinstance(f, Condition) and f.span[0] >= mention.end for f in scene.facts)


def _goes_its_own_way(mention: Mention, scene: Scene) -> bool:
    """Whether something else is told of a joint: "number two's the same, number three's waiting for a bush"."""
    behind = [t.norm for t in scene.tokens if t.start >= mention.end][:2]
    if behind[:1] == ["not"]:
        return True
    return len(behind) > 1 and behind[0] in _BEING and behind[1] not in _ALSO
