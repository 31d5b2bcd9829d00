"""Spoken commands are carried out: the record is changed or asked, and each comes to one short answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from gudgeon.domain import BadInput, Clip, GudgeonError, Hearing, OpenItem
from gudgeon.notes import Figure, read_tokens
from gudgeon.record import StoredEntry, StoredNote
from gudgeon.session.doubts import Doubt, digits, doubt_of, reply_in
from gudgeon.session.fixes import mend, mend_words
from gudgeon.session.live import Answer, Reins
from gudgeon.session.other_talk import strike_talk
from gudgeon.session.settle import settle
from gudgeon.session.spoken_answers import MANUAL, Answerer, read_as
from gudgeon.session.tools import Tools
from gudgeon.session.voice_words import CALLED, UNKNOWN, Command, Commands
from gudgeon.trade import Trade
from gudgeon.units import UnitWords

NOT_UNDERSTOOD = Answer("Not understood as a command; it is kept as a note, and no value is read from it.", taken=False, aloud="Not understood.")
NOT_SURE = Answer(
    "Heard unsurely, so nothing was changed; it is kept as a note. Please say it again.", taken=False, aloud="Not sure. Please say it again."
)
CALLED_FOR_S = 8.0
"""How long after the wake phrase alone the command may begin."""
UNITS = {"N*m": "newton metres", "lbf*ft": "foot pounds", "lbf*in": "inch pounds"}


@dataclass(slots=True)
class Voice:
    """Listens for commands in the phrases of one session. ``obey`` is what ``listen`` calls; ``asks`` says whether doubts are asked."""

    tools: Tools
    session: int
    reins: Reins
    units: UnitWords
    trade: Trade
    commands: Commands
    asks: bool = True
    paused: bool = field(default=False, init=False)
    doubt: Doubt | None = field(default=None, init=False)
    called_until: float = field(default=-1.0, init=False)

    def obey(self, clip: Clip, hearing: Hearing) -> tuple[Answer | None, bool]:
        """The answer when the phrase was a command or a reply, and whether it is a note."""
        called, self.called_until = clip.start <= self.called_until, -1.0
        command = self.commands.read(hearing.text, called=called)
        if command is None or (called and command.name == UNKNOWN):
            settled = self._reply(clip, hearing)
            if settled:
                return settled, False
        if command is None:
            return (Answer("Paused: no note was made; the sound is kept.", aloud=""), False) if self.paused else (None, True)
        if command.name == CALLED:
            self.called_until = clip.end + CALLED_FOR_S
            return Answer("Yes?", aloud=""), False
        if command.name == UNKNOWN:
            return NOT_UNDERSTOOD, True
        if any(self.commands.read(other.text, called=called) != command for other in hearing.others):
            return NOT_SURE, True
        try:
            return self._do(command), False
        except GudgeonError as error:
            return Answer(f"{error.happened} It is kept as a note.", taken=False, aloud=error.happened), True

    def ask_about(self, note: StoredNote, entries: Sequence[StoredEntry]) -> str:
        """The question to ask about a note just stored, once; empty when nothing in it that counts is doubtful."""
        self.doubt = doubt_of(note, entries) if self.asks else None
        return self.doubt.question if self.doubt else ""

    def _reply(self, clip: Clip, hearing: Hearing) -> Answer | None:
        """The doubt that was asked just before is settled when this phrase is the reply; it is not asked again."""
        doubt, self.doubt = self.doubt, None
        if doubt is None or clip.start > doubt.until:
            return None
        value = reply_in(hearing, doubt, self.units)
        if value is None:
            return None
        text = doubt.texts[doubt.values.index(value)]
        mend_words(self.tools, self.session, doubt.note, text, reason="asked and said again")
        note = next(note for note in self.tools.record.notes(self.session) if note.id == doubt.note)
        values = read_as(self.tools.record, note)
        return Answer(f"{value:g} it is. {values or text}", aloud=f"{digits(value)}. {values}".strip())

    def _do(self, command: Command) -> Answer:
        if command.name in ("pause", "carry on"):
            self.paused = command.name == "pause"
            return Answer("Paused. To go on, say the wake phrase and: carry on.", aloud="Paused.") if self.paused else Answer("Carrying on.")
        if command.name == "end":
            self.reins.said_to_end = True
            self.reins.stop.set()
            return Answer("The session ends here.")
        if command.name == "item":
            stored = self.tools.record.add_item(OpenItem(kind="todo", text=command.rest), job=self._job)
            return Answer(f"Open item {stored.item.id}: {command.rest}", aloud=f"Open item: {command.rest}")
        if command.name == "make":
            return self._make(command.rest)
        if command.name == "strike":
            return self._strike()
        if command.name == "strike talk":
            count = strike_talk(self.tools, self.session)
            return Answer(f"{count} note{'' if count == 1 else 's'} without a value or an open item struck.", aloud=f"{count} struck.")
        return self._answer(command)

    def _answer(self, command: Command) -> Answer:
        answers = Answerer(self.tools.record, self._job, self.units, self.trade)
        if command.name == "ask":
            return answers.ask(command.rest)
        if command.name == "list":
            return answers.open_items()
        if command.name in ("left", "left on"):
            return answers.left(command.rest)
        return answers.back(self._last())

    @property
    def _job(self) -> str | None:
        return self.tools.record.session(self.session).job

    def _last(self) -> StoredNote:
        """The last note that stands; a command that was not taken is passed over. Raises BadInput."""
        found = self.tools.record.notes(self.session)
        notes = [note for note in found if not note.struck and self.commands.read(note.note.text) is None]
        if not notes:
            raise BadInput("There is no note yet.")
        return notes[-1]

    def _strike(self) -> Answer:
        note = self._last()
        self.tools.record.strike_note(note.id, reason="by voice")
        settle(self.tools.record, self.session, self.tools.rules)
        self.doubt = None
        return Answer(f"Struck: {note.note.text or 'a note that could not be read'}", aloud="Struck.")

    def _make(self, text: str) -> Answer:
        """The last value said becomes another; a figure heard in two ways changes nothing. Raises BadInput."""
        stored, which = self._last_torque()
        figure, end = self._figure(text)
        unit = text[end:].strip() or stored.entry.torques[which].unit or ""
        if not unit:
            raise BadInput("No unit was said, and the last value has none.")
        said = f"{figure.value:g} {UNITS.get(unit, unit)}"
        mend(self.tools.record, stored, "torque", said, read=self.tools.read, units=self.units, which=which, reason="by voice")
        entries = settle(self.tools.record, self.session, self.tools.rules)
        now = next(entry for entry in entries if entry.id == stored.id)
        verdicts = [verdict for verdict in now.judgement.verdicts if verdict.torque == which]
        text = f"{stored.entry.part or 'Part not named'}: {said}, {verdicts[0].code if verdicts else 'not judged'}."
        return Answer(f"{text[:1].upper()}{text[1:]} {MANUAL}", aloud=text)

    def _figure(self, text: str) -> tuple[Figure, int]:
        """The figure a text begins with, and where it ends. Raises BadInput."""
        tokens = read_tokens(text, self.units)
        figure = tokens[0].figure if tokens and tokens[0].kind == "figure" else None
        if figure is None or figure.unsure or figure.others or figure.splits:
            raise BadInput(f"{text!r} is no sure figure.")
        return figure, tokens[0].end

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
