"""The shape of what a note is cut into: tokens, and the figures, threads and quantities that they carry.

Offsets are character positions in the note's text, end exclusive; ``text[token.start:token.end] == token.text`` always holds.
"""

from __future__ import annotations

from dataclasses import dataclass

from gudgeon.units import UnitHit


@dataclass(frozen=True, slots=True)
class Piece:
    """One figure inside a longer run of number words: its value and its own span in the note's text."""

    value: float
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Figure:
    """A number as it was said or written.

    ``form`` is one of ``cardinal`` (eighteen, 18, a hundred and five, one twenty five), ``decimal`` (point oh four five, 0.045, two
    point five), ``fraction`` (seven sixteenths, 7/16, half, a quarter), ``mixed`` (two and a half, 1 1/2, five and three quarters),
    ``ordinal`` (second, 3rd), ``digits`` (digits said singly: one three, three zero, oh seven seven), ``count`` (a couple of, a pair, a dozen),
    ``plural`` (the tens, four twelves).
    ``others`` are other values that the same words may hold as one figure ("one twenty five" is 125, others (1.25,)).
    ``splits`` are ways to read the same words as several figures ("two forty six" is 246, splits ((2, 46),)): after "pass", "stage",
    "step", "number" take the split. Each split covers all the words, in order.
    ``unsure`` says, in words, why the value must not become a fact by itself ("" when it may): figures run together, absurd size.
    ``unit`` is set only where the unit stands inside the figure ("an inch and a quarter" is 1.25, unit ``in``).
    """

    value: float
    form: str
    others: tuple[float, ...] = ()
    splits: tuple[tuple[Piece, ...], ...] = ()
    unsure: str = ""
    unit: UnitHit | None = None


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread size: ``name`` as the record writes it (M8, M8x1.25, 5/16-18, 1/2 BSW, 1/4 BSP, 1/8 NPT), sizes as said.

    ``diameter_mm`` is the nominal diameter (None for pipe threads, whose name is no diameter), ``pitch_mm`` for metric threads,
    ``per_inch`` for inch threads, ``length_mm`` when a length was said with it ("m eight by one point two five by forty").
    """

    name: str
    diameter_mm: float | None = None
    pitch_mm: float | None = None
    per_inch: float | None = None
    length_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Token:
    """One token of a note.

    ``kind`` is one of

    - ``word``: letters; in-word hyphens part two words ("anti-seize" is ``anti`` ``seize``) and are no token themselves; 's 've 're 'll 'd 'm are
      tokens of their own ("impeller's" is ``impeller`` ``'s``); "didn't" stays whole;
    - ``figure``: a number, in words or digits, merged into one token; ``figure`` holds it;
    - ``thread``: M8, "em eight by one point two five by forty", "five sixteenths eighteen", 5/16-18 UNC, "half inch BSW"; ``thread`` holds it;
    - ``star``: a hexalobular size, T30 or "t forty five"; ``figure`` holds its number;
    - ``grade``: a grade that can be nothing else as it is written (A2-70); ``norm`` is the grade. For 10.9, "ten nine", see ``grade_at``;
    - ``unit``: unit words right after a figure (also after "of a", "of an", "a", "an"), merged into one token; ``unit`` holds it;
    - ``money``, ``clock``, ``phone``, ``code``: figures that are never a fact (£14.50, 1:30, half past twelve, 555-0142, 80W-90);
    - ``punct``: anything else, one character a token, a run of one character merged into one token.

    ``norm`` is lower case with straight apostrophes. ``joined`` is True when no space stands before it (hyphenated or glued to the token before).
    """

    text: str
    norm: str
    start: int
    end: int
    kind: str
    joined: bool = False
    figure: Figure | None = None
    thread: Thread | None = None
    unit: UnitHit | None = None

    @property
    def value(self) -> float | None:
        """The figure's value, or None when the token is no figure."""
        return self.figure.value if self.figure else None


@dataclass(frozen=True, slots=True)
class Quantity:
    """A figure or range with the unit after it, as ``quantity_at`` finds it: tokens ``at`` to ``end`` (exclusive).

    A range has ``low`` and ``high`` and the middle as ``value``. ``unit`` is None when none was said, or when what was said is ambiguous for
    a torque ("pounds", "kilos": see ``hit.reason``). ``mended`` keeps the words heard when the unit was mended by its sound.
    ``unsure`` is the figure's reason not to trust it ("" when there is none).
    """

    value: float
    at: int
    end: int
    start_char: int
    end_char: int
    unit: str | None = None
    family: str | None = None
    hit: UnitHit | None = None
    low: float | None = None
    high: float | None = None
    mended: str | None = None
    unsure: str = ""
