"""``gudgeon fix``: an entry is corrected by hand; how it was first read stays in its history."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from gudgeon.cli.options import AsJson, RecordDir
from gudgeon.cli.show import print_json, print_lines, width

if TYPE_CHECKING:
    from gudgeon.record import Record

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
    length: Annotated[str | None, _option("--length", "Its length in millimetres.")] = None,
    grade: Annotated[str | None, _option("--grade", "Its grade, such as 8.8.")] = None,
    state: Annotated[str | None, _option("--state", "new or reused.")] = None,
    torque: Annotated[str | None, _option("--torque", 'Its torque, such as "35 lb ft".')] = None,
    stage: Annotated[str | None, _option("--stage", "The stage of that torque.")] = None,
    angle: Annotated[str | None, _option("--angle", "Its turn, in degrees.")] = None,
    measure: Annotated[str | None, _option("--measure", 'Its measured size, such as "end float 0.12 mm".')] = None,
    which: Annotated[int, typer.Option("--which", min=1, metavar="N", help="Which torque, turn or size is meant: 1, 2 …; one more adds one.")] = 1,
    tool: Annotated[str | None, _option("--tool", 'Its tool, such as "12 mm socket".')] = None,
    compound: Annotated[str | None, _option("--compound", 'What was put on it, such as "blue thread locker".')] = None,
    condition: Annotated[str | None, _option("--condition", 'How it was found, such as "stripped, bent".')] = None,
    all_done: Annotated[str | None, _option("--all-done", "yes or no: whether all of them are done.")] = None,
    strike: Annotated[bool, typer.Option("--strike", help="Strike it: it stays, and counts no more.")] = False,
    restore: Annotated[bool, typer.Option("--restore", help="Restore a struck one.")] = False,
    split: Annotated[bool, typer.Option("--split", help="Make the torques from --which on an entry of their own.")] = False,
    join: Annotated[int | None, typer.Option("--join", metavar="OTHER", help="Put what another entry holds into this one.")] = None,
    joint: Annotated[str | None, _option("--joint", "The line of the spec sheet it belongs to, or none; kept for all entries of that name.")] = None,
    undo: Annotated[bool, typer.Option("--undo", help="Take back the last change.")] = False,
    why: Annotated[str, typer.Option("--why", metavar="TEXT", help="The reason; kept in the history.")] = "",
    as_json: AsJson = False,
    record: RecordDir = None,
) -> None:
    """Correct an entry by hand; alone, show it with its history.

    How it was first read and every change stay, with time and reason. Verdicts follow at once.

    Example: gudgeon fix 4 --torque "35 lb ft" --why "misheard"
    """
    from gudgeon.cli import wiring

    typed = {"part": part, "place": place, "fastener": fastener, "count": count, "thread": thread, "length": length, "grade": grade, "state": state}
    typed |= {"torque": torque, "stage": stage, "angle": angle, "measure": measure, "tool": tool, "compound": compound, "condition": condition}
    typed |= {"all-done": all_done}
    changes = [(field, text, which - 1) for field, text in typed.items() if text is not None]
    with wiring.open_record(record) as opened:
        with opened.transaction():
            if undo:
                _undo(opened, entry, alone=not (changes or strike or restore or split or join is not None or joint is not None))
            if changes:
                _mend(opened, entry, changes, why)
            _act(opened, entry, which=which - 1, strike=strike, restore=restore, split=split, join=join, why=why)
            if joint is not None:
                _learn(opened, entry, joint)
        _show(opened, entry, as_json=as_json)


def _undo(record: Record, entry: int, *, alone: bool) -> None:
    from gudgeon.cli import wiring
    from gudgeon.domain import BadInput
    from gudgeon.session import undo_entry

    if not alone:
        raise BadInput("--undo goes alone.", kept="Nothing was changed.", next_step=f"First: gudgeon fix {entry} --undo")
    undo_entry(wiring.tools(record), entry)


def _mend(record: Record, entry: int, changes: list[tuple[str, str, int]], why: str) -> None:
    from gudgeon.cli import wiring
    from gudgeon.session import mend_entry

    mend_entry(wiring.tools(record), wiring.unit_words(), entry, changes, reason=why)


def _act(record: Record, entry: int, *, which: int, strike: bool, restore: bool, split: bool, join: int | None, why: str) -> None:
    """Strike, restore, split, join; then the session is judged anew."""
    from gudgeon.cli import wiring
    from gudgeon.session import settle_changed

    if strike or restore:
        record.strike_entry(entry, struck=strike, reason=why)
    if split:
        record.split_entry(entry, which, reason=why)
    if join is not None:
        record.join_entries(entry, join, reason=why)
    if strike or restore or split or join is not None:
        settle_changed(record, record.entry(entry).session, wiring.rules())


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
    mine = {notes[at].id for at in stored.entry.notes if at < len(notes)}
    waiting = [item for item in record.items_of_session(stored.session) if item.item.state == "open" and mine & set(item.notes)]
    waiting = [item for item in waiting if item.item.kind in ("verify", "question")]
    told = stored.struck or (bool(history) and history[-1].action == "set")  # only a value that was set can answer anything
    print_lines(history_lines(stored, notes, history, waiting if told else [], width=width()))
