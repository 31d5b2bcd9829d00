"""Record rows go in, text that people read comes out: summary, brief, build record, the order of putting together."""

from gudgeon.reports import saying
from gudgeon.reports.aloud import aloud, read_aloud
from gudgeon.reports.as_csv import as_csv
from gudgeon.reports.as_html import as_html
from gudgeon.reports.as_markdown import as_markdown, lines_as_markdown
from gudgeon.reports.as_pdf import as_pdf
from gudgeon.reports.brief import BriefView, brief, progress_lines, to_verify
from gudgeon.reports.build_record import BuildView, build_record
from gudgeon.reports.document import Attachment, Document
from gudgeon.reports.lines import ENDLESS, Line, as_text, paragraph
from gudgeon.reports.lists import history_lines, hits_lines, items_lines, job_lines, jobs_lines, note_lines, offer_lines, sheet_lines, wrench_lines
from gudgeon.reports.origins import SessionPart
from gudgeon.reports.putting_together import putting_together
from gudgeon.reports.summary import SessionView, needs_a_look, summary

__all__ = [
    "ENDLESS",
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
    "items_lines",
    "job_lines",
    "jobs_lines",
    "lines_as_markdown",
    "needs_a_look",
    "note_lines",
    "offer_lines",
    "paragraph",
    "progress_lines",
    "putting_together",
    "read_aloud",
    "saying",
    "sheet_lines",
    "summary",
    "to_verify",
    "wrench_lines",
]
