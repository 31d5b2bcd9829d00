"""``gudgeon fix``: an entry is corrected by hand; how it was first read stays in its history."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any

import typer

from gudgeon.cli.options import AsJson, RecordDir
from gudgeon.cli.show import print_json, print_lines, width

if TYPE_CHECKING:
    from gudgeon.record import Record, StoredEntry

Number = Annotated[int, typer.Argument(metavar="ENTRY", help="The entry's number (see: gudgeon summary).")]


def _option(flag: str, what: str) -> Any:
    return typer.Option(flag, metavar="TEXT", help=what)


def fix(
    entry: Number,
    part: Annotated[str | None, _option("--part", "Its part; an empty text takes it away (so for all of these).")] = None,
    place: Annotated[str | None, _option("--place", "Its place: left, front, number 3 …")] = None,
    fastener: Annotated[str | None, _option("--fastener", "Its fastener: bolt, nut, stud …")] = None,
    count: Annotated[str | None, _option("--count", "How many.")] = None,
    thread: Annotated[str | None, _option("--thread", "Its thread, such as M8x1.25.")] = None,
    grade: Annotated[str | None, _option("--grade", "Its grade, such as 8.8.")] = None,
    torque: Annotated[str | None, _option("--torque", 'Its torque, such as "35 lb ft"; an empty text takes it away.')] = None,
    which: Annotated[int, typer.Option("--which", min=1, metavar="N", help="Which of its torques is meant: 1, 2 …")] = 1,
    tool: Annotated[str | None, _option("--tool", 'Its tool, such as "12 mm socket".')] = None,
    compound: Annotated[str | None, _option("--compound", 'What was put on it, such as "blue thread locker".')] = None,
    condition: Annotated[str | None, _option("--condition", 'How it was found, such as "stripped, bent"; an empty text takes it away.')] = None,
    strike: Annotated[bool, typer.Option("--strike", help="Strike it: it stays, and counts no more.")] = False,
    restore: Annotated[bool, typer.Option("--restore", help="Restore a struck one.")] = False,
    split: Annotated[bool, typer.Option("--split", help="Make the torques from --which on an entry of their own.")] = False,
    join: Annotated[int | None, typer.Option("--join", metavar="OTHER", help="Put what another entry holds into this one.")] = None,
    joint: Annotated[str | None, _option("--joint", "The line of the spec sheet it belongs to, or none; kept for all entries of that name.")] = None,
    why: Annotated[str, typer.Option("--why", metavar="TEXT", help="The reason; kept in the history.")] = "",
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Correct an entry by hand; alone, show it with its history.

    How it was first read and every change stay, with time and reason. Verdicts follow at once.

    Example: gudgeon fix 4 --torque "35 lb ft" --why "misheard"
    """
    from gudgeon.cli import wiring

    names = {"part": part, "place": place, "fastener": fastener, "thread": thread, "grade": grade}
    wanted = Wanted(names=names, count=count, torque=torque, which=which - 1, tool=tool, compound=compound, condition=condition)
    acts = Acts(strike=strike, restore=restore, split=split, join=join, joint=joint)
    with wiring.open_record(record) as opened:
        with opened.transaction():
            _apply(opened, opened.entry(entry), wanted, why)
            _act(opened, entry, wanted, acts, why)
        _show(opened, entry, as_json=as_json)


@dataclass(frozen=True, slots=True, kw_only=True)
class Acts:
    """What is to be done with the whole entry."""

    strike: bool
    restore: bool
    split: bool
    join: int | None
    joint: str | None


def _act(record: Record, entry: int, wanted: Wanted, acts: Acts, why: str) -> None:
    """Strike, restore, split, join; then, when anything was changed, judge the session (or all that a learnt joint touches) anew."""
    from gudgeon.cli import wiring
    from gudgeon.session import settle

    if acts.strike or acts.restore:
        record.strike_entry(entry, struck=acts.strike, reason=why)
    if acts.split:
        record.split_entry(entry, wanted.which, reason=why)
    if acts.join is not None:
        record.join_entries(entry, acts.join, reason=why)
    if acts.joint is not None:
        _learn(record, entry, acts.joint)
    elif wanted.any() or acts != Acts(strike=False, restore=False, split=False, join=None, joint=None):
        settle(record, record.entry(entry).session, wiring.rules())


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is to be changed, as typed; None where nothing is."""

    names: dict[str, str | None]
    count: str | None
    torque: str | None
    which: int
    tool: str | None
    compound: str | None
    condition: str | None

    def any(self) -> bool:
        """Whether anything is to be changed."""
        texts = (*self.names.values(), self.count, self.torque, self.tool, self.compound, self.condition)
        return any(text is not None for text in texts)


def _apply(record: Record, stored: StoredEntry, wanted: Wanted, why: str) -> None:
    from gudgeon.domain import BadInput

    for name, text in wanted.names.items():
        if text is not None:
            record.set_field(stored.id, name, text.strip() or None, reason=why)
    if wanted.count is not None:
        if wanted.count and not wanted.count.isdigit():
            raise BadInput(f"{wanted.count!r} is no count.", kept="The entry was not changed.", next_step="Write a number.")
        record.set_field(stored.id, "count", int(wanted.count) if wanted.count else None, reason=why)
    if wanted.torque is not None:
        record.set_field(stored.id, "torques", _torques(stored, wanted.torque, wanted.which), reason=why)
    if wanted.condition is not None:
        record.set_field(stored.id, "conditions", [word.strip() for word in wanted.condition.split(",") if word.strip()], reason=why)
    for name, said in (("tool", wanted.tool), ("compound", wanted.compound)):
        if said is not None:
            record.set_field(stored.id, name, _thing(name, said) if said else None, reason=why)


def _torques(stored: StoredEntry, text: str, which: int) -> list[dict[str, Any]]:
    """The entry's torques with one changed, added or taken away; what a hand has set is no guess and was not misheard."""
    from dataclasses import asdict

    from gudgeon.cli.quantities import torque
    from gudgeon.domain import BadInput
    from gudgeon.units import to_nm

    rows = [asdict(row) for row in stored.entry.torques]
    if which > len(rows) or (which == len(rows) and not text):
        raise BadInput(f"Entry {stored.id} has {len(rows)} torques.", kept="It was not changed.", next_step="Choose one of them with --which.")
    if not text:
        return rows[:which] + rows[which + 1 :]
    value, unit = torque(text)
    new = {"value": value, "unit": unit, "nm": to_nm(value, unit)}
    if which == len(rows):
        return [*rows, new]
    kept = {name: rows[which][name] for name in ("angle_deg", "stage", "note")}
    return [*rows[:which], {**kept, **new}, *rows[which + 1 :]]


def _thing(name: str, text: str) -> dict[str, Any]:
    """A tool or compound as the reader understands it. Raises BadInput."""
    from dataclasses import asdict

    from gudgeon.cli import wiring
    from gudgeon.domain import BadInput

    found = next((fact for fact in wiring.reader().read(text) if fact.kind == name), None)
    if found is None:
        raise BadInput(f"{text!r} is no {name} that is known.", kept="The entry was not changed.", next_step="Say it as you would aloud.")
    fields = ("tool", "size", "size_unit") if name == "tool" else ("compound", "strength")
    return {field: value for field, value in asdict(found).items() if field in fields}


def _learn(record: Record, number: int, joint: str) -> None:
    """Keep which joint of the sheet entries of this name belong to, and judge every session of the sheet anew. Raises BadInput."""
    from gudgeon.cli import wiring
    from gudgeon.domain import BadInput
    from gudgeon.entries import joint_key, joints_of
    from gudgeon.session import job_sheet, settle_all

    stored = record.entry(number)
    home = record.session(stored.session)
    sheet = job_sheet(record, home.job)
    groups = joints_of(sheet).groups if sheet else ()
    keys = {str(row.line): group.key for group in groups for row in group.rows} | {"none": ""}
    if joint not in keys:
        raise BadInput(
            f"There is no torque row in line {joint!r} of the spec sheet.", kept="Nothing was changed.", next_step="See `gudgeon spec show --json`."
        )
    entry = stored.entry
    record.learn_joint(home.job, joint_key(entry.part, entry.place, entry.fastener, entry.thread), keys[joint])
    settle_all(record, wiring.rules(), sheet=record.sheet(home.job))


def _show(record: Record, number: int, *, as_json: bool) -> None:
    from gudgeon.cli import shapes
    from gudgeon.reports import history_lines

    stored = record.entry(number)
    notes, history = record.notes(stored.session), record.history("entry", number)
    if as_json:
        print_json({"schema": 1, **shapes.entry_json(stored, notes, why=True), "changes": [shapes.change_json(change) for change in history]})
        return
    hints = [item for item in record.items_of_session(stored.session) if item.item.state == "open" and item.item.kind in ("verify", "question")]
    mine = {notes[at].id for at in stored.entry.notes if at < len(notes)}
    print_lines(history_lines(stored, notes, history, [item for item in hints if mine & set(item.notes)], width=width()))
