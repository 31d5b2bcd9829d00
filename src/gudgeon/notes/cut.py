"""A linear cut of any text into words, numbers, signs and codes, with their places; nothing is understood yet."""

from __future__ import annotations

import re
from dataclasses import dataclass

WORD, NUMBER, SIGN = "word", "number", "punct"

_NO_TORQUE = r"(?!\s?(?i:n[ .·⋅*-]?m(?![a-z])|newton|ft[ .-]|foot|feet|lbs?[ .-]?f|lbf?[ .·*-]?(?:ft|in)|in(?:ch)?[ .-]?(?:lb|pound)|kgf))"
"""What may not follow a length in a size: "M6 x 20 Nm" is a thread and a torque."""

_PATTERN = re.compile(
    r"""
    (?P<gap>\s*)
  (?:
    (?P<plain>   [A-Za-z]{4,}(?![\w'’]) )
  | (?P<money>   [£$€]\s?[0-9]+(?:,[0-9]{3})*(?:\.[0-9]+)? )
  | (?P<code>    [0-9]{1,4}(?:\.[0-9]{1,4}){2,5}(?![0-9.]) | [0-9]{1,2}/[0-9]{1,2}/[0-9]{2,4}(?![0-9]) | [0-9]{4}-[0-9]{2}-[0-9]{2}(?![0-9])
               | [0-9]{1,2}[wW]-?[0-9]{1,3}(?![0-9]) )
  | (?P<clock>   [0-9]{1,2}:[0-9]{2}(?::[0-9]{2})?(?![0-9]) )
  | (?P<phone>   \+[0-9]{1,3}(?:[ -]?[0-9]{2,6}){2,5}(?![0-9]) | 0[0-9]{2,4}[ -][0-9]{3,4}(?:[ -]?[0-9]{3,4})?(?![0-9])
               | [0-9]{3}-0[0-9]{3}(?![0-9]) | [0-9]{3}-[0-9]{3}-[0-9]{4}(?![0-9]) )
  | (?P<metric>  (?<!['’·*.⋅])(?<!\b[nN]\s)(?<!\b[kK][gG]\s)(?<!\b[kK][gG][fF]\s)(?i:e?m)[ ]?(?:[0-9]{1,2}(?:\.[0-9])?)(?![0-9]|\.[0-9])
                 (?: (?:\s?[xX×*]\s?|-(?=[0-9]\.[0-9])) (?:[0-9]{1,3}(?:[.,][0-9]{1,2})?)(?![0-9]|[.,][0-9]){torque} )?
                 (?: \s?[xX×*]\s?(?:[0-9]{1,3})(?![0-9]|\.[0-9]){torque} )? s?(?![A-Za-z0-9]) )
  | (?P<star>    [tT][ -]?[0-9]{1,3}(?![0-9A-Za-z]|[.,][0-9]) )
  | (?P<grade>   [aA][245][- ]?(?:50|70|80)(?![0-9A-Za-z.]) )
  | (?P<pipe>    [GR][ ]?(?:[0-9][ -])?[0-9]{1,2}/[0-9]{1,2}(?![0-9/A-Za-z]) )
  | (?P<ordinal> [0-9]{1,4}(?i:st|nd|rd|th)(?![A-Za-z]) )
  | (?P<fraction>(?:[0-9]{1,3}[ -])?[0-9]{1,3}/[0-9]{1,3}(?![0-9/]|\.[0-9])(?:(?i:ths?|nds?|rds?)(?![A-Za-z]))? | [0-9]{0,3}[ ]?[½¼¾⅓⅔⅛⅜⅝⅞] )
  | (?P<number>  [0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?(?![0-9]) | [0-9]+(?:\.[0-9]+)? | (?<![\w.])\.[0-9]+ )
  | (?P<clitic>  ['’](?i:s|ve|re|ll|d|m)(?!\w) )
  | (?P<side>    (?<!\w)(?:[lLrR]/[hH]|[LR]H|[nNoO]/[sS](?:/[fFrR])?)(?![\w/]) )
  | (?P<mixed>   (?!(?i:no|x)[0-9])[A-Za-z]{1,3}[0-9][A-Za-z0-9]* )
  | (?P<word>    [^\W\d_]+(?:['’](?!(?i:s|ve|re|ll|d|m)(?!\w))[^\W\d_]+)* )
  | (?P<punct>   (?P<sign>.)(?P=sign)* )
  )
    """.replace("{torque}", _NO_TORQUE),
    re.VERBOSE | re.DOTALL,
)
_QUOTES = frozenset(['"', "“", "”"])
_INCH = "″"
_VULGAR = frozenset("½¼¾⅓⅔⅛⅜⅝⅞")
_HYPHENS = frozenset("-‐‑")


@dataclass(frozen=True, slots=True)
class Cuts:
    """The cut text as columns: one value a piece in each.

    ``kinds`` are word, number, fraction, ordinal, metric, star, grade, money, clock, phone, code, punct; ``joined`` says that no space
    stood before; ``broken`` that a line end did. Hyphens inside words are left out; a quotation mark that means inches has the norm ″, and
    sides written short (L/H, RH, N/S) have theirs in full, N/S/F and the like without the strokes.
    """

    text: str
    norms: list[str]
    kinds: list[str]
    starts: list[int]
    ends: list[int]
    joined: list[bool]
    broken: list[bool]


def cut(text: str) -> Cuts:
    """Cut ``text`` in one pass; every character but spaces and in-word hyphens is in exactly one piece."""
    out = Cuts(text, [], [], [], [], [], [])
    quoted = False
    for found in _PATTERN.finditer(text, 0, len(text.rstrip())):
        kind = found.lastgroup or "punct"
        before, end = found.span()
        start = found.end("gap")
        glued = before == start and start > 0
        if kind == "punct" and glued and end - start == 1 and text[start] in _HYPHENS and _inside_word(text, start):
            continue
        norm = text[start:end].lower()
        if norm in _QUOTES:
            inch = glued and not quoted and (text[start - 1].isdigit() or text[start - 1] in _VULGAR)
            norm, quoted = (_INCH, quoted) if inch else (norm, not quoted)
        if kind == "side":
            norm = _SIDES.get(norm[0] if len(norm) < len("n/s/f") else "", norm.replace("/", ""))
        out.norms.append(norm.replace("’", "'") if "’" in norm else norm)
        out.kinds.append(_KINDS.get(kind, kind))
        out.starts.append(start)
        out.ends.append(end)
        out.joined.append(glued)
        out.broken.append(before != start and "\n" in text[before:start])
    return out


_KINDS = {"clitic": "word", "mixed": "code", "plain": "word", "side": "word"}


_SIDES = {"l": "left", "r": "right", "n": "nearside", "o": "offside"}


def _inside_word(text: str, at: int) -> bool:
    """Whether the hyphen at ``at`` stands between two letters, or a figure and a letter."""
    if at + 1 >= len(text):
        return False
    before, after = text[at - 1], text[at + 1]
    return (before.isalpha() and (after.isalpha() or after.isdigit())) or (before.isdigit() and after.isalpha())
