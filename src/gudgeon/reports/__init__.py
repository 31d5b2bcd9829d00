"""Record rows go in, text that people read comes out: summary, brief, build record."""

from gudgeon.reports import saying
from gudgeon.reports.brief import BriefView, brief, progress_lines, to_verify
from gudgeon.reports.build_record import SessionPart, build_csv, build_markdown
from gudgeon.reports.lines import Line, as_text, paragraph
from gudgeon.reports.lists import history_lines, hits_lines, items_lines, job_lines, jobs_lines, note_lines, offer_lines, sheet_lines, wrench_lines
from gudgeon.reports.summary import SessionView, needs_a_look, summary

__all__ = [
    "BriefView",
    "Line",
    "SessionPart",
    "SessionView",
    "as_text",
    "brief",
    "build_csv",
    "build_markdown",
    "history_lines",
    "hits_lines",
    "items_lines",
    "job_lines",
    "jobs_lines",
    "needs_a_look",
    "note_lines",
    "offer_lines",
    "paragraph",
    "progress_lines",
    "saying",
    "sheet_lines",
    "summary",
    "to_verify",
    "wrench_lines",
]
