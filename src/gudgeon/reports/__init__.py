"""Record rows go in, text that people read comes out: summary, brief, build record, the order of putting together."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from gudgeon.reports import saying
from gudgeon.reports.brief import BriefView, brief, progress_lines, to_verify
from gudgeon.reports.lines import ENDLESS, Line, as_text, paragraph
from gudgeon.reports.lists import history_lines, hits_lines, items_lines, job_lines, jobs_lines, note_lines, offer_lines, sheet_lines, wrench_lines
from gudgeon.reports.note_list import note_list
from gudgeon.reports.summary import SessionView, needs_a_look, summary

if TYPE_CHECKING:
    from gudgeon.reports.aloud import aloud, read_aloud
    from gudgeon.reports.as_csv import as_csv, items_csv, steps_csv
    from gudgeon.reports.as_html import as_html
    from gudgeon.reports.as_markdown import as_markdown, lines_as_markdown
    from gudgeon.reports.as_pdf import as_pdf
    from gudgeon.reports.build_record import METHOD, BuildView, build_record
    from gudgeon.reports.document import Attachment, Document
    from gudgeon.reports.origins import SessionPart
    from gudgeon.reports.putting_together import putting_together, steps_of

_LATER = {
    "aloud": (
        "aloud",
        "read_aloud",
    ),
    "as_csv": (
        "as_csv",
        "items_csv",
        "steps_csv",
    ),
    "as_html": ("as_html",),
    "as_markdown": (
        "as_markdown",
        "lines_as_markdown",
    ),
    "as_pdf": ("as_pdf",),
    "build_record": (
        "METHOD",
        "BuildView",
        "build_record",
    ),
    "document": (
        "Attachment",
        "Document",
    ),
    "origins": ("SessionPart",),
    "putting_together": (
        "putting_together",
        "steps_of",
    ),
}
"""What makes whole documents, by module: loaded when one of its names is first asked for, so that a command that prints a list need not wait."""

__all__ = [
    "ENDLESS",
    "METHOD",
    "Attachment",
    "BriefView",
    "BuildView",
    "Document",
    "Line",
    "SessionPart",
    "SessionView",
    "aloud",
    "as_csv",
    "as_html",
    "as_markdown",
    "as_pdf",
    "as_text",
    "brief",
    "build_record",
    "history_lines",
    "hits_lines",
    "items_csv",
    "items_lines",
    "job_lines",
    "jobs_lines",
    "lines_as_markdown",
    "needs_a_look",
    "note_lines",
    "note_list",
    "offer_lines",
    "paragraph",
    "progress_lines",
    "putting_together",
    "read_aloud",
    "saying",
    "sheet_lines",
    "steps_csv",
    "steps_of",
    "summary",
    "to_verify",
    "wrench_lines",
]


def __getattr__(name: str) -> Any:
    """The names of documents, all at once: some are called like the module they stand in, and would be hidden by it else."""
    if not any(name in names for names in _LATER.values()):
        raise AttributeError(f"module 'gudgeon.reports' has no attribute {name!r}")
    modules = {module: import_module(f"gudgeon.reports.{module}") for module in _LATER}
    globals().update({each: getattr(modules[module], each) for module, names in _LATER.items() for each in names})
    return globals()[name]
