"""Torques with a unit that nobody put on a fastener: what a machine makes, what it takes to turn something, what a wrench was set to or read,
and the same torque said again in another unit."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from gudgeon.facts.drafts import TorqueDraft
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work
from gudgeon.units import to_nm

MAKES = word_set("makes make made making produces produce develops delivers outputs rated generates pulls")
"""What an engine or a motor does with a torque."""
FREES = word_set("turn spin rotate move shift crank start crack break loosen free undo unscrew budge overcome slip stall")
"""What a torque is needed for that tightens nothing: "three newton metres to turn the crank"."""
SETS = word_set("set setting dialled dialed adjusted wound")
TESTS = word_set("tester calibration calibrated calibrating analyser analyzer zeroed")
OUTPUT = word_set("stall rotor output rated gear starting")
GIVES_OUT = frozenset({("puts", "out"), ("gives", "out"), ("good", "for"), ("capable", "of"), ("turns", "out")})
READS = word_set("reading read reads showing showed shows zeroed zero")
DIALS = word_set("dial wrench gauge scale needle display pointer meter readout")
OPINES = word_set("would should is isn't seems sounds feels was might could wouldn't")
RESULTS = word_set("would will could might sounds seems gives means makes equals wouldn't")
BEHIND = word_set(
    "on for and then each all both in with to at so but as by now again plus or of it they that this i we he she the a an is was were are "
    "done dry oiled too if when while after before using because first second third left right round apiece every sorry no"
)
"""Words that may follow a torque in the singular without being what it tells of."""
GAVE_WAY = word_set("stripped sheared snapped broke cracked slipped crept yielded popped rounded went failed")
NO_BOLT = word_set(
    "input output spring handle motor limiter steering hinge lever brake friction clutch starting rotor engine shaft winch pedal crank"
)
"""Names before "torque" that make it one that turns something."""
MACHINES = word_set("servo actuator dyno dynamometer limiter stepper")
TURNERS = ("wrench", "torque wrench", "impact driver", "screwdriver")
REACHES = word_set("up only goes go went does do down starts start handles handle reads range good reaches from")
"""What a tool can do, behind its name."""
PUTTING = ("tighten", "fit", "replace", "adjust")
LEAD_IN = ("fillers", "hedges", "stages", "places", "states", "descriptions", "corrections", "connectors", "turns", "compounds", "breaks")
"""Tables whose words may lead up to a torque."""
BRINGS = word_set(
    "side sides end ends went going go goes gone gave given give put found took taken take call calling calls number numbers grade size sizes redone "
    "redid ended holding hold holds moved round done did do doing left leave sat sits pulled turned feel felt came come comes back got getting "
    "finished stopped stopping settled today morning afternoon now time job middle centre edge corner star cross sequence pattern spiral top "
    "wanted want wants need needs needed take hand hands pair set rest lot half whole one ones checked check re hours minutes heat thread threads "
    "wrench clicked clicks click used use using run ran tried try see says said"
)
"""Nouns and verbs that often stand before a torque which was put on."""
MODALS = word_set("might may could should will shall must")
ENOUGH = word_set("plenty enough do much lot right loads overkill fine ample low high excessive reasonable normal usual standard typical")
CLICKED = 4
"""Tokens behind a sentence in which it is told that the wrench clicked."""
EVERY = word_set("each all both apiece every")
FAR = 12
SAME = 0.03
"""How far two torques in different units may be apart (as a share) and still be one."""
NEAR = 4


def is_not_applied(work: Work, draft: TorqueDraft, before: Sequence[TorqueDraft]) -> bool:
    """Whether the words around a torque say that it was no tightening, or that it was told already."""
    if _is_sum(work, draft):
        return True
    if _is_one_of_two(work, draft) or _is_adjective(work, draft) or _then_gave_way(work, draft):
        return True
    if _is_general(work, draft):
        return True
    if _is_reading(work, draft) or _is_of_a_tool(work, draft):
        return True
    return _is_output(work, draft) or _is_effort(work, draft) or _is_setting(work, draft.at) or _is_told_already(work, draft, before)


def _fastened(work: Work, at: int) -> bool:
    """Whether a fastener is spoken of, or something tightened, in the clause."""
    note = work.note
    if any(note.clause[t.start] == note.clause[at] for t in work.of_kind("fastener")):
        return True
    return any(v.action == "tighten" and note.clause[v.start] == note.clause[at] for v in work.verbs)


def _is_output(work: Work, draft: TorqueDraft) -> bool:
    """ "the pump makes nine newton metres", "motor torque figure fourteen newton metres locked rotor"."""
    note, at = work.note, draft.at
    if _fastened(work, at):
        return False
    first = note.start_of(note.clause, at)
    before = note.norms[max(first, at - NEAR) : at]
    begins = at - 2 == first or note.kind(at - 3) == "punct" or any(h.end == at - 2 for h in note.hits.get("corrections", ()))
    if before[-2:] == ["make", "that"] and begins and note.norms[draft.end : draft.end + 2] != ["next", "time"]:
        return False  # what was said before is put right
    if any(note.clause[h.start] == note.clause[at] for h in note.hits.get("stages", ())):
        return False  # "second round on the wheel motor a hundred and twenty newton metres"
    after = note.norms[draft.end : draft.end + 3]
    if after and after[0] in ("on", "for") and set(after[1:]) & EVERY:
        return False  # "motor forty four newton metres on each of its four"
    if before[-1:] in (["motor"], ["engine"], ["motors"], ["servo"], ["actuator"]):
        return before[-1].endswith("s") or note.word(draft.end) != "each"  # one machine puts nothing out "each": some part was misheard
    if (
        tuple(before[-2:]) in GIVES_OUT
        or any(word in MAKES for word in before)
        or ("torque" in before[-3:] and any(word in ("figure", "rating", "curve") for word in before))
    ):
        return True
    return any(word in OUTPUT for word in after) or (after[:1] == ["in"] and "gear" in note.norms[draft.end : draft.end + 4])


def _is_effort(work: Work, draft: TorqueDraft) -> bool:
    """ "takes three newton metres to turn the crank over"."""
    note = work.note
    to = draft.end + (note.word(draft.end) in ("just", "or", "before"))
    if note.word(to) != "to" or note.word(to + 2) == "with":
        return False
    if note.word(to + 1) == "start" and note.kind(to + 2) in ("", "punct"):
        return False  # "4 kgf·m to start, stage 1"
    return note.word(to + 1) in FREES or (
        note.word(to + 1) == "get" and any(w in ("moving", "turning", "off", "undone", "free", "loose") for w in note.norms[to : to + 6])
    )


def _is_setting(work: Work, at: int) -> bool:
    """ "set the wrench to forty newton metres", "the tester showed fifty one": a tool and its setting, and no joint spoken of."""
    note = work.note
    number = note.sentence[at]
    if any(note.sentence[n.start] == number for n in work.names) or any(note.sentence[t.start] == number for t in work.of_kind("fastener")):
        return False
    words = note.norms[note.start_of(note.sentence, at) : note.end_of(note.sentence, at)]
    behind = note.norms[at : note.end_of(note.sentence, at) + CLICKED]
    if "clicked" in behind and not {"at", "till", "until", "by"} & set(behind[behind.index("clicked") :]):
        return False  # "seventy five, that's what the wrench is set to and they've all clicked"
    if any(word in TESTS for word in words) or (READS & set(words) and DIALS & set(words)):
        return True
    wrench = any(note.sentence[t.start] == number and t.row["tool"] in ("wrench", "torque wrench") for t in work.of_kind("tool"))
    return wrench and any(word in SETS for word in words) and not any(v.action == "tighten" and note.sentence[v.start] == number for v in work.verbs)


def _joint_in_sentence(work: Work, at: int) -> bool:
    note, number = work.note, work.note.sentence[at]
    return any(note.sentence[n.start] == number for n in work.names) or any(note.sentence[t.start] == number for t in work.of_kind("fastener"))


def _is_one_of_two(work: Work, draft: TorqueDraft) -> bool:
    """ "either thirty or forty newton metres": it stays open which."""
    note, at = work.note, draft.at
    return note.word(at - 1) == "or" and (note.kind(at - 2) == "figure" or (note.kind(at - 2) == "unit" and note.kind(at - 3) == "figure"))


def _is_adjective(work: Work, draft: TorqueDraft) -> bool:
    """ "it's a forty newton metre servo": an article before, the unit in the singular, and the thing it tells of behind it."""
    note = work.note
    single = not note.norms[draft.end - 1].endswith("s") and note.norms[draft.end - 1].endswith(("metre", "meter", "pound"))
    named = note.kind(draft.end) == "word" and note.norms[draft.end] not in BEHIND
    return single and named and note.word(draft.at - 1) in ("a", "an", "the", "that", "this", "my", "his", "her", "our", "another")


def _then_gave_way(work: Work, draft: TorqueDraft) -> bool:
    """ "took it to forty newton metres and it stripped": what it did not stand."""
    note = work.note
    start = draft.end + (note.word(draft.end) in ("and", "then", "when", "before"))
    near = note.norms[start : start + 4]
    return (
        start > draft.end
        and any(word in ("it", "they", "thread", "head", "bolt", "stud", "one") for word in near[:3])
        and (any(word in GAVE_WAY for word in near) or any(pair == ("let", "go") for pair in pairwise(near)))
        and near[0] not in ("don't", "do")
    )


def _is_reading(work: Work, draft: TorqueDraft) -> bool:
    """ "measured forty newton metres at the pto", "twenty newton metres of preload"."""
    note = work.note
    if note.word(draft.end) == "of" and note.word(draft.end + 1) in ("preload", "drag", "friction", "resistance", "pull", "stiction", "twist"):
        return True
    before = draft.at - 1 - (note.word(draft.at - 1) in ("about", "around", "roughly"))
    if note.word(before) in ("measured", "measures", "recorded", "logged", "from", "than", "as", "like") and draft.low is None:
        return True
    if note.word(draft.end) == "next" and note.kind(draft.end + 1) in ("", "punct"):
        return True
    words = note.norms[note.start_of(note.clause, draft.at) : draft.at]
    first = note.start_of(note.clause, draft.at)
    told = any(
        word == "torque" and (words[i - 1] if i else "") in NO_BOLT and not note.starting("part_nouns", first + i + 1) for i, word in enumerate(words)
    )
    return told or ("output" in words and "is" in words) or (not _fastened(work, draft.at) and any(word in MACHINES for word in words))


def _is_of_a_tool(work: Work, draft: TorqueDraft) -> bool:
    """ "borrowed a wrench that does up to three hundred newton metres": what a tool can do, and no joint spoken of."""
    note, number = work.note, work.note.sentence[draft.at]
    if _joint_in_sentence(work, draft.at) or any(v.action == "tighten" and note.sentence[v.start] == number for v in work.verbs):
        return False
    tools = [t for t in work.of_kind("tool") if t.row["tool"] in TURNERS and note.sentence[t.start] == number and t.end <= draft.at]
    if not tools or any(word.startswith("click") for i, word in enumerate(note.norms) if note.sentence[i] == number):
        return False
    between = note.norms[tools[-1].end : draft.at]
    return any(word in REACHES for word in between)


def _is_general(work: Work, draft: TorqueDraft) -> bool:
    """ "m ten is fifty newton metres", "fifty newton metres for an m ten": what a size gets, not what these got."""
    note, at = work.note, draft.at
    if _fastened(work, at):
        return False
    sized = note.word(at - 1) in ("is", "gets") and note.kind(at - 2) == "thread" and not note.tokens[at - 2].text.endswith("s")
    return sized or (note.norms[draft.end : draft.end + 2] in (["for", "an"], ["for", "a"], ["for", "any"]) and note.kind(draft.end + 2) == "thread")


def _is_sum(work: Work, draft: TorqueDraft) -> bool:
    """ "forty foot pounds is fifty four newton metres": a sum, where no joint is spoken of."""
    note = work.note
    number = note.sentence[draft.at]
    if any(note.sentence[n.start] == number for n in work.names) or any(note.sentence[t.start] == number for t in work.of_kind("fastener")):
        return False
    for other in work.torques_said:
        near = 0 < other.at - draft.end <= NEAR or 0 < draft.at - other.end <= NEAR
        if not near or other.unit == draft.unit or not draft.nm or not other.unit:
            continue
        linked = any(word in ("is", "equals", "=", "makes", "same", "'s") for word in note.norms[draft.end : other.at])
        linked = linked or any(word in ("is", "equals", "=") for word in note.norms[other.end : draft.at])
        if linked:
            return abs(to_nm(other.value, other.unit) - draft.nm) <= SAME * draft.nm
    return False


def _is_told_already(work: Work, draft: TorqueDraft, before: Sequence[TorqueDraft]) -> bool:
    """ "forty foot pounds that's fifty four newton metres": the torque just said, in another unit."""
    note = work.note
    for other in before:
        if note.sentence[other.at] != note.sentence[draft.at] or other.unit == draft.unit or not other.nm or not draft.nm:
            continue
        told = (
            note.norms[draft.at - 2 : draft.at] in (["that", "'s"], ["which", "is"], ["that", "is"], ["call", "it"])
            or note.word(draft.at - 1) in "(/="
        )
        near = draft.at - other.end <= (FAR if told else NEAR + 1)
        if draft.replaces is None and abs(other.nm - draft.nm) <= SAME * other.nm and near:
            return True
    return False
