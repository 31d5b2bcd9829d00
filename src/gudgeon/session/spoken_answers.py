"""Questions asked aloud are answered from the spec sheet, the record and the sums; every answer says where it comes from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gudgeon.checks import JointProgress, Name, aid_for, from_sheet, named, progress, read_wrenches
from gudgeon.domain import BadInput
from gudgeon.record import Record, StoredEntry, StoredNote
from gudgeon.session.live import Answer
from gudgeon.session.settle import job_sheet
from gudgeon.trade import Trade
from gudgeon.units import UnitWords

SHOWN = 5
"""Items or joints that one answer lists; of these ``ALOUD`` are said."""
ALOUD = 3
MANUAL = "The maker's manual decides."


@dataclass(frozen=True, slots=True)
class Answerer:
    """Answers about one job. Each method raises BadInput with what is missing when it has no answer."""

    record: Record
    job: str | None
    units: UnitWords
    trade: Trade

    def ask(self, question: str) -> Answer:
        """A torque from the sheet, else from the record, else by a sum."""
        sheet = job_sheet(self.record, self.job)
        if "torque" in question or "tight" in question:
            found = from_sheet(question, sheet, self.units.sounds) if sheet else None
            if found:
                after = "" if found.several else f" {MANUAL}"
                return Answer(found.text + after, aloud=found.aloud + after)
            said = self._from_record(question, known=sheet is not None)
            if said:
                return said
        return self._by_sum(question)

    def _from_record(self, question: str, *, known: bool) -> Answer | None:
        """What was done at the joint, newest session first; struck entries, guesses and values without a unit are left out."""
        entries = [
            stored
            for number in sorted(self._sessions(), reverse=True)
            for stored in self.record.entries(number)
            if stored.entry.part and not stored.struck and any(_sure(stored, at) for at in range(len(stored.entry.torques)))
        ]
        names = [Name(one.entry.part or "", one.entry.place or "", one.entry.fastener or "") for one in entries]
        found = named(question, names, self.units.sounds)
        called = list(dict.fromkeys(names[at].words for at in found))
        if not found:
            return None
        if len(called) > 1:
            text = f"The record has several: {', '.join(called[:ALOUD])}{' and others' if len(called) > ALOUD else ''}. Say which."
            return Answer(text)
        newest = entries[found[0]]
        session = self.record.session(newest.session)
        values = " and ".join(_value(newest, at) for at in range(len(newest.entry.torques)) if _sure(newest, at))
        day = f"{session.started.day} {session.started:%B %Y}"
        without = "The spec sheet does not have it. " if known else "There is no spec sheet. "
        text = f"{without}{called[0][:1].upper()}{called[0][1:]}: {values}"
        return Answer(f"{text} (what was said in session {session.id}, {day}). {MANUAL}", aloud=f"{text}, said on {day}. {MANUAL}")

    def _sessions(self) -> list[int]:
        return [session.id for session in self.record.sessions() if session.job == self.job]

    def _by_sum(self, question: str) -> Answer:
        kept = self.record.tools()
        wrenches = read_wrenches(kept.text.split("\n")).wrenches if kept else ()
        aid = aid_for(question, trade=self.trade, units=self.units, wrenches=wrenches)
        if aid is None:
            raise BadInput("Neither the spec sheet, the record nor the sums answer that.")
        sources = f" Source: {'; '.join(aid.sources)}." if aid.sources else ""
        return Answer(f"{aid.answer} {' '.join(aid.cautions)}{sources}", aloud=f"{aid.answer} This is computed, and no specification. {MANUAL}")

    def open_items(self) -> Answer:
        """The open items of the job, the newest last."""
        texts = [item.item.text for item in self.record.items(job=self.job)]
        if not texts:
            return Answer("Nothing is open.")
        return Answer(_listed(len(texts), texts, SHOWN), aloud=_listed(len(texts), texts, ALOUD))

    def left(self, joint: str = "") -> Answer:
        """How many joints and sizes of the sheet are not done; of one joint, how many of its fasteners."""
        sheet = job_sheet(self.record, self.job)
        if sheet is None:
            raise BadInput("No spec sheet is loaded, so what is left is not known.")
        entries = [stored.entry for number in self._sessions() for stored in self.record.entries(number) if not stored.struck]
        made = progress(entries, sheet, trade=self.trade, learnt=self.record.learnt_joints(self.job))
        if joint:
            found = named(joint, [Name(one.name) for one in made.joints], self.units.sounds)
            if len(found) != 1:
                raise BadInput("The spec sheet has no joint of that name." if not found else "The spec sheet has several joints of that name.")
            return Answer(_left_at(made.joints[found[0]]))
        names = [one.name for one in made.joints if one.state != "done"]
        first = f"{made.total - made.done} of {made.total} left by the spec sheet"
        if not names:
            return Answer(f"{first}.")
        return Answer(f"{first}: {_some(names, SHOWN)}.", aloud=f"{first}: {_some(names, ALOUD)}.")

    def back(self, note: StoredNote) -> Answer:
        """The words of a note, and the values that were read from them."""
        if not note.note.text:
            return Answer("The last note could not be read.")
        values = read_as(self.record, note)
        return Answer(f"“{note.note.text}”{' Read as: ' + values if values else ' No torque was read from it.'}")


def read_as(record: Record, note: StoredNote) -> str:
    """The torques that were read from a note, each with its part and verdict; empty when there are none."""
    entries = [one for one in record.entries(note.session) if not one.struck]
    values = [f"{one.entry.part or 'part not named'} {_value(one, at)}" for one in entries for at in _of_note(one, note.position)]
    return "; ".join(values) + "." if values else ""


def _sure(stored: StoredEntry, at: int) -> bool:
    torque = stored.entry.torques[at]
    return torque.unit is not None and not torque.hedged


def _of_note(stored: StoredEntry, position: int) -> Sequence[int]:
    return [at for at, torque in enumerate(stored.entry.torques) if torque.note == position]


def _value(stored: StoredEntry, at: int) -> str:
    """A value of an entry in words, with its verdict, and whether it was heard unsurely."""
    verdict = next((one for one in stored.judgement.verdicts if one.torque == at), None)
    torque = stored.entry.torques[at]
    stage = f"stage {torque.stage} " if torque.stage else ""
    words = verdict.of if verdict else f"{torque.value:g}"
    judged = f", {verdict.code}" if verdict else ""
    return f"{stage}{words}{', heard unsurely' if torque.heard else ''}{judged}"


def _left_at(joint: JointProgress) -> str:
    """How many fasteners of a joint are left, stage by stage."""
    parts = []
    for stage in joint.stages:
        which = f"stage {stage.stage}: " if len(joint.stages) > 1 else ""
        if joint.state == "not started" and stage.expected is not None:
            parts.append(f"{which}all {stage.expected} left")
        elif stage.expected is None:
            parts.append(f"{which}how many there are is not in the sheet")
        elif stage.counted is None:
            parts.append(f"{which}how many of {stage.expected} are done was not said")
        else:
            parts.append(f"{which}{max(0, stage.expected - stage.counted)} of {stage.expected} left")
    return f"{joint.name[:1].upper()}{joint.name[1:]}: {'; '.join(parts)}. It is {joint.state}, by the spec sheet and the record."


def _listed(count: int, texts: Sequence[str], most: int) -> str:
    return f"{count} open. {'The last: ' if count > most else ''}{'; '.join(texts[-most:])}"


def _some(names: Sequence[str], most: int) -> str:
    return "; ".join(names[:most]) + (f"; and {len(names) - most} more" if len(names) > most else "")
