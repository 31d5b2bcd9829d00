"""Spoken number words → one figure: cardinals, digits said singly, decimals, fractions, mixed numbers, counts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from gudgeon.notes import number_words as nw
from gudgeon.notes.cardinals import read_cardinal
from gudgeon.notes.runs import LONGEST, Run, Said, atom, fraction


def read_spoken(run: Run, at: int) -> Said | None:
    """The spoken figure that starts at ``at``, the longest that makes sense; None when no figure starts there."""
    word = run.word(at)
    if word not in nw.STARTS:
        return None
    if word == "minus":
        said = read_spoken(run, at + 1) if run.next(at + 1) not in ("minus", "") else None
        return replace(said, value=-said.value, splits=(), others=()) if said and said.form in ("cardinal", "decimal", "mixed") else None
    for reader in _READERS:
        said = reader(run, at)
        if said is not None:
            return said
    return None


def _phone(run: Run, at: int) -> Said | None:
    """A long run of digits said singly, or one with "double": a telephone number, never a figure."""
    end, count, doubled = at, 0, False
    while end - at < LONGEST:
        word = run.next(end) if end > at else run.word(end)
        if word in nw.DIGITS or word in nw.ZEROS:
            count += 1
        elif word in ("double", "treble", "triple") and (run.next(end + 1) in nw.DIGITS or run.next(end + 1) in nw.ZEROS):
            doubled = True
        elif not (word == "hundred" and count):
            break
        end += 1
    if count >= 5 or (doubled and count >= 3):
        return Said(0.0, end, "digits", kind="phone")
    return None


def _clock(run: Run, at: int) -> Said | None:
    """ "half past twelve", "quarter to six", "half six" after "at", "six o'clock"."""
    word, end = run.word(at), at
    if word in nw.ARTICLES and run.next(at + 1) == "quarter":
        word, end = "quarter", at + 1
    if word in ("half", "quarter") or (word in ("ten", "five", "twenty") and run.next(at + 1) == "past"):
        between = run.next(end + 1)
        hour = atom(run, end + 2)
        if between in ("past", "to") and hour and hour[0] <= 12 and (between == "past" or not _measured(run, hour[1])):
            return Said(0.0, hour[1], "", kind="clock")
        hour = atom(run, end + 1) or _written_hour(run, end + 1)
        if word == "half" and hour and hour[0] <= 12 and run.word(at - 1) in nw.HOUR_BEFORE and fraction(run, end + 1) is None:
            return Said(0.0, hour[1], "", kind="clock")
    hour = atom(run, at)
    if hour and run.next(hour[1]) == "o'clock":
        return Said(0.0, hour[1] + 1, "", kind="clock")
    return None


def _written_hour(run: Run, at: int) -> tuple[int, int] | None:
    digits = run.digits(at)
    return (int(digits), at + 1) if 0 < len(digits) < 3 else None


def _measured(run: Run, at: int) -> bool:
    """Whether something that may be a unit or a thing goes on after a figure; the end or a stop word does not."""
    return run.next(at) not in ("", "and", "so", "when", "now", "already", "then", "but")


def _count(run: Run, at: int) -> Said | None:
    """ "a couple of", "a pair of", "a dozen", "half a dozen", "two dozen"."""
    word, start, times = run.word(at), at, 1.0
    if word == "half" and run.next(at + 1) == "a" and run.next(at + 2) == "dozen":
        return Said(6.0, at + 3, "count")
    if word in nw.ARTICLES:
        start = at + 1
    elif (several := atom(run, at)) and run.next(several[1]) == "dozen":
        times, start = float(several[0]), several[1]
    value = nw.COUNTS.get(run.word(start))
    if value is None:
        return None
    end = start + 1
    if run.next(end) == "of" and run.word(start) != "dozen":
        end += 1
    return Said(times * value, end, "count")


def _fraction(run: Run, at: int) -> Said | None:
    """ "seven sixteenths", "a quarter", "half", "sixteenth inch"; what can also be a count and a part keeps that as a split."""
    found = fraction(run, at)
    if found is None:
        return _bare_part(run, at)
    value, end = found
    splits: tuple[tuple[tuple[float, int, int], ...], ...] = ()
    word = run.word(at)
    if word in nw.DIGITS and end == at + 2 and run.word(at + 1) in nw.PARTS:
        splits = (((float(nw.DIGITS[word]), at, at + 1), (1 / nw.PARTS[run.word(at + 1)], at + 1, end)),)
    elif word in nw.TENS and run.word(at + 1) in nw.DIGITS and (inner := fraction(run, at + 1)) is not None:
        splits = (((float(nw.TENS[word]), at, at + 1), (float(inner[0]), at + 1, end)),)
    return Said(float(value), end, "fraction", splits=splits)


def _bare_part(run: Run, at: int) -> Said | None:
    word = run.word(at)
    if word in nw.OWN_PARTS:
        return Said(1 / nw.PARTS[word], at + 1, "fraction")
    pair = (word, run.next(at + 1))
    if pair in nw.TWO_WORD_PARTS and run.next(at + 2) in ("inch", "of"):
        return Said(1 / nw.TWO_WORD_PARTS[pair], at + 2, "fraction")
    if word in nw.PARTS and (run.next(at + 1) == "inch" or (run.next(at + 1), run.next(at + 2)) in (("of", "a"), ("of", "an"))):
        return Said(1 / nw.PARTS[word], at + 1, "fraction")
    return None


def _ordinal(run: Run, at: int) -> Said | None:
    word = run.word(at)
    if word in nw.ORDINALS:
        value = nw.ORDINALS[word]
        return Said(float(value), at + 1, "ordinal", others=(1 / nw.PARTS[word],) if word in nw.INCH_PARTS else ())
    ones = nw.ORDINALS.get(run.next(at + 1)) if word in nw.TENS else None
    return Said(float(nw.TENS[word] + ones), at + 2, "ordinal") if ones and ones < 10 else None


def _plural(run: Run, at: int) -> Said | None:
    value = nw.PLURALS.get(run.word(at))
    return None if value is None else Said(float(value), at + 1, "plural")


_READERS: tuple[Callable[[Run, int], Said | None], ...] = (_phone, _clock, _count, _fraction, _ordinal, _plural, read_cardinal)
