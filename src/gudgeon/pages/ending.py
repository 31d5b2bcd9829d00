"""The routes that end open items and change a spec sheet: plain forms, sent back to their page."""

from __future__ import annotations

from collections.abc import Mapping

from fastapi import FastAPI, Request, Response
from fastapi.responses import RedirectResponse
from starlette.concurrency import run_in_threadpool

from gudgeon.checks import SIZE_COLUMNS, TORQUE_COLUMNS, read_spec
from gudgeon.domain import BadInput, BadTable
from gudgeon.pages.changes import read_form
from gudgeon.pages.house import House, Number, Templates
from gudgeon.pages.open_page import asked
from gudgeon.reports import saying
from gudgeon.session import settle_all

LARGEST_SHEET = 1 << 20
LONGEST_ANSWER = 2000
MOST_WRONG = 40


class Ending:
    """The routes, with what they work with."""

    def __init__(self, house: House, templates: Templates) -> None:
        self._house = house
        self._templates = templates

    def add_to(self, app: FastAPI) -> None:
        """Add the routes to an app."""
        app.add_api_route("/open/{item}/{what}", self.item, methods=["POST"])
        app.add_api_route("/spec/edit", self.sheet, methods=["GET"])
        app.add_api_route("/spec/edit", self.keep_sheet, methods=["POST"])

    async def item(self, item: Number, what: str, request: Request) -> Response:
        """Answer, drop or reopen an item."""
        form = await read_form(request)
        return await run_in_threadpool(self._item, item, what, form.get("text", "").strip(), form.get("back", ""))

    def _item(self, item: int, what: str, text: str, back: str) -> Response:
        if what not in ("answer", "drop", "reopen") or len(text) > LONGEST_ANSWER or (what != "reopen" and not text):
            raise BadInput("An item ends with an answer or a reason.", kept="It was not changed.", next_step="Go back and type one.")
        with self._house.open_record() as record:
            if what == "answer":
                record.answer(item, text)
            elif what == "drop":
                record.drop(item, text)
            else:
                record.reopen(item, text)
        where = asked(back).query()
        return RedirectResponse(f"/open{'?' if where else ''}{where}#i{item}", status_code=303)

    def sheet(self, job: str = "") -> Response:
        """The text of a job's sheet, to be corrected."""
        with self._house.open_record() as record:
            name = record.job(job).name if job else None
            stored = record.sheet(name)
        own = stored if stored and stored.job == name else None
        return self._edit(name, own.text if own else ",".join(TORQUE_COLUMNS) + "\n", "")

    async def keep_sheet(self, request: Request) -> Response:
        """Keep a corrected sheet, judge the job's sessions against it, and show the lines that were refused."""
        form = await read_form(request, largest=LARGEST_SHEET)
        return await run_in_threadpool(self._keep, form.get("job", ""), corrected(form))

    def _keep(self, job: str, text: str) -> Response:
        with self._house.open_record() as record:
            name = record.job(job).name if job else None
            try:
                sheet = read_spec(text.split("\n"))
            except BadTable as error:
                return self._edit(name, text, f"{error.happened} The sheet was not changed. {error.next_step}", status=400)
            if not sheet.rows and not sheet.sizes:
                return self._edit(name, text, "No row of it can be used, so the sheet was not changed. What you typed is still here.", status=400)
            old = record.sheet(name)
            stored = record.put_sheet(name=old.name if old and old.job == name else "typed.csv", text=text, sheet=sheet, job=name)
            judged = settle_all(record, self._house.tools(record).rules, sheet=stored)
        rows = (saying.counted(len(sheet.rows), "torque row"), saying.counted(len(sheet.sizes), "size row"), saying.counted(judged, "session"))
        return self._edit(name, text, f"Kept: {rows[0]} and {rows[1]}; {rows[2]} judged anew.")

    def _edit(self, job: str | None, text: str, said: str, *, status: int = 200) -> Response:
        lines = text.split("\n")
        try:
            refused = read_spec(lines).refused
        except BadTable:  # it has no header; that is said already
            refused = ()
        wrong = [(line, reason, lines[line - 1]) for line, reason in refused if 0 < line <= len(lines)]
        columns = {"torque": ", ".join(TORQUE_COLUMNS), "size": ", ".join(SIZE_COLUMNS)}
        shown = {"wrong": wrong[:MOST_WRONG], "more": len(wrong[MOST_WRONG:]), "columns": columns}
        return self._templates.page("spec_edit.html", status=status, job=job, text=text, said=said, **shown)


def corrected(form: Mapping[str, str]) -> str:
    """The text of a sheet with the refused lines that were corrected beside it put in; only where the text itself still has the line as it was."""
    lines = form.get("text", "").replace("\r\n", "\n").split("\n")
    for at, line in enumerate(lines, start=1):
        if form.get(f"was-{at}") == line:
            lines[at - 1] = form.get(f"line-{at}", line)
    return "\n".join(lines)
