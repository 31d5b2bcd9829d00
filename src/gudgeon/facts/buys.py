"""Things to get: the items named after a cue of buying."""

from __future__ import annotations

from dataclasses import replace

from gudgeon.domain import Buy
from gudgeon.facts.flags import fill
from gudgeon.facts.lexicon import Hit
from gudgeon.facts.marked import Marked
from gudgeon.facts.wordset import word_set
from gudgeon.facts.work import Work

NOUN_ORDER = word_set("in the good this tightening any working same my that right their out work no proper numerical random")
ITEM_ENDS = word_set("from to for on at when because so but before if that which with by as in over into until near off")
HEADINGS = word_set("need needed needs wanted")
"""Words that head a list of things to get before a colon."""
NEEDING = frozenset(["", "i", "we", "'ll", "still", ".", ",", ";", "and", "so", "will", "also", "then", "gonna"])
"""Words right before "need two …" when it is the speaker that needs them."""
ERRANDS = word_set("from shop shops town supplier store order while")
NO_GOODS = word_set("daylight light time patience steam puff luck energy road room travel thread adjustment ideas hands breath day evening words")
"""What one runs out of and cannot buy."""
ON_THE_LIST = frozenset({(a, b, c) for a in ("on", "to", "for") for b in ("the", "my", "our") for c in ("list", "order", "shopping", "parts")})
NO_ITEM = word_set("more new ones of them those .")
LENGTHS = word_set("m metre metres meter meters foot feet yard yards mm cm")
MOST_BOUGHT = 400
"""A larger number before an item is what it is called: "a pair of 6305 bearings"."""
SKIP = word_set("x × and , the a an of some more new for us me up also plus another & - : one two or as well")


def mark_purchases(work: Work) -> list[tuple[int, int, Hit]]:
    """Stretches after a cue of buying, flagged in the scopes."""
    note = work.note
    regions = []
    last = 0
    for hit in note.hits.get("buys", ()):
        if hit.start < last or work.scopes.asked[hit.start] or work.scopes.reported[hit.start] or _no_cue(note, hit):
            continue
        if hit.row.words[:2] == ("pick", "up") and any(n.first < hit.start <= n.end for n in work.names):
            continue  # "oil pump pick up two bolts"
        if hit.row.phrase in ("to buy", "to order") and (named := _named_before(work, hit)) is not None:
            fill(work.scopes.bought, named, hit.end)
            regions.append((named, hit.start, hit))
            last = hit.end
            continue
        end = _end(note, hit)
        if end <= hit.end and hit.row.words[-1] not in ("one", "another") and hit.row.words[0] not in ("one", "two") and not _so_many(note, hit):
            continue
        fill(work.scopes.bought, hit.start, end)
        regions.append((hit.end, end, hit))
        last = end
    return regions


def _so_many(note: Marked, hit: Hit) -> bool:
    """ "i've none left so get ten": a count alone, of what was named before."""
    return hit.row.phrase == "get #" and note.kind(hit.end) in ("punct", "") and note.word(hit.start - 1) in ("so", "to", "better", "must")


def _named_before(work: Work, cue: Hit) -> int | None:
    """Where the name right before "to buy" begins: "a new impeller to buy"."""
    name = next((n for n in work.names if n.end == cue.start), None)
    if name is not None:
        return name.first
    thing = next((t for t in work.things if t.end == cue.start and t.kind in ("fastener", "compound")), None)
    return thing.start if thing is not None else None


def _no_cue(note: Marked, hit: Hit) -> bool:
    before = note.word(hit.start - 1)
    if hit.row.phrase in HEADINGS:
        return note.word(hit.end) != ":"
    sentence = note.norms[note.start_of(note.sentence, hit.start) : note.end_of(note.sentence, hit.start)]
    if hit.row.words[0] in ("put", "stick") or (hit.row.words[0] == "add" and len(hit.row.words) > 1 and hit.row.words[1] != "to"):
        return not any(tuple(words) in ON_THE_LIST for words in zip(sentence, sentence[1:], [*sentence[2:], ""], strict=False))
    if hit.row.phrase == "get a":
        return before not in ("so", "must", "better") and not {"none", "left"} & set(sentence)
    if hit.row.phrase in ("order", "ordering") and before in NOUN_ORDER:
        return True
    if hit.row.phrase == "need #":
        return not _goods_follow(note, hit) or note.kind(hit.end) == "unit" or before not in NEEDING
    if hit.row.phrase == "add":
        return "list" not in sentence
    if _so_many(note, hit) or (hit.row.phrase == "get #" and before in ("so", "must", "better") and _goods_follow(note, hit)):
        return False
    if hit.row.phrase in ("get #", "get two", "get one"):
        return note.norms[hit.end : hit.end + 2] not in (["of", "those"], ["of", "them"], ["of", "these"]) and not any(
            word in ERRANDS for word in sentence
        )
    return before in ("didn't", "don't", "no", "not", "never", "doesn't")


def _goods_follow(note: Marked, hit: Hit) -> bool:
    """Whether what is got or needed is named within three tokens of the count."""
    return any(note.starting(t, at) for t in ("part_nouns", "fasteners", "compounds") for at in range(hit.end, hit.end + 3))


def _end(note: Marked, hit: Hit) -> int:
    end = note.end_of(note.sentence, hit.end - 1)
    for at in range(hit.end, end):
        if note.norms[at] in ("and", ",", "then") and any(t.unit is not None and t.unit.family == "torque" for t in note.tokens[at:end]):
            return at
        if (
            at > hit.end
            and note.clause[at] != note.clause[at - 1]
            and note.norms[at] in ("but", "so", "because", "anyway", "i", "we", "it", "that", "there", "he", "she")
        ):
            return at
    return end


def make_buys(work: Work, regions: list[tuple[int, int, Hit]]) -> list[Buy]:
    """One fact an item."""
    facts: list[Buy] = []
    for start, end, cue in regions:
        found = _items(work, start, end, cue)
        said_one = cue.row.phrase == "add" and work.note.word(start) in ("one", "another")
        if not found and (
            end <= start
            or said_one
            or _so_many(work.note, cue)
            or work.note.word(start) == "of"
            or cue.row.words[-1] in ("one", "another")
            or cue.row.words[0] == "put"
        ):
            found = _last_named(work, cue)
        elif not found and _only_a_count(work, start, end):
            found = [replace(fact, count=int(work.note.tokens[start].value or 0)) for fact in _last_named(work, cue)]
        if cue.row.words[-1] in ("of", "on") and not NO_GOODS.isdisjoint(work.note.norms[start:end]):
            continue
        found = [replace(fact, rule=f"{fact.rule} (buys.csv row {cue.row.line})") for fact in found]
        facts += [fact for fact in found if not any(f.item == fact.item for f in facts)]
    return facts


def _items(work: Work, start: int, end: int, cue: Hit) -> list[Buy]:
    note = work.note
    facts: list[Buy] = []
    at, count, words, first = start, _cue_count(note, cue), [], start
    while at <= end:
        step = note.word(at) if at < end else "."
        holder = next(iter(note.starting("containers", at)), None) if at < end else None
        if holder is not None and holder.end - holder.start > 1:
            at = holder.end
            continue
        thing = next((t for t in work.things if t.start == at and t.kind in ("noun", "fastener", "compound", "tool")), None) if at < end else None
        if thing is not None:
            words += [_bought_word(work, at, thing.end, thing.row.words, thing)]
            at = thing.end
            continue
        if step in ("one", "ones") and not words and (note.word(at - 1) in ("new", "another", "replacement", "a") or note.kind(at - 1) == "unit"):
            facts += _last_named(work, cue)
            if not {"and", ","} & set(note.norms[at:end]):
                break
        hard = at >= end or (note.kinds[at] == "punct" and step not in ("(", ")", "-")) or step in ITEM_ENDS or step == "and"
        hard = hard or (note.kinds[at] == "figure" and bool(words) and note.word(at - 1) != "(")
        if hard:
            facts += _close(work, words, count, first, at)
            words, count = [], None
            if (step in ITEM_ENDS and step != "for") or step == "to":
                break
            if step in ("for", "from"):
                at = _skip_purpose(note, at, end)
                continue
        if at >= end:
            break
        at, count, words, first = _word(work, at, count, words, first)
    return facts


def _cue_count(note: Marked, cue: Hit) -> int | None:
    for at in range(cue.start, cue.end):
        value = note.tokens[at].value
        if value is not None and note.norms[at] != "one" and value == int(value):
            return int(value)
    return None


def _bought_word(work: Work, start: int, end: int, singular: tuple[str, ...], thing: object) -> str:
    kind = getattr(thing, "kind", "")
    row = getattr(thing, "row", None)
    if kind == "compound" and row is not None and row["compound"] in ("anti-seize", "brake fluid"):
        return str(row["compound"])
    return " ".join(singular) if kind in ("noun", "fastener") else " ".join(work.note.norms[start:end])


def _word(work: Work, at: int, count: int | None, words: list[str], first: int) -> tuple[int, int | None, list[str], int]:
    note = work.note
    token = note.tokens[at]
    if token.kind == "figure":
        quantity = work.quantities.get(at)
        if quantity is not None and quantity.unit is not None:
            return quantity.end, count, words, first
        value = token.value
        if words and note.word(at - 1) == "(" and value is not None and value == int(value):
            return at + 2, int(value), words, first
        if note.word(at + 1) in LENGTHS and note.word(at + 2) == "of":
            return at + 3, count, words, first
        if (
            value is not None
            and value == int(value)
            and value <= MOST_BOUGHT
            and token.figure is not None
            and token.figure.form in ("cardinal", "count", "digits")
        ):
            return at + 1, int(value), words, at
        return at + 1, count, [*words, token.text], first
    if token.kind == "thread" and token.thread is not None:
        return at + 1, count, [*words, token.thread.name], first if words else at
    container = next(iter(note.starting("containers", at)), None)
    if container is not None:
        return container.end, count, words, first if words else at
    if token.norm in SKIP or token.kind in ("unit", "grade") or note.starting("fillers", at) or note.starting("states", at):
        return at + 1, count, words, first if words else at + 1
    if token.kind == "word" and not (token.norm in note.lexicon.common and not note.starting("descriptions", at)):
        return at + 1, count, [*words, token.norm], first if words else at
    return at + 1, count, words, first


def _close(work: Work, words: list[str], count: int | None, first: int, end: int) -> list[Buy]:
    text = " ".join(words)
    if (
        not any(c.isalpha() for c in text)
        or text in ("thread", "hole", "teeth")
        or any(work.scopes.chatter[min(first, len(work.scopes.chatter) - 1) : end])
    ):
        return []
    first = min(first, end - 1)
    return [Buy(item=text, count=count, span=work.note.span(first, max(end, first + 1)), rule="buys:item")]


def _skip_purpose(note: Marked, at: int, end: int) -> int:
    """Past "for the pump" to the next item."""
    here = at + 1
    while here < end and note.norms[here] not in ("and", ",", "a", "an", "some", "new") and note.kinds[here] != "figure":
        here += 1
    return max(here, at + 1)


def _only_a_count(work: Work, start: int, end: int) -> bool:
    """ "carb rubbers perished, order a pair"."""
    note = work.note
    return (
        start < end
        and note.kinds[start] == "figure"
        and all(w in ("more", "new", "ones", "of", "them", "those", ".") for w in note.norms[start + 1 : end])
    )


def _last_named(work: Work, cue: Hit) -> list[Buy]:
    """ "Clip broken. Order one.": what was named last, but not what stands behind "on the", "of the" unless it is alone."""
    named = [(n.first, n.end, n.name) for n in work.names if n.end <= cue.start]
    named += [
        (t.start, t.end, t.row.phrase if t.row["fixed"] == "yes" else t.row["fastener"]) for t in work.of_kind("fastener") if t.end <= cue.start
    ]
    if not named:
        return []
    main = [each for each in named if not {"on", "of", "in", "for"} & set(work.note.norms[max(0, each[0] - 2) : each[0]])]
    item = max((end, name) for _, end, name in main or named)[1]
    count = 1 if "one" in (cue.row.words[-1], cue.row.words[0]) or work.note.word(cue.end) == "one" else _cue_count(work.note, cue)
    return [Buy(item=item, count=count, span=work.note.span(cue.start, cue.end), rule="buys:last-named")]
