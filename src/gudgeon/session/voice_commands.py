"""Spoken commands are carried out: the record is changed or asked, and each comes to one short answer."""

from __future__ import annotations

from dataclasses import dataclass, field

from gudgeon.checks import aid_for, progress, read_wrenches
from gudgeon.domain import BadInput, Clip, GudgeonError, Hearing, OpenItem
from gudgeon.notes import read_tokens
from gudgeon.record import StoredEntry, StoredNote
from gudgeon.session.fixes import mend
from gudgeon.session.live import Answer, Reins
from gudgeon.session.settle import job_sheet, settle
from gudgeon.session.tools import Tools
from gudgeon.session.voice_words import UNKNOWN, WAKE, Command, command_in
from gudgeon.trade import Trade
from gudgeon.units import UnitWords

SHOWN = 5
NOT_UNDERSTOOD = "Not understood as a command; it is kept as a note, and no value is read from it."
NOT_SURE = "Heard unsurely, so nothing was changed; it is kept as a note. Please say it again."


@dataclass(slots=True)
class Voice:
    """Listens for commands in the phrases of one session. ``obey`` is what ``listen`` calls."""

    tools: Tools
    session: int
    reins: Reins
    units: UnitWords
    trade: Trade
    wake: str = WAKE
    paused: bool = field(default=False, init=False)

    def obey(self, clip: Clip, hearing: Hearing) -> tuple[Answer | None, bool]:
        """The answer when the phrase was a command, and whether it is a note."""
        command = command_in(hearing.text, self.wake)
        if command is None:
            return (Answer("Paused: no note was made; the sound is kept."), False) if self.paused else (None, True)
        if command.name == UNKNOWN:
            return Answer(NOT_UNDERSTOOD, taken=False), True
        if any(command_in(other.text, self.wake) != command for other in hearing.others):
            return Answer(NOT_SURE, taken=False), True
        try:
            return Answer(self._do(command)), False
        except GudgeonError as error:
            return Answer(f"{error.happened} It is kept as a note.", taken=False), True

    def _do(self, command: Command) -> str:
        if command.name in ("pause", "carry on"):
            self.paused = command.name == "pause"
            return "Paused. Say the wake phrase and carry on." if self.paused else "Carrying on."
        if command.name == "end":
            self.reins.said_to_end = True
            self.reins.stop.set()
            return "The session ends here."
        if command.name == "item":
            stored = self.tools.record.add_item(OpenItem(kind="todo", text=command.rest), job=self._job)
            return f"Item {stored.item.id}: {command.rest}"
        if command.name == "make":
            return self._make(command.rest)
        if command.name == "ask":
            return self._ask(command.rest)
        plain = {"strike": self._strike, "list": self._list, "left": self._left, "back": self._back}
        return plain[command.name]()

    @property
    def _job(self) -> str | None:
        return self.tools.record.session(self.session).job

    def _last(self) -> StoredNote:
        """The last note that stands; a command that was not taken is passed over. Raises BadInput."""
        found = self.tools.record.notes(self.session)
        notes = [note for note in found if not note.struck and command_in(note.note.text, self.wake) is None]
        if not notes:
            raise BadInput("There is no note yet.")
        return notes[-1]

    def _strike(self) -> str:
        note = self._last()
        self.tools.record.strike_note(note.id, reason="by voice")
        settle(self.tools.record, self.session, self.tools.rules)
        return f"Struck: {note.note.text or 'a note that could not be read'}"

    def _back(self) -> str:
        note = self._last()
        return note.note.text or "The last note could not be read."

    def _make(self, text: str) -> str:
        """The last value said becomes another; a figure heard in two ways changes nothing. Raises BadInput."""
        stored, which = self._last_torque()
        tokens = read_tokens(text, self.units)
        figure = tokens[0].figure if tokens and tokens[0].kind == "figure" else None
        if figure is None or figure.unsure or figure.others or figure.splits:
            raise BadInput(f"{text!r} is no sure figure.")
        unit = text[tokens[0].end :].strip() or stored.entry.torques[which].unit or ""
        if not unit:
            raise BadInput("No unit was said, and the last value has none.")
        unit = {"N*m": "newton metres", "lbf*ft": "foot pounds", "lbf*in": "inch pounds"}.get(unit, unit)
        said = f"{figure.value:g} {unit}"
        mend(self.tools.record, stored, "torque", said, read=self.tools.read, units=self.units, which=which, reason="by voice")
        entries = settle(self.tools.record, self.session, self.tools.rules)
        now = next(entry for entry in entries if entry.id == stored.id)
        verdicts = [verdict for verdict in now.judgement.verdicts if verdict.torque == which]
        return f"{stored.entry.part or 'Part not named'}: {said}, {verdicts[0].code if verdicts else 'not judged'}. The maker's manual decides."

    def _last_torque(self) -> tuple[StoredEntry, int]:
        found = [
            (torque.note, -at, entry, which)
            for at, entry in enumerate(self.tools.record.entries(self.session))
            for which, torque in enumerate(entry.entry.torques)
            if torque.note is not None and not entry.struck
        ]
        if not found:
            raise BadInput("No value was said yet.")
        latest = max(row[0] for row in found)
        last = [row for row in found if row[0] == latest]
        if len(last) > 1:
            raise BadInput("The last note has several values, so it is not clear which is meant.")
        return last[0][2], last[0][3]

    def _list(self) -> str:
        items = self.tools.record.items(job=self._job)
        if not items:
            return "Nothing is open."
        texts = "; ".join(item.item.text for item in items[-SHOWN:])
        return f"{len(items)} open. {'The last: ' if len(items) > SHOWN else ''}{texts}"

    def _left(self) -> str:
        record, job = self.tools.record, self._job
        sheet = job_sheet(record, job)
        if sheet is None:
            raise BadInput("No spec sheet is loaded, so what is left is not known.")
        sessions = [session.id for session in record.sessions() if session.job == job]
        entries = [stored.entry for number in sessions for stored in record.entries(number) if not stored.struck]
        made = progress(entries, sheet, trade=self.trade, learnt=record.learnt_joints(job))
        names = [joint.name for joint in made.joints if joint.state != "done"]
        return f"{made.total - made.done} of {made.total} left. {'; '.join(names[:SHOWN])}"

    def _ask(self, question: str) -> str:
        record, job = self.tools.record, self._job
        wrenches = record.tools()
        known = read_wrenches(wrenches.text.split("\n")).wrenches if wrenches else ()
        aid = aid_for(question, trade=self.trade, units=self.units, wrenches=known, sheet=job_sheet(record, job))
        if aid is None:
            raise BadInput("Neither the spec sheet nor the sums answer that.")
        return " ".join([aid.text, *aid.cautions])
