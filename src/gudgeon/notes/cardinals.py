"""Spoken cardinals and what grows on them: digits said singly, decimals, "and a half"."""

from __future__ import annotations

from gudgeon.notes import number_words as nw
from gudgeon.notes.runs import LONGEST, ONE_FIGURE, TWO_FIGURES, Run, Said, atom, fraction

Pieces = tuple[tuple[float, int, int], ...]


def read_cardinal(run: Run, at: int) -> Said | None:
    """A cardinal at ``at`` with its decimals or "and a half"; None when none starts there."""
    if run.word(at) == "point":
        return _decimals(run, at, Said(0.0, at, "cardinal"))
    whole = _whole(run, at)
    if whole is None:
        return None
    if run.next(whole.end) == "point":
        decimal = _decimals(run, whole.end, whole)
        if decimal is not None:
            return decimal
    if whole.unsure or whole.form == "digits":
        return whole
    return _and_part(run, at, whole) or whole


def _whole(run: Run, at: int) -> Said | None:
    """A whole number: with hundreds and thousands, in pairs ("one twenty five"), or digits said singly."""
    word = run.word(at)
    if word in nw.ZEROS:
        return _single_digits(run, at) or (Said(0.0, at + 1, "cardinal") if word != "oh" else None)
    if word in nw.ARTICLES:
        return _powers(run, at + 1, 1, at) if run.next(at + 1) in nw.POWERS else None
    if word in nw.POWERS:
        return _powers(run, at, 1, at)
    first = atom(run, at)
    if first is None:
        return None
    if run.next(first[1]) in nw.POWERS:
        return _powers(run, first[1], first[0], at)
    if word == "one" and run.word(at - 1) in nw.PRONOUN_BEFORE and run.next(at + 1) != "point":
        return Said(1.0, at + 1, "cardinal")
    plain = Said(float(first[0]), first[1], "cardinal")
    if first[0] < 10:
        return _pair(run, at, first[0]) or _single_digits(run, at) or plain
    return _year(run, at, first) or plain


def _powers(run: Run, at: int, times: int, start: int) -> Said:
    """What follows ``times`` when a hundred or thousand stands at ``at``: "hundred and five", "thousand two hundred"."""
    total, part, here, ceiling = 0, times, at, 10**9
    tail: tuple[int, int, int] | None = None
    while (power := nw.POWERS.get(run.next(here))) and here - start < LONGEST:
        if power == 100 and part < 100:
            part *= 100
        elif power > 100 and power < ceiling and part < 1000 * 1000:
            total, part, ceiling = total + part * power, 0, power
        else:
            break
        here += 1
        if run.next(here) in nw.POWERS:
            continue
        more = _after_power(run, here, hundreds=power == 100, ceiling=ceiling)
        if more is None:
            break
        tail = more if run.word(here) == "and" else None
        part, here = part + more[0], more[2]
    value = float(total + part)
    return Said(value, here, "cardinal", splits=_power_splits(run, start, at, here, value, tail))


def _after_power(run: Run, at: int, *, hundreds: bool, ceiling: int) -> tuple[int, int, int] | None:
    """The rest after "hundred" or "thousand", with "and" or not: value, start, end; None when a new figure begins there."""
    start = at + 1 if run.next(at) == "and" else at
    if run.next(start) in nw.ARTICLES and run.next(start + 1) == "hundred" and not hundreds:
        return 1, start, start + 1
    found = atom(run, start)
    if found is None or fraction(run, start) is not None:
        return None
    power = nw.POWERS.get(run.next(found[1]), 0)
    if power and (found[0] * power >= ceiling or (hundreds and power == 100)):
        return None
    return found[0], start, found[1]


def _power_splits(run: Run, start: int, at: int, end: int, value: float, tail: tuple[int, int, int] | None) -> tuple[Pieces, ...]:
    """ "a hundred and two (bolts)" may be 100 and 2; "(pass) one hundred" may be 1 and 100."""
    if tail and tail[2] == end and value > tail[0]:
        return (((value - tail[0], start, tail[1] - 1), (float(tail[0]), tail[1], end)),)
    if start + 1 == at and run.word(start) in nw.DIGITS and value - nw.DIGITS[run.word(start)] * 100 + 100 < 200:
        ones = nw.DIGITS[run.word(start)]
        return (((float(ones), start, at), (value - ones * 100 + 100, at, end)),)
    return ()


def _pair(run: Run, at: int, hundreds: int) -> Said | None:
    """ "one twenty five" is 125, "one oh five" is 105; both may be two figures, and "one twenty five" may be 1.25."""
    if run.next(at + 1) in ("oh", "zero") and (ones := nw.DIGITS.get(run.next(at + 2))):
        if run.next(at + 3) in nw.ZEROS or (run.next(at + 3) in nw.DIGITS and atom(run, at + 2) == (ones, at + 3)):
            return None
        return Said(100.0 * hundreds + ones, at + 3, "cardinal", others=(hundreds + ones / 100,))
    rest = atom(run, at + 1)
    if rest is None or rest[0] < 10 or run.next(rest[1]) in nw.POWERS or fraction(run, at + 1) is not None:
        return None
    if run.next(rest[1]) == "point" and not _is_digit(run.next(rest[1] + 1)):
        return None
    value = 100.0 * hundreds + rest[0]
    split = ((float(hundreds), at, at + 1), (float(rest[0]), at + 1, rest[1]))
    return Said(value, rest[1], "cardinal", others=(value / 100,), splits=(split,))


def _year(run: Run, at: int, first: tuple[int, int]) -> Said | None:
    """ "nineteen forty eight", "twelve fifty": one figure of four digits or two figures, so unsure."""
    high, end = first
    if high > 20:
        return None
    rest = atom(run, end)
    if run.next(end) == "oh" and (ones := nw.DIGITS.get(run.next(end + 1))):
        rest = (ones, end + 2)
    elif rest is None or rest[0] < 10 or run.next(rest[1]) in nw.POWERS or run.next(rest[1]) == "point" or fraction(run, end) is not None:
        return None
    split = ((float(high), at, end), (float(rest[0]), end, rest[1]))
    return Said(100.0 * high + rest[0], rest[1], "cardinal", splits=(split,), unsure=TWO_FIGURES)


def _single_digits(run: Run, at: int) -> Said | None:
    """Digits said one by one: "one three" is 13, "three zero" 30, "one two five" 125."""
    digits, here = "", at
    while here - at < LONGEST:
        word = run.next(here) if here > at else run.word(here)
        digit = nw.DIGITS.get(word)
        if digit is None and word not in nw.ZEROS:
            break
        if digit is not None and here > at and _begins_more(run, here):
            break
        if word == "oh" and not (_is_digit(run.next(here + 1)) or run.word(here - 1) in nw.ZEROS):
            break
        digits += str(digit or 0)
        here += 1
    if len(digits) < 2:
        return None
    split = tuple((float(d), at + i, at + i + 1) for i, d in enumerate(digits))
    unsure = "" if digits[0] != "0" else "begins with a zero"
    return Said(float(digits), here, "digits", splits=(split,), unsure=unsure)


def _is_digit(word: str) -> bool:
    return word in nw.DIGITS or word in nw.ZEROS


def _begins_more(run: Run, at: int) -> bool:
    """Whether the digit at ``at`` begins a figure of its own: a fraction, a hundred, a pair, a decimal."""
    after = run.next(at + 1)
    if after in nw.POWERS or after == "point" or fraction(run, at) is not None:
        return True
    return after in nw.TEENS or after in nw.TENS or (after == "and" and run.next(at + 2) in nw.ARTICLES)


def _decimals(run: Run, point: int, whole: Said) -> Said | None:
    """The digits after "point": singly ("oh four five"), or as a number below a hundred ("twenty five", "oh twenty five")."""
    digits, here, unsure = "", point + 1, whole.unsure
    while here - point < LONGEST:
        word = run.next(here)
        digit = nw.DIGITS.get(word)
        if digit is None and word not in nw.ZEROS:
            break
        after = run.next(here + 1)
        if digits and digit is not None and (after in nw.POWERS or after == "point" or fraction(run, here) is not None):
            break
        if word == "oh" and digits and digits[0] != "0" and not _is_digit(after):
            break
        digits += str(digit or 0)
        here += 1
    pair = atom(run, here)
    if pair and pair[0] >= 10 and run.next(pair[1]) not in nw.POWERS and fraction(run, here) is None:
        if not digits.strip("0"):
            digits, here = digits + str(pair[0]), pair[1]
        else:
            unsure = unsure or ONE_FIGURE
    written = run.digits(here) if not digits else ""
    if written:
        digits, here = written[:12], here + 1
    if not digits:
        return None
    value = float(f"{int(whole.value)}.{digits}")
    splits = tuple((*s[:-1], (float(f"{int(s[-1][0])}.{digits}"), s[-1][1], here)) for s in whole.splits)
    return Said(value, here, "decimal", splits=splits, unsure=unsure)


def _and_part(run: Run, at: int, whole: Said) -> Said | None:
    """ "two and a half", "five and three quarters", "two and half"."""
    if run.next(whole.end) != "and":
        return None
    start = whole.end + 1
    found = fraction(run, start)
    if found is not None:
        part, end = float(found[0]), found[1]
    elif run.next(start) == "half":
        part, end = 0.5, start + 1
    else:
        return None
    split = ((whole.value, at, whole.end), (part, start, end))
    splits = tuple((*s[:-1], (s[-1][0] + part, s[-1][1], end)) for s in whole.splits)
    return Said(whole.value + part, end, "mixed", splits=(split, *splits))
