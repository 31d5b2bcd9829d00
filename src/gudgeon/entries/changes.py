"""What a correcting note says: the value meant, and the value it takes back ("sixteen, not eighteen")."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from gudgeon.domain import Fastener, Measure, Part, Tool, Torque
from gudgeon.entries.spoken import Scene
from gudgeon.entries.vocabulary import Cue

_START = 4
_SOURCES = frozenset(("sheet", "book", "manual", "chart", "spec", "drawing", "handbook", "leaflet", "plate"))
"""What a value is read from that should be, and was not yet given."""
_TELLERS = frozenset(("says", "reckons", "thinks", "tells", "wants", "according", "claims", "apparently", "supposedly"))
"""Words of somebody's opinion, which changes nothing that was done."""
_SAYING = frozenset(("told", "say", "said", "gave", "called", "shouted", "wrote", "put", "read"))
_BEING = frozenset(("meant", "was", "were", "is", "'s", "been", "be", "are"))
_WAS = frozenset(
    (
        ("was", "set", "to"),
        ("was", "set", "at"),
        ("been", "set", "to"),
        ("went", "to"),
        ("is", "at"),
        ("'s", "at"),
        ("was", "more", "like"),
        ("was", "on"),
    )
)
"""Other ways to tell what a value was."""
_IT = frozenset(
    ("it", "they", "that", "those", "these", "wrench", "i", "we", "was", "really", "actually", "only", "well", ",", ".", ";", "but", "had")
)
"""What is said to be so: the value spoken of before, or the wrench that gave it."""
_CLOSE = 7
"""How many words behind a word of saying its figure may stand."""
_TWO = 2
_REACH = 11
"""How many words may stand between the value meant and "not": "forty on the quadrant by the way not thirty"."""
_TOLD_REACH = 18
"""How many words behind what was told the value meant may stand."""
_NONE_OF = frozenset(
    ("more", "less", "further", "higher", "need", "play", "leaks", "washer", "washers", "gasket", "grease", "oil", "sealant", "idea", "book")
)
"""What there is none of, where "no" takes nothing back."""
_STRIKING = frozenset(("scrub", "scratch", "strike", "forget", "ignore", "cancel", "delete"))
"""Words before a figure that is taken back."""
_STEPS = frozenset(("pass", "stage", "step", "round", "number"))
_BEFORE_VALUE = frozenset(
    (
        "was",
        "were",
        "is",
        "are",
        "be",
        "at",
        "to",
        "got",
        "had",
        "gets",
        "get",
        "that",
        "it",
        "not",
        "only",
        "sorry",
        "no",
        "it's",
        "'s",
        "make",
        "torque",
        "value",
        "with",
        "ones",
        "done",
        "put",
        "read",
        "been",
    )
)
_AFTER_VALUE = frozenset(
    (
        "not",
        "on",
        "i",
        "that",
        "and",
        "as",
        "for",
        "it",
        "in",
        "the",
        "by",
        "each",
        "both",
        "because",
        "cause",
        "but",
        "since",
        "so",
        "when",
        "like",
        "till",
        "until",
    )
)
SMALL = 1e-6
"""How near two values are the same."""


@dataclass(frozen=True, slots=True)
class Change:
    """What a correction says: the value meant, the value taken back (None when it was not said again), and its fact when one was read."""

    new: float
    old: float | None
    fact: Torque | None = None
    unit: str | None = None
    """The unit said with a value that was not read as a torque."""


def is_cued(scene: Scene) -> bool:
    """Whether the note says that it corrects something."""
    parts = [f.span for f in scene.facts if isinstance(f, Part)]  # "backing plate screws should read 28": no plate with writing on it
    free = [t.norm for t in scene.tokens if not any(a <= t.start < b for a, b in parts)]
    wanted = any(w in _SOURCES or w in _TELLERS for w in free) or _somebody_said(scene)
    for cue in scene.cues:
        if cue.at and scene.tokens[cue.at].norm == "make" and scene.tokens[cue.at - 1].norm in {"i", "we", "they", "he", "she", "you"}:
            continue  # "he says twenty five bags and I make it twenty four"
        if cue.sense == "correct" and not (wanted and any(t.norm in {"should", "be"} for t in scene.tokens[cue.at : cue.end])):
            return True
        behind = scene.tokens[cue.end].norm if cue.end < len(scene.tokens) else ""
        if scene.tokens[cue.end - 1].norm == "no" and (behind in _NONE_OF or _numbers(scene, cue)):
            continue  # "thirty newton metres and no more", "filter lid No 1"
        if cue.sense == "correct start" and (cue.at < _START or _breaks_off(scene, cue)):
            return True
    return _is_owned_up(scene)


def _numbers(scene: Scene, cue: Cue) -> bool:
    """Whether "no" leads in the number of a part: "filter lid No 1, stage 2: 35 lbf·ft"."""
    figure = scene.tokens[cue.end] if cue.end < len(scene.tokens) else None
    if figure is None or figure.figure is None or figure.value is None:
        return False
    return any(m.part and m.place == f"number {figure.value:g}" for m in scene.mentions)


def _is_owned_up(scene: Scene) -> bool:
    """ "I put 70 up there, it was 60": a figure that the speaker said, and another that it was."""
    said = next((i for i, t in enumerate(scene.tokens) if t.norm in _SAYING), None)
    own = said is not None and said > 0 and scene.tokens[said - 1].norm in {"i", "we", "i'd", "'d"}
    told = _told_then(scene) if own else None
    return told is not None and told.old is not None and SMALL < abs(told.new - told.old) < told.old


def _breaks_off(scene: Scene, cue: Cue) -> bool:
    """ "Lower sprocket, no: 3 Nm there": a joint named, and "no" between pauses."""
    before, behind = scene.tokens[cue.at - 1].norm, scene.tokens[cue.end].norm if cue.end < len(scene.tokens) else ""
    named = any(m.part and m.end <= scene.tokens[cue.at].start for m in scene.mentions)
    return named and before == "," and behind in {":", ","} and scene.sentence(scene.tokens[cue.at].start) == 0


def _somebody_said(scene: Scene) -> bool:
    """Whether a value is what somebody else said: "the foreman said it should be twelve"."""
    return any(one.norm != "i" and other.norm in {"said", "told"} for one, other in pairwise(scene.tokens))


def change_of(scene: Scene) -> Change | None:
    """The values of a correction: from a torque fact, from "ten not twelve", or from one bare figure."""
    torques = [f for f in scene.facts if isinstance(f, Torque)]
    if len(torques) > 1:
        opening = [f for f in torques if scene.sentence(f.span[0]) == scene.sentence(torques[0].span[0])]
        replacing = [f for f in torques if f.replaces is not None]  # "the drive sprocket was 36 not 32, but the idler did get 32"
        torques = replacing or (opening if any(c.sense == "correct" and c.at < _START for c in scene.cues) else [])
        if len(torques) != 1:
            return None
    pair = _pair(scene)
    if torques:
        fact = torques[0]
        then = _told_then(scene)
        if then is not None and then.old is not None and abs(then.old - fact.value) < SMALL < abs(then.new - fact.value):
            return then  # "I put 22 Nm down for the idler. Wrong, it was 25"
        old = fact.replaces if fact.replaces is not None else pair[1] if pair and abs(pair[0] - fact.value) < SMALL else None
        other = _other_was(scene) or _struck(scene, fact.value) or _told_then(scene) if old is None else None
        old = other.old if other and abs(other.new - fact.value) < SMALL else old
        return Change(fact.value, old, fact)
    if pair:
        return Change(*pair)
    told = _told_then(scene) or _for_read(scene) or _other_was(scene)
    if told is not None:
        return told
    bare = [t for i, t in enumerate(scene.tokens) if _is_bare(scene, i) and t.norm != "one"]
    said = next((t.start for t in scene.tokens if t.norm in {"said", "say"}), None)
    if len(bare) == _TWO and bare[0].value is not None and bare[1].value is not None and said is not None:
        first, second = bare[0].value, bare[1].value
        return Change(second, first) if said < bare[0].start else Change(first, second)  # "I said ten, it's twelve", "it's twelve, I said ten"
    if len(bare) != 1 or bare[0].value is None:
        return None
    unit = next((t.unit.unit for t in scene.tokens if t.start >= bare[0].end and t.unit is not None and t.unit.family == "torque"), None)
    return Change(bare[0].value, None, unit=unit)


def _told_then(scene: Scene) -> Change | None:
    """ "I told you 160 for the pillow blocks, it was 150": a figure behind a word of saying, and another behind "was"."""
    said = next((i for i, t in enumerate(scene.tokens) if t.norm in _SAYING), None)
    if said is None:
        return None
    old = _figure_near(scene, range(said + 1, min(said + 1 + _CLOSE, len(scene.tokens))))
    if old is None:
        return None
    for at in range(old + 2, min(old + _TOLD_REACH, len(scene.tokens))):
        value = scene.tokens[at].value if scene.tokens[at].figure and _is_what_it_was(scene, at) else None
        if value is not None:
            return Change(value, scene.tokens[old].value)
    return None


def _is_what_it_was(scene: Scene, at: int) -> bool:
    """Whether "it was", "the wrench was set to", "I meant" leads to a figure, and no other thing's size: "and the gap was 30 thou"."""
    if any(f.span[0] <= scene.tokens[at].start < f.span[1] for f in scene.facts if isinstance(f, (Measure, Tool, Part))):
        return False
    norms = [t.norm for t in scene.tokens[:at]]
    verb = next((len(norms) - n for n in (3, 2, 1) if tuple(norms[-n:]) in _WAS), None)
    if verb is None and norms[-1:] and norms[-1] in _BEING | {"got", "had"}:
        verb = len(norms) - 1
    return verb is not None and verb > 0 and norms[verb - 1] in _IT


def _other_was(scene: Scene) -> Change | None:
    """ "The handwheel nut got 34 and the 30 was from yesterday's job": a value, and what the one that stands there was."""
    tokens = scene.tokens
    for i in range(3, len(tokens) - 1):
        linked = tokens[i - 2].norm in {"and", ",", ";", "."} and tokens[i - 1].norm == "the" and tokens[i + 1].norm in {"was", "is"}
        new = _figure_near(scene, range(i - 3, i - 5, -1)) if linked and tokens[i].figure else None
        if new is not None and new > 1 and tokens[new - 1].norm in _BEFORE_VALUE:
            return Change(tokens[new].value or 0.0, tokens[i].value)
    return None


def _struck(scene: Scene, new: float) -> Change | None:
    """ "Scrub the 33 on that screw, it's 35 Nm", "33 was wrong, it had 38": the figure that is not to stand."""
    tokens = scene.tokens
    for i, token in enumerate(tokens):
        if token.figure is None or token.value is None or abs(token.value - new) < SMALL:
            continue
        struck = i > 1 and tokens[i - 1].norm == "the" and tokens[i - 2].norm in _STRIKING
        wrong = i + 2 < len(tokens) and tokens[i + 1].norm in {"was", "is"} and tokens[i + 2].norm == "wrong"
        if struck or wrong:
            return Change(new, token.value)
    return None


def _for_read(scene: Scene) -> Change | None:
    """ "For 40 read 44"."""
    tokens = scene.tokens
    for i in range(len(tokens) - 3):
        if (tokens[i].norm, tokens[i + 2].norm) == ("for", "read") and tokens[i + 1].value is not None and tokens[i + 3].value is not None:
            return Change(tokens[i + 3].value or 0.0, tokens[i + 1].value)
    return None


def _pair(scene: Scene) -> tuple[float, float] | None:
    """The value meant and the value taken back, around "not" or "wasn't"."""
    negations = [cue for cue in scene.cues if cue.sense == "not value"]
    for cue in negations:
        old = _figure_near(scene, range(cue.end, min(cue.end + 3, len(scene.tokens))))
        if old is None:
            continue
        after = range(old + 1, min(old + _REACH + 3, len(scene.tokens)))
        before = _figure_near(scene, range(cue.at - 1, max(cue.at - _REACH, -1), -1))
        new = before if before is not None else _figure_near(scene, after)
        if new is None:
            continue
        one, other = scene.tokens[new].value, scene.tokens[old].value
        if one is not None and other is not None:
            return one, other
    return None


def _figure_near(scene: Scene, places: range) -> int | None:
    for at in places:
        token = scene.tokens[at]
        counted = at > 0 and scene.tokens[at - 1].norm in _STEPS
        if token.figure is not None and token.figure.form not in {"ordinal", "plural"} and not counted and token.norm != "one":
            return at
        if scene.tokens[at].norm in {".", ";"}:
            return None
    return None


def _is_bare(scene: Scene, at: int) -> bool:
    """A figure that can be a value by itself: led in by "was", "got", "make that", with no other unit, at the end of what is said."""
    token = scene.tokens[at]
    if token.kind != "figure" or token.figure is None or token.figure.form in {"ordinal", "plural"}:
        return False
    if any(f.span[0] <= token.start < f.span[1] for f in scene.facts if isinstance(f, (Fastener, Tool, Part, Measure))):
        return False
    before = scene.tokens[at - 1].norm if at else ""
    after = scene.tokens[at + 1] if at + 1 < len(scene.tokens) else None
    last = after is None or (after.norm == "." and at + 2 == len(scene.tokens))
    unit = after is not None and after.unit is not None and after.unit.family == "torque"
    ends = after is None or unit or after.kind == "punct" or (after.kind == "word" and after.norm in _AFTER_VALUE)
    corrections = [c for c in scene.cues if c.sense in {"correct", "correct start"}]
    named = any(m.end <= token.start and set(scene.between(m.end, token.start)) <= {","} for m in scene.mentions if m.part)
    goes_on = last or (after is not None and after.kind == "word")
    cued = bool(corrections) and ((named and goes_on) or (before == ":" and last))
    led_in = before in _BEFORE_VALUE or any(c.end == at for c in corrections) or cued
    return led_in and (ends or any(c.at == at + 1 for c in corrections))
