"""The words that English makes numbers of."""

from __future__ import annotations

DIGITS = {w: i + 1 for i, w in enumerate(["one", "two", "three", "four", "five", "six", "seven", "eight", "nine"])}
TEENS = {
    w: i + 10
    for i, w in enumerate(
        ["ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"],
    )
}
TENS = {w: 10 * (i + 2) for i, w in enumerate(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"])} | {"fourty": 40}
ZEROS = frozenset(["zero", "nought", "naught", "oh"])
POWERS = {"hundred": 100, "thousand": 1000, "million": 1_000_000}
ARTICLES = frozenset(["a", "an"])

ORDINALS = {
    **{"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7, "eighth": 8, "ninth": 9, "tenth": 10},
    **{"eleventh": 11, "twelfth": 12, "thirteenth": 13, "fourteenth": 14, "fifteenth": 15, "sixteenth": 16, "seventeenth": 17},
    **{"eighteenth": 18, "nineteenth": 19, "twentieth": 20, "thirtieth": 30, "fortieth": 40, "fiftieth": 50, "sixtieth": 60},
    **{"seventieth": 70, "eightieth": 80, "ninetieth": 90, "hundredth": 100},
}

PARTS = {
    "half": 2,
    "third": 3,
    "quarter": 4,
    "fourth": 4,
    "fifth": 5,
    "sixth": 6,
    "seventh": 7,
    "eighth": 8,
    "ninth": 9,
    "tenth": 10,
    "twelfth": 12,
    "sixteenth": 16,
    "twentieth": 20,
    "hundredth": 100,
}
"""What one part of a whole is called, in the singular, and how many make the whole; a thousandth is a unit (thou) and stands there."""
PLURAL_PARTS = {"halves": 2} | {word + "s": parts for word, parts in PARTS.items() if word != "half"}
TWO_WORD_PARTS = {("thirty", "second"): 32, ("sixty", "fourth"): 64}
PLURAL_TWO_WORD_PARTS = {("thirty", "seconds"): 32, ("sixty", "fourths"): 64}
OWN_PARTS = frozenset(["half", "quarter"])
"""Parts that need no numerator."""
INCH_PARTS = frozenset(["eighth", "sixteenth"])
"""Ordinals that are a part of an inch after "a" or before "inch"."""

COUNTS = {"couple": 2, "pair": 2, "dozen": 12}
PLURALS = {w + ("es" if w == "six" else "s"): v for w, v in (DIGITS | TEENS).items() if w != "one"}
PLURALS |= {w[:-1] + "ies": v for w, v in TENS.items()}

PRONOUN_BEFORE = frozenset(
    [
        *("this", "that", "the", "which", "each", "every", "other", "another", "next", "last", "any", "only", "old", "new", "same", "wrong"),
        *("good", "bad", "big", "small", "little", "long", "short", "top", "bottom", "left", "right", "front", "rear", "first", "second", "third"),
        *("hand", "back", "inner", "outer", "middle", "upper", "lower", "near", "far"),
    ]
)
"""After these, "one" is mostly the thing and no number: "that one four newton metres"."""
HOUR_BEFORE = frozenset(["at", "by", "or", "before", "after", "till", "until", "about", "around", "from", "since", "gone"])
"""After these, "half six" is a time of day."""

STARTS = frozenset(
    [*DIGITS, *TEENS, *TENS, *ZEROS, *POWERS, *ARTICLES, *ORDINALS, *PARTS, *COUNTS, *PLURALS, "point", "minus", "double", "treble", "triple"]
)
"""Every word a spoken figure can begin with."""
