"""A document as PDF, set by Typst. What was said reaches it as data in a JSON file, and is never read as markup."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Mapping
from dataclasses import asdict
from datetime import UTC, datetime
from importlib import resources
from pathlib import Path

from gudgeon.domain import Failure, MissingThing
from gudgeon.reports.document import Attachment, Document

ENDINGS = {b"\x89PNG": "png", b"\xff\xd8\xff": "jpg", b"RIFF": "webp"}


def as_pdf(document: Document, files: Mapping[Attachment, bytes] | None = None) -> bytes:
    """The document as PDF (A4, tagged), with the pictures of ``files`` in it.

    Raises MissingThing when the package that sets it is not installed, Failure when it cannot be set.
    """
    try:
        import typst  # noqa: PLC0415 - an extra of its own, and this file alone knows it
    except ImportError as error:
        raise MissingThing(
            "The package that sets PDF is not installed.",
            kept="The record is as it was.",
            next_step='Install it with: pip install "gudgeon[pdf]", or use --to html and print that from a browser.',
        ) from error
    with tempfile.TemporaryDirectory(prefix="gudgeon-pdf-") as name:
        folder = Path(name)
        template = resources.files("gudgeon.reports").joinpath("templates/document.typ").read_text(encoding="utf-8")
        (folder / "document.typ").write_text(template, encoding="utf-8")
        (folder / "data.json").write_text(json.dumps(_data(document, files or {}, folder), ensure_ascii=False), encoding="utf-8")
        try:
            main, day = str(folder / "document.typ"), datetime.fromisoformat(document.made).replace(tzinfo=UTC)
            return bytes(typst.compile(main, root=str(folder), format="pdf", pdf_standards=["ua-1"], timestamp=day))
        except (RuntimeError, typst.TypstError) as error:
            raise Failure(
                f"The PDF could not be set: {str(error).splitlines()[0]}",
                kept="The record is as it was.",
                next_step="Use --to html and print that from a browser; please report it.",
            ) from error


def _data(document: Document, files: Mapping[Attachment, bytes], folder: Path) -> dict[str, object]:
    """The document as JSON values, each picture with the name of a file written to ``folder`` (empty for what is not carried)."""
    names: dict[Attachment, str] = {}
    for at, (thing, data) in enumerate(files.items()):
        ending = next((ending for start, ending in ENDINGS.items() if data.startswith(start)), None)
        if thing.kind == "picture" and ending:
            names[thing] = f"picture-{at}.{ending}"
            (folder / f"picture-{at}.{ending}").write_bytes(data)
    row = asdict(document)
    for section in row["sections"]:
        blocks = [block for band in (section["table"] or {"bands": ()})["bands"] for block in band["blocks"]]
        for holder in (*section["items"], *blocks):
            holder["attached"] = [thing for thing in holder["attached"] if thing["kind"] == "picture"]
            for thing in holder["attached"]:
                thing["file"] = names.get(Attachment(**thing), "")
    return row
