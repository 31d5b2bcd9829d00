"""A document as one HTML file: styles, pictures and sound inside it, no script, nothing fetched; prints with repeated heads and page numbers."""

from __future__ import annotations

import base64
from collections.abc import Mapping
from importlib import resources

from gudgeon.reports.document import Attachment, Document

KINDS = {b"\x89PNG": "image/png", b"\xff\xd8\xff": "image/jpeg", b"RIFF": "image/webp"}
SOUND = "audio/mpeg"


def as_html(document: Document, files: Mapping[Attachment, bytes] | None = None) -> str:
    """The document as HTML. ``files`` are the bytes of pictures (PNG, JPEG, WebP) and sound (MP3) to carry inside."""
    from jinja2 import Environment, StrictUndefined  # noqa: PLC0415 - seldom needed, and every command loads this room

    text = resources.files("gudgeon.reports").joinpath("templates/document.html").read_text(encoding="utf-8")
    house = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    inside = {thing: _data_url(thing, data) for thing, data in (files or {}).items()}
    return house.from_string(text).render(document=document, inside=inside)


def _data_url(thing: Attachment, data: bytes) -> str:
    kind = SOUND if thing.kind == "sound" else next((kind for start, kind in KINDS.items() if data.startswith(start)), "application/octet-stream")
    return f"data:{kind};base64,{base64.b64encode(data).decode('ascii')}"
