"""Parts that a note names and that are no joints of it: where something sits, what it was done for, what a value was read from."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, takewhile

from gudgeon.domain import Action, Part
from gudgeon.entries.around import SKIPPED, Around
from gudgeon.entries.drafts import words_of
from gudgeon.entries.lines import ENDINGS
from gudgeon.entries.spoken import TOWARDS, Mention

_THEY_ARE = [[who, be] for who in ("these", "those", "they", "ours") for be in ("are", "'re")]
_PUT_ON = frozenset(("on", "onto", "in", "into", "to", "at"))
_CONCLUDING = frozenset(("so", "cause", "cos", "because"))
"""What may go on with the joint itself: "20 Nm, so that's the sump bolts"."""
_NEAR = 8
_TELLING = frozenset(("stamped", "marked", "says", "reads", "engraved", "labelled"))
_OF_IT = frozenset(("on", "that", "this", "one", "the", "it", "is", "'s", "was", "there", "here"))
_INSIDE = frozenset(("inside", "under", "up", "down", "underneath"))
_AIMED = 4
_BEFORE_TO = frozenset(("on", "back", "next", "up", "down", "over", "close", "got", "had", "moved", "going", "went", "move"))
_REASON = 3
_OWN_DOING = 5
_SAYS = frozenset(("says", "said", "reads", "quotes", "wants", "gives", "shows", "has"))
_NEAR_SAYING = 5
_ROUND = frozenset(("round", "around", "through", "under", "behind"))
_CLOSE = 6


def tells_why(part: Part, last: Mention, around: Around) -> bool:
    """Whether a part only tells why another one was done again: "motor mounts again, belt slipped: 40 Nm"."""
    behind = next((t.norm for t in around.scene.tokens if t.start >= part.span[1]), "")
    return "again" in around.scene.between(last.end, part.span[0]) and around.words.role("slip", behind) is not None and not around.carries(part)


def is_handed(part: Part, around: Around) -> bool:
    """Whether a part is only held or handed on by somebody: "you hold the lamp", "pass me that cover"."""
    led = [t.norm for t in around.scene.tokens if t.end <= part.span[0] and t.norm not in SKIPPED and t.norm not in {"me", "us", "him", "her"}]
    return led[-1:] != [] and around.words.role("hand", led[-1]) is not None


def is_visited(part: Part, around: Around) -> bool:
    """Whether somebody only went there: "been up to the hydrant and back"."""
    led = [t.norm for t in around.scene.tokens if t.end <= part.span[0] and t.norm not in SKIPPED]
    behind = [t.norm for t in around.scene.tokens if t.start >= part.span[1]][:2]
    return led[-1:] == ["to"] and behind == ["and", "back"]


def is_put_in(mention: Mention, around: Around) -> bool:
    """ "Put the spare anchor in the number two bracket": what is put into the joint."""
    led = [t.norm for t in around.scene.tokens if t.end <= mention.start and t.norm not in SKIPPED]
    return led[-1:] == ["put"]


def is_aim(part: Part, around: Around) -> bool:
    """Whether a part is what something was done for: "to true the bar", "to get at the pump"; in the sentence's own verb."""
    here = around.scene.sentence(part.span[0])
    led = [t for t in around.scene.tokens if t.end <= part.span[0] and around.scene.sentence(t.start) == here]
    said = [t.norm for t in led]
    article = said[-1:] in (["the"], ["that"], ["its"])
    if not article or len(said) < _AIMED or said[-3] != "to" or said[-4] in _BEFORE_TO:
        return False
    verb = led[-2]
    plain = verb.kind == "word" and verb.norm not in around.words.places and verb.norm not in TOWARDS and not around.words.role("join", verb.norm)
    acted = any(f.kind == "action" and f.span[1] <= led[-3].start and around.scene.sentence(f.span[0]) == here for f in around.scene.facts)
    return plain and acted


def is_written_on(part: Part, around: Around) -> bool:
    """Whether a part behind a value only tells where that value was read."""
    values = [f.span[1] for f in around.scene.facts if f.kind in {"torque", "angle"} and f.span[1] <= part.span[0]]
    behind = [t for t in around.scene.tokens if t.start >= part.span[1]][:_NEAR]
    says = next((i for i, t in enumerate(behind) if t.norm in _TELLING), None)
    if says is not None and any(t.figure for t in behind[says:]) and {t.norm for t in behind[:says]} <= _OF_IT:
        return True  # "the plate on that one is stamped 260"
    between = around.scene.between(max(values), part.span[0]) if values else [t.norm for t in around.scene.tokens if t.end <= part.span[0]][-3:]
    told = any(around.words.role("writing", one) and other in _PUT_ON | _INSIDE for one, other in pairwise(between))
    return told and not ENDINGS.intersection(between)


def is_what_they_are(part: Part, around: Around) -> bool:
    """ "These are rollers": what something is, and no joint, where no fastener is said of it."""
    led = [t.norm for t in around.scene.tokens if t.end <= part.span[0]][-2:]
    made = led[-1:] in (["'s"], ["is"]) or led in (["'s", "only"], ["is", "only"], ["'s", "just"])
    led_by = [t.norm for t in around.scene.tokens if t.start < part.span[1]]
    old = any(led_by[i : i + 3] in (["'s", "the", "old"], ["is", "the", "old"]) for i in range(max(len(led_by) - 6, 0), len(led_by)))
    if old and "but" in led_by and not around.carries(part):
        return True  # "the plate says 50 but that's the old cast motor"
    inside = around.scene.between(*part.span)[:1]
    return (led in _THEY_ARE or (made and around.words.role("stuff", inside[0]) is not None if inside else False)) and not around.carries(part)


def is_source(part: Part, around: Around) -> bool:
    """ "Plate by the ladder says a hundred and forty": where a value is written, and no joint."""
    behind = [t.norm for t in around.scene.tokens if t.start >= part.span[1]][:_NEAR_SAYING]
    behind = list(takewhile(lambda word: word not in {":", ".", ",", ";"}, behind))
    own = next((p for p in around.parts if p.span[0] > part.span[1]), None)
    said = next((i for i, word in enumerate(behind) if word in _SAYS), None)
    if said is not None and behind[said] == "has" and behind[said + 1 : said + 2] != ["it"]:
        return False
    if said is not None and behind[said] == "wants" and around.words.role("written on", part.name.split()[-1]) != "paper":
        return False  # "not sure what the gearbox lid wants"
    if said is None or around.carries(part) or any(f.span[0] == part.span[1] + 1 for f in around.fasteners):
        return False
    held = behind[0] in {"on", "by", "inside", "in", "under", "behind"} if behind else False
    alone = held or own is None or len(around.scene.between(part.span[1], own.span[0])) > said
    return alone and around.words.role("written on", part.name.split()[-1]) is not None


def is_reason(part: Part, around: Around) -> bool:
    """ "Tube is thin, so I gave them fifteen foot pounds": why it was no more."""
    behind = [t.norm for t in around.scene.tokens if t.start >= part.span[1]][:5]
    if len(behind) < _REASON or behind[0] not in {"is", "'s", "was", "are"} or not around.words.role("stuff", behind[1]):
        return False
    return "so" in behind[2:4]


def goes_on_turning(part: Part, around: Around) -> bool:
    """ "Second round eleven newton metres and the shaft still turns by hand": how something goes, and no joint."""
    values = [f.span[1] for f in around.scene.facts if f.kind in {"torque", "angle"} and f.span[1] <= part.span[0]]
    behind = [t.norm for t in around.scene.tokens if t.start >= part.span[1]][:3]
    led = [w for w in around.scene.between(max(values), part.span[0]) if w not in {"each", "apiece", "all", "now"}] if values else []
    mine = led[1:3] in (["i", "'ve"], ["we", "'ve"]) or led[1:2] in (["i've"], ["we've"], ["i"], ["we"])
    if led[:1] == ["and"] and mine and len(led) <= _OWN_DOING and not TOWARDS & set(led):
        return True  # "thirty five foot pounds each and I've dabbed the heads yellow"
    return led[:1] == ["and"] and len(led) <= _REASON and any(around.words.role("motion", w) for w in behind[:2])


def is_treated(part: Part, around: Around) -> bool:
    """Whether a part behind a value was only cleaned or oiled besides: "7 Nm each and I've oiled the pivots"."""
    values = [f.span[1] for f in around.scene.facts if f.kind in {"torque", "angle"} and f.span[1] <= part.span[0]]
    if not values:
        return False
    between = around.scene.between(max(values), part.span[0])
    done = [f for f in around.scene.facts if isinstance(f, Action) and max(values) <= f.span[0] and f.span[1] <= part.span[0]]
    aside = [f for f in done if around.words.role("action", f.action) == "aside" or f.action == "lubricate"]
    return bool(aside) and "and" in between and not TOWARDS.intersection(around.scene.between(aside[-1].span[1], part.span[0]))


def is_for_compound(part: Part, last: Mention, around: Around) -> bool:
    """Whether a part behind fasteners only says where a compound goes: "fourteen bolts and sealant on the face"."""
    spread = [f for f in around.scene.facts if f.kind == "compound" and last.end <= f.span[0] and f.span[1] <= part.span[0]]
    if not spread or around.carries(part) or not {"and", ","} & set(around.scene.between(last.end, spread[0].span[0])):
        return False
    return [w for w in around.scene.between(spread[-1].span[1], part.span[0]) if w not in SKIPPED] in (["on"], ["round"], ["around"])


def is_purpose(part: Part, around: Around) -> bool:
    """Whether a part behind a value only says what it was for, or until when: "40 Nm to bed the bearings", "till the gasket gave"."""
    if not any(f.kind in {"torque", "angle"} and f.span[1] <= part.span[0] for f in around.scene.facts):
        return False
    before = [t for t in around.scene.tokens if t.end <= part.span[0] and around.scene.sentence(t.start) == around.scene.sentence(part.span[0])]
    while before and (before[-1].norm in SKIPPED or before[-1].norm in around.words.places):
        before.pop()
    values = [f.span[1] for f in around.scene.facts if f.kind in {"torque", "angle"} and before and f.span[1] <= before[-1].start]
    if not values:
        return False
    clause = [t.norm for t in before if t.start >= max(values) and around.words.role("lead", t.norm) == "clause"]
    aside = clause and clause[-1] not in _CONCLUDING and words_of(part.name) not in around.claimed
    if clause and (before[-1].norm == clause[-1] or aside):
        return True
    return len(before) > 1 and before[-2].norm == "to" and before[-2].start <= max(values) + 1 and before[-1].norm not in TOWARDS


def came_out(part: Part, around: Around) -> bool:
    """Whether a part only came out, before fasteners went in elsewhere: "got the stump out and a new bolt is in"."""
    after = [t.norm for t in around.scene.tokens if t.start >= part.span[1]][:2]
    later = any(f.span[0] > part.span[1] for f in around.fasteners)
    return later and after[:1] in (["out"], ["away"]) and after[1:] in (["and"], [","])


def is_put_round(part: Part, around: Around) -> bool:
    """Whether a thing is only held to what was named: "I've got the strap round it"."""
    behind = [t.norm for t in around.scene.tokens if t.start >= part.span[1]][:2]
    return len(behind) > 1 and behind[0] in _ROUND and behind[1] == "it"


def is_left_on(part: Part, around: Around) -> bool:
    """ "The radial's on its stand with the trolley brake on": what is on or off meanwhile."""
    behind = [t.norm for t in around.scene.tokens if t.start >= part.span[1]][:2]
    ends = behind[:1] in (["on"], ["off"], ["out"], ["open"], ["shut"]) and behind[1:] in ([], ["and"], [","], ["."])
    return ends and around.lead(part.span[0]) == "with"


def is_refused(part: Part, around: Around) -> bool:
    """ "Plate says 50 for the damper. Not with this mount": what a value is refused because of."""
    led = [t.norm for t in around.scene.tokens if t.end <= part.span[0]][-3:]
    return led[:2] == ["not", "with"] and len(led) > 2


def is_lacking(part: Part, around: Around) -> bool:
    """ "Pull-up bar, 4 bolts. No plate on it": what is not there."""
    led = [t.norm for t in around.scene.tokens if t.end <= part.span[0]]
    return led[-1:] == ["no"]


_BARE = (is_reason, goes_on_turning, is_what_they_are, is_treated, is_handed, is_written_on, is_purpose, is_left_on)
"""What shows a bystander of which no fastener is said."""
_ANY = (is_visited, is_source, came_out)


def stands_by(part: Part, last: Mention | None, mentions: Sequence[Mention], around: Around) -> bool:
    """Whether a part is no joint, by the words around it; ``last`` is the joint named before it in the sentence, ``mentions`` are all so far."""
    if any(shows(part, around) for shows in _ANY) or (last is not None and is_refused(part, around)):
        return True
    if last and last.part and not last.fastener and "against" in around.scene.between(last.end, part.span[0])[-_CLOSE:]:
        return True  # "the spring plate's back up against the axle, and its four nuts are run on"
    if around.carries(part):
        return False
    if any(shows(part, around) for shows in _BARE) or (last and last.fastener and is_put_round(part, around)):
        return True
    return bool(mentions) and (is_lacking(part, around) or (any(m.part for m in mentions) and is_aim(part, around)))
