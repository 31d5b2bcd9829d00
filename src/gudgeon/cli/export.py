"""``gudgeon export``: the record for other programs, and the build record for other people."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from gudgeon.cli.options import JobName, RecordDir
from gudgeon.cli.show import tell

if TYPE_CHECKING:
    from gudgeon.record import Record
    from gudgeon.reports import Attachment, BuildView

FORMS = ("json", "md", "html", "pdf", "csv", "build.json")
To = Annotated[
    str,
    typer.Option(
        "--to",
        metavar="FORMS",
        help="One or several of: md, html and pdf (the build record for people), csv (its values), build.json (the build record for programs), "
        "json (the record itself, for gudgeon import).",
    ),
]
Out = Annotated[Path | None, typer.Option("--out", metavar="FILE", help="Write it there, else it is printed; several forms each get their ending.")]
Sound = Annotated[bool, typer.Option("--sound", help="html: carry the sound of each value inside.")]
Reverse = Annotated[bool, typer.Option("--reverse", help="What was taken apart, in the order of putting together; not with json.")]
Location = Annotated[bool, typer.Option("--location", help="Leave in pictures what they say of place, time and camera.")]


def export(
    to: To = "json",
    out: Out = None,
    job: JobName = None,
    sound: Sound = False,
    reverse: Reverse = False,
    location: Location = False,
    schema: Annotated[bool, typer.Option("--schema", help="Print the JSON Schema of all JSON that gudgeon writes, and stop.")] = False,
    record: RecordDir = None,
) -> None:
    """Export a job as a build record for people (md, html, pdf), spreadsheets (csv) or programs (build.json), or the record itself without its
    sound (json).

    Example: gudgeon export --to pdf,csv --job "orchard tractor" --out tractor
    """
    from gudgeon.cli import wiring

    if schema:
        print(resources.files("gudgeon.cli").joinpath("tables/shapes.schema.json").read_text(encoding="utf-8"), end="")
        return
    forms = _forms(to, out, sound=sound, reverse=reverse)
    targets = {form: out if out is None or len(forms) == 1 else out.with_name(f"{out.name}.{form}") for form in forms}
    _refuse_existing([target for target in targets.values() if target])
    with wiring.open_record(record) as opened:
        made = _made(opened, job, forms, sound=sound, reverse=reverse, location=location, out=targets.get("md"))
        for form, pieces in made:
            target = targets[form]
            if target is None:
                sys.stdout.flush()
                for piece in pieces:
                    sys.stdout.buffer.write(piece) if form == "pdf" else sys.stdout.write(piece.decode("utf-8"))
                continue
            _write(target, [b"\xef\xbb\xbf", *pieces] if form == "csv" else pieces)
            tell(f"Written to {target}{'' if form == 'html' and sound else ', without sound'}.")


def _forms(to: str, out: Path | None, *, sound: bool, reverse: bool) -> list[str]:
    """The forms asked for. Raises BadInput when one is unknown or the rest does not go with them."""
    from gudgeon.domain import BadInput

    forms = list(dict.fromkeys(word.strip().lower() for word in to.split(",") if word.strip()))
    unknown = [form for form in forms if form not in FORMS]
    if unknown or not forms:
        raise BadInput(
            f"A record cannot be exported to {', '.join(unknown) or 'nothing'!r}.", next_step=f"Use one or several of: {', '.join(FORMS)}."
        )
    if out is None and len(forms) > 1:
        raise BadInput("Several forms cannot be printed at once.", next_step="Name a file with --out; each form gets its own ending.")
    if out is None and "pdf" in forms and sys.stdout.isatty():
        raise BadInput("A PDF is no text for a terminal.", next_step="Name a file: gudgeon export --to pdf --out record.pdf")
    if sound and "html" not in forms:
        raise BadInput("Only html carries sound.", next_step="Use: gudgeon export --to html --sound --out record.html")
    if reverse and "json" in forms:
        raise BadInput(
            "The record itself has no order of putting together.", next_step=f"Use --reverse with --to {', '.join(FORMS[1:-1])} or {FORMS[-1]}."
        )
    return forms


def _made(
    record: Record, job: str | None, forms: list[str], *, sound: bool, reverse: bool, location: bool, out: Path | None
) -> Iterator[tuple[str, Iterable[bytes]]]:
    """Each form with its bytes, in pieces."""
    from gudgeon.cli import wiring

    if "json" in forms:
        rows = record.export_lines(job, location=location)
        yield "json", ((json.dumps(row, ensure_ascii=False) + "\n").encode() for row in rows)
    if forms == ["json"]:
        return
    from gudgeon.cli.documents import build, files_of, parts_of, view_of
    from gudgeon.reports import as_csv, as_html, as_markdown, as_pdf

    named, picked = job is not None, wiring.pick_job(record, job, make=False, tell=tell)
    if "csv" in forms and not reverse:
        yield "csv", [as_csv(parts_of(record, picked, every_job=not named)).encode()]
    if set(forms) <= {"json", "csv"} and not reverse:
        return
    parts = parts_of(record, picked, sound=sound)
    yield from _for_programs(record, view_of(record, picked, parts), forms, reverse=reverse)
    if not {"md", "html", "pdf"} & set(forms):
        return
    document, files = build(record, picked, parts, reverse=reverse), files_of(record, parts, location=location)
    if "md" in forms:
        yield "md", [as_markdown(document, _beside(out, files)).encode()]
    if "html" in forms:
        yield "html", [as_html(document, files).encode()]
    if "pdf" in forms:
        yield "pdf", [as_pdf(document, files)]


def _for_programs(record: Record, view: BuildView, forms: list[str], *, reverse: bool) -> Iterator[tuple[str, Iterable[bytes]]]:
    """The build record as JSON; with ``reverse`` the order of putting together as JSON and as a table."""
    from gudgeon.cli.build_shapes import build_json, steps_json
    from gudgeon.reports import steps_csv, steps_of

    if "csv" in forms and reverse:
        yield "csv", [steps_csv(steps_of(view.parts, sheet=view.sheet)).encode()]
    if "build.json" in forms:
        row = steps_json(view) if reverse else build_json(view, record)
        yield "build.json", [(json.dumps(row, ensure_ascii=False, indent=1) + "\n").encode()]


def _beside(out: Path | None, files: dict[Attachment, bytes]) -> dict[Attachment, str]:
    """Pictures written into a folder beside a Markdown file: what Markdown cannot carry inside; their names from there."""
    if out is None:
        return {}
    folder = out.with_name(f"{out.name.removesuffix('.md')}_pictures")
    names: dict[Attachment, str] = {}
    for thing, data in files.items():
        if thing.kind == "picture":
            if not names:
                _refuse_existing([folder])
                folder.mkdir(mode=0o700)
            names[thing] = f"{folder.name}/note-{thing.note}-{thing.number}{_ending(data)}"
            _write(out.parent / names[thing], [data])
    return names


def _ending(data: bytes) -> str:
    return ".png" if data.startswith(b"\x89PNG") else ".webp" if data.startswith(b"RIFF") else ".jpg"


def _refuse_existing(paths: list[Path]) -> None:
    from gudgeon.domain import BadInput

    for path in paths:
        if path.exists():
            raise BadInput(f"{path} is there already.", kept="It was not touched.", next_step="Choose another name.")


def _write(path: Path, pieces: Iterable[bytes]) -> None:
    """The whole file or none, readable by its owner alone."""
    from gudgeon.domain import Failure

    part = path.with_name(path.name + ".part")
    try:
        with part.open("wb") as file:
            file.writelines(pieces)
        part.chmod(0o600)
        part.replace(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise Failure(f"{path} could not be written: {error.strerror or error}.", kept="The record is as it was.") from error
