"""Number words said in one breath that are two figures: a count, a number or a grade, and the value after it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from gudgeon.facts.wordset import word_set
from gudgeon.notes import Figure, Piece, Token, grade_at

COUNTERS = word_set("pass stage step round number no numbers bank row")
"""Words after which "one twenty" is two figures, 1 and 20."""
ROUNDS = COUNTERS | word_set("time lap sweep go")
COUNTED = word_set("all other others last those these remaining inner outer middle first next of both")
"""Words after which a small figure is a count: "all four forty" is 4 and 40."""
GRADED = word_set("grade class gr")
LEADS_TO_VALUE = word_set(
    "to at is are was were be been 's 're 've got get gets had has have took takes take make makes made it them about around roughly just only "
    "nearly up down maybe probably say says or and then now torque on in for with by from than over under not plus another actually sorry was "
    "wait meant mean no rather on still again call done took went go goes going i think reckon"
)
"""Words after which "four forty" is one value, 440."""
MOST_COUNTED = 20
TORQUE_SIZED = 10


def split_runs(tokens: Sequence[Token]) -> list[Token]:
    """The tokens of a note, figures cut in two where a word before them ends the first: "pass two forty six" is pass 2, then 46.

    Where it stays open whether a small figure counts what was named ("bolt six forty newton metres"), the figure becomes unsure.
    """
    out: list[Token] = []
    for at, token in enumerate(tokens):
        after = tokens[at + 1] if at + 1 < len(tokens) else None
        figure = token.figure if token.kind == "figure" else None
        if figure is None or not out:
            out.append(token)
        elif (pieces := _pieces(out, token, figure, after)) is not None:
            out += _cut(token, pieces)
        elif _is_open(out, figure, after):
            out.append(replace(token, figure=replace(figure, unsure="may be a count and a value")))
        elif figure.unsure and (_is_behind_a_grade(out, after) or _is_behind_a_count(out, figure, after)):
            out.append(replace(token, figure=replace(figure, unsure="")))
            out[-2] = replace(out[-2], figure=replace(out[-2].figure or figure, unsure=""))
        else:
            out.append(token)
        if len(out) > 1 and token.norm in ROUNDS and out[-2].figure is not None and out[-2].figure.form == "ordinal" and " " in out[-2].text:
            out[-2:-1] = _ten_and_ordinal(out[-2])
    return out


def _pieces(out: Sequence[Token], token: Token, figure: Figure, after: Token | None) -> Sequence[Piece] | None:
    """The pieces to cut a figure into, or None when it stays whole."""
    pieces = next((s for s in figure.splits if len(s) == 2), None)
    if pieces is None:
        return None
    before, small = out[-1], pieces[0].value
    if before.norm in COUNTERS:
        ordinal = len(out) > 1 and out[-2].figure is not None and out[-2].figure.form == "ordinal"
        return pieces if small < TORQUE_SIZED and not ordinal else None
    if before.norm in GRADED:
        return pieces if grade_at(_cut(token, pieces), 0) is not None else None
    if before.figure is not None and _ends_a_grade(out, small):
        return pieces
    if figure.form == "digits":
        return pieces if after is not None and after.kind == "word" and after.norm in FASTENED else None
    if pieces[1].value < TORQUE_SIZED or not _has_torque(after):
        return None
    if before.norm in COUNTED and 2 <= small <= MOST_COUNTED and figure.value == 100 * small + pieces[1].value:
        return pieces
    return pieces if _is_last_of_numbers(out) else None


FASTENED = word_set("bolts nuts screws studs pins clips clamps bolt nut screw stud")


def _has_torque(after: Token | None) -> bool:
    return after is not None and after.unit is not None and after.unit.family == "torque"


def _is_last_of_numbers(out: Sequence[Token]) -> bool:
    """ "numbers one to four forty": what stands before is the first number and the "to"."""
    return len(out) > 2 and out[-1].norm in ("to", "and") and out[-2].kind == "figure" and out[-3].norm in COUNTERS | FASTENED


def _ends_a_grade(out: Sequence[Token], ones: float) -> bool:
    """ "grade ten nine eighty": the nine belongs to the grade."""
    tens = out[-1].value
    return len(out) > 1 and out[-2].norm in GRADED and f"{tens:g}.{ones:g}" in ("8.8", "10.9", "12.9", "4.6", "5.8", "9.8", "6.8")


def _is_open(out: Sequence[Token], figure: Figure, after: Token | None) -> bool:
    """Whether a small figure right behind a noun may count or number it, with the torque after it: "big end four forty"."""
    pieces = next((s for s in figure.splits if len(s) == 2), None)
    if pieces is None or figure.unsure or figure.form != "cardinal" or not _has_torque(after) or pieces[1].value < TORQUE_SIZED:
        return False
    before = out[-1]
    if before.kind != "word" or before.norm in LEADS_TO_VALUE or before.norm in COUNTERS or not 2 <= pieces[0].value <= MOST_COUNTED:
        return False
    counted = len(out) > 1 and any(t.kind == "figure" and t.value is not None and t.value >= 2 for t in out[-4:-1])
    return not counted and figure.value == 100 * pieces[0].value + pieces[1].value


def _is_behind_a_grade(out: Sequence[Token], after: Token | None) -> bool:
    """ "grade eight point eight forty five newton metres": the class of a fastener, then its torque."""
    if out[-1].figure is None or out[-1].figure.form != "decimal" or not _has_torque(after):
        return False
    grade = grade_at(out, len(out) - 1)
    before = out[-2] if len(out) > 1 else None
    return grade is not None and before is not None and (before.norm in GRADED | FASTENED or before.kind == "thread")


def _is_behind_a_count(out: Sequence[Token], figure: Figure, after: Token | None) -> bool:
    """ "all 4 40 Nm": a count in digits, then the torque."""
    count = out[-1].value if len(out) > 1 and out[-1].norm.isdigit() and out[-2].norm in COUNTED else None
    return count is not None and 2 <= count <= MOST_COUNTED and figure.value >= TORQUE_SIZED and _has_torque(after)


def _cut(token: Token, pieces: Sequence[Piece]) -> list[Token]:
    cut = []
    for piece in pieces:
        offset = piece.start - token.start
        text = token.text[offset : offset + piece.end - piece.start]
        cut.append(replace(token, text=text, norm=text.lower(), start=piece.start, end=piece.end, figure=Figure(piece.value, "cardinal")))
    return cut


def _ten_and_ordinal(token: Token) -> list[Token]:
    """ "second pass twenty third pass thirty": the twenty belongs to the second pass."""
    first, last = token.text.split(" ", 1)[0], token.text.rsplit(" ", 1)[1]
    if token.figure is None:
        return [token]
    ones = token.figure.value % 10
    ten = replace(token, text=first, norm=first.lower(), end=token.start + len(first), figure=Figure(token.figure.value - ones, "cardinal"))
    return [ten, replace(token, text=last, norm=last.lower(), start=token.end - len(last), figure=Figure(ones, "ordinal"))]
