"""Passes counted and then told in a row: "three passes forty eighty one twenty newton metres" is 40, 80 and 120, passes one to three."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations, pairwise

from gudgeon.facts.wordset import word_set
from gudgeon.notes import Token, read_tokens
from gudgeon.units import UnitWords

PASSES = word_set("passes stages steps goes rounds bites pulls sweeps laps")
ROUND = word_set("round around over")
"""What "three times" stands behind where it counts passes."""
BETWEEN = word_set("of at to , : - then and uh um er")
MOST, LONGEST = 6, 9
"""Passes at most, and words that all their values may have."""
STEEPEST = 5
"""How many times the one before a pass is at most, where figures that ran together are cut."""
FORMS = ("cardinal", "decimal", "mixed")
UNSURE = "passes that cannot be told apart"


def spread_passes(text: str, tokens: Sequence[Token], units: UnitWords) -> tuple[list[Token], dict[int, int]]:
    """The tokens with each pass's value as a figure of its own, and the number of the pass by the character its value starts at.

    Values must rise. Where the words do not part into as many rising values as were counted, they are marked unsure.
    """
    out, passes = list(tokens), dict[int, int]()
    for at in range(len(tokens) - 1, 0, -1):
        count = tokens[at - 1].value
        times = tokens[at].norm == "times" and at > 1 and tokens[at - 2].norm in ROUND
        if not (tokens[at].norm in PASSES or times) or count is None or count != int(count) or not 2 <= count <= MOST:
            continue
        first, end = _run_after(out, at + 1)
        if first < end:
            values = _parted(text, out[first:end], int(count), units)
            out[first:end] = values
        else:
            values = _run_before(out, at - 2)
        figures = [token for token in values if token.kind == "figure" and token.figure is not None and not token.figure.unsure]
        if len(figures) == int(count) and _rise([token.value or 0.0 for token in figures]):
            passes.update({token.start: number for number, token in enumerate(figures, start=1)})
    return out, passes


def _run_after(tokens: Sequence[Token], at: int) -> tuple[int, int]:
    """The figures right behind "three passes", with small words between them: from the first to behind the last."""
    while at < len(tokens) and tokens[at].norm in BETWEEN:
        at += 1
    here = end = at
    while here < len(tokens) and (tokens[here].kind == "figure" or (here > at and tokens[here].norm in BETWEEN)):
        here += 1
        end = here if tokens[here - 1].kind == "figure" else end
    return at, end


def _run_before(tokens: Sequence[Token], at: int) -> list[Token]:
    """The figures in front of "in three passes"."""
    if at < 1 or tokens[at].norm != "in":
        return []
    here = at - 1 - (tokens[at - 1].kind == "unit")
    found: list[Token] = []
    while here >= 0 and (tokens[here].kind == "figure" or tokens[here].norm in BETWEEN):
        found.insert(0, tokens[here])
        here -= 1
    return found


def _parted(text: str, run: Sequence[Token], count: int, units: UnitWords) -> list[Token]:
    """The run as it is when it holds the values one by one; else its words parted anew; else all of it unsure."""
    figures = [token for token in run if token.kind == "figure" and token.figure is not None]
    if len(figures) == count and _rise([token.value or 0.0 for token in figures]):
        return [_sure(token) for token in run]
    if len(figures) == 1 and (figures[0].figure is not None and not figures[0].figure.splits):
        if not figures[0].text.isdigit() or not any(_written_ways(text, run, count, units)):
            return list(run)
        return [_unsure(token) for token in run]
    start = run[0].start
    words = [match.span() for match in re.finditer(r"\S+", text[start : run[-1].end])]
    if all(token.text.isdigit() for token in run):
        written = list(_written_ways(text, run, count, units))
        if len(written) == 1:
            return written[0]
    elif len(figures) == len(run) and count <= len(words) <= LONGEST:
        ways = [way for cuts in combinations(range(1, len(words)), count - 1) if (way := _way(text, start, words, cuts, units))]
        if len(ways) == 1:
            return ways[0]
    return [_unsure(token) for token in run]


def _written_ways(text: str, run: Sequence[Token], count: int, units: UnitWords) -> Iterator[list[Token]]:
    """The ways of cutting written figures that ran together ("4080 120") into as many rising values as were counted."""
    between = [token.start for token in run[1:]]
    inside = [at for token in run for at in range(token.start + 1, token.end) if text[at] != "0"]
    if not 0 < count - 1 - len(between) <= len(inside) <= LONGEST:
        return
    for chosen in combinations(inside, count - 1 - len(between)):
        bounds = sorted((run[0].start, *between, *chosen, run[-1].end))
        pieces = [(first, first + len(text[first:end].rstrip())) for first, end in pairwise(bounds)]
        found = [replace(token, start=first, end=end) for first, end in pieces for token in read_tokens(text[first:end], units)]
        if len(found) == count and _climb([token.value or 0.0 for token in found]):
            yield [_sure(token) for token in found]


def _way(text: str, start: int, words: Sequence[tuple[int, int]], cuts: Sequence[int], units: UnitWords) -> list[Token]:
    """The figures when the words are cut at these places; empty when a piece is no figure or the values do not rise."""
    found: list[Token] = []
    for first, end in pairwise((0, *cuts, len(words))):
        begin = start + words[first][0]
        read = read_tokens(text[begin : start + words[end - 1][1]], units)
        if len(read) != 1 or read[0].kind != "figure" or read[0].figure is None or read[0].figure.form not in FORMS:
            return []
        token = read[0]
        found.append(_sure(replace(token, start=token.start + begin, end=token.end + begin)))
    return found if _rise([token.value or 0.0 for token in found]) else []


def _unsure(token: Token) -> Token:
    return token if token.figure is None else replace(token, figure=replace(token.figure, unsure=UNSURE))


def _sure(token: Token) -> Token:
    return token if token.figure is None else replace(token, figure=replace(token.figure, unsure="", splits=()))


def _climb(values: Sequence[float]) -> bool:
    """Whether each value is above the one before it, and none far above."""
    return all(low < high <= STEEPEST * low for low, high in pairwise(values))


def _rise(values: Sequence[float]) -> bool:
    return all(low < high for low, high in pairwise(values))
