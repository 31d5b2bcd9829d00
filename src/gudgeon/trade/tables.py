"""The trade's tables, read from lines of CSV into frozen rows; every cell is checked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from gudgeon.domain import BadInput
from gudgeon.trade.kinds import Bearing, DriveSize, Friction, Insert, Locker, Material, PartWord, Strength, Thread
from gudgeon.trade.rows import read_rows
from gudgeon.trade.thread_names import INCH_MM, read_thread

Tables = Mapping[str, Sequence[str]]


def read_threads(tables: Tables) -> tuple[Thread, ...]:
    """``threads.csv``: one of pitch_mm and per_inch is given, the other is not."""
    threads = []
    for row in read_rows(tables, "threads", "thread size kind series diameter_mm pitch_mm per_inch source"):
        pitch, per_inch = row.maybe("pitch_mm", 0.2, 6), row.maybe("per_inch", 4, 80)
        if (pitch is None) == (per_inch is None):
            raise row.bad("exactly one of pitch_mm and per_inch must be filled in")
        name = row.text("thread")
        try:
            read_thread(name)
        except BadInput as bad:
            raise row.bad(bad.happened.rstrip(".")) from bad
        kind = row.one_of("kind", ("metric", "unified", "BSW", "BSP", "NPT"))
        series = row.one_of("series", ("coarse", "fine", "pipe"))
        millimetres = pitch if pitch is not None else INCH_MM / (per_inch or 1)
        threads.append(Thread(name, row.text("size"), kind, series, row.number("diameter_mm", 1, 150), millimetres, row.text("source")))
    return tuple(threads)


def read_strengths(tables: Tables) -> tuple[Strength, ...]:
    """``grades.csv``: proof is below yield, and yield below tensile."""
    strengths = []
    for row in read_rows(tables, "grades", "grade family over_mm up_to_mm proof_mpa yield_mpa tensile_mpa source"):
        proof, yields, tensile = row.maybe("proof_mpa", 50, 2000), row.number("yield_mpa", 50, 2000), row.number("tensile_mpa", 50, 2000)
        if yields > tensile or (proof is not None and proof > yields):
            raise row.bad("proof, yield and tensile must rise in that order")
        family = row.one_of("family", ("metric", "stainless", "inch"))
        over, up_to = row.number("over_mm", 0, 150), row.number("up_to_mm", 0, 150)
        if over >= up_to:
            raise row.bad("over_mm must be below up_to_mm")
        strengths.append(Strength(row.text("grade"), family, over, up_to, proof, yields, tensile, row.text("source")))
    return tuple(strengths)


def read_frictions(tables: Tables) -> dict[str, Friction]:
    """``friction.csv``, by condition: the usual value lies inside its scatter."""
    frictions = {}
    for row in read_rows(tables, "friction", "condition mu_low mu mu_high k source"):
        low, usual, high = (row.number(name, 0.02, 1.0) for name in ("mu_low", "mu", "mu_high"))
        if not low <= usual <= high:
            raise row.bad("mu must lie between mu_low and mu_high")
        frictions[row.text("condition")] = Friction(row.text("condition"), low, usual, high, row.number("k", 0.05, 1), row.text("source"))
    return frictions


def read_bearings(tables: Tables) -> dict[tuple[str, str], Bearing]:
    """``bearing.csv``, by size and head: the face is wider than the hole."""
    bearings = {}
    for row in read_rows(tables, "bearing", "size head face_mm hole_mm source"):
        head = row.one_of("head", ("hex", "socket", "flange"))
        face, hole = row.number("face_mm", 1, 200), row.number("hole_mm", 1, 200)
        if hole >= face:
            raise row.bad("the hole must be smaller than the face")
        bearings[row.text("size"), head] = Bearing(row.text("size"), head, face, hole, row.text("source"))
    return bearings


def read_drives(tables: Tables) -> tuple[DriveSize, ...]:
    """``across_flats.csv`` and ``keys.csv``."""
    drives = []
    for table, first, name, drive in (("across_flats", "shape", "width", "wrench"), ("keys", "head", "key", "key")):
        for row in read_rows(tables, table, f"{first} size {name} unit standard source"):
            unit = row.one_of("unit", ("mm", "in", "T"))
            width = row.number(name, 0.05, 100)
            drives.append(DriveSize(row.text(first), row.text("size"), drive, width, unit, row.text("standard"), row.text("source")))
    return tuple(drives)


def read_inserts(tables: Tables) -> dict[str, Insert]:
    """``inserts.csv``, by thread: the drill is larger than the thread."""
    inserts = {}
    for row in read_rows(tables, "inserts", "thread drill_mm source"):
        name, drill = row.text("thread"), row.number("drill_mm", 1, 100)
        if drill <= (read_thread(name).diameter_mm or 0.0):
            raise row.bad("the drill must be larger than the thread's diameter")
        inserts[name] = Insert(name, drill, row.text("source"))
    return inserts


def read_lockers(tables: Tables) -> dict[str, Locker]:
    """``lockers.csv``, by colour."""
    lockers = {}
    for row in read_rows(tables, "lockers", "colour strength holds note source"):
        strength = row.one_of("strength", ("low", "medium", "high", "wicking"))
        lockers[row.text("colour")] = Locker(row.text("colour"), strength, row.text("holds"), row.text("note"), row.text("source"))
    return lockers


def read_materials(tables: Tables) -> tuple[Material, ...]:
    """``materials.csv``."""
    rows = read_rows(tables, "materials", "material words shear_mpa engagement_d soft source")
    return tuple(
        Material(
            row.text("material"),
            tuple(row.text("words").split(";")),
            row.number("shear_mpa", 5, 1000),
            row.number("engagement_d", 0.5, 5),
            row.one_of("soft", ("yes", "no")) == "yes",
            row.text("source"),
        )
        for row in rows
    )


def read_part_words(tables: Tables) -> tuple[PartWord, ...]:
    """``part_words.csv``: a safety word has the sentence it calls for."""
    words = []
    for row in read_rows(tables, "part_words", "words kind topic text source"):
        kind = row.one_of("kind", ("safety", "often opened", "hollow body"))
        text = row.text("text") if kind == "safety" else ""
        words.append(PartWord(row.text("words"), kind, row.text("topic"), text, row.text("source")))
    return tuple(words)


def read_quantities(tables: Tables) -> dict[str, str]:
    """``quantity_words.csv``: what a quantity is called → its one name."""
    return {row.text("words"): row.text("means") for row in read_rows(tables, "quantity_words", "words means source")}
