"""``gudgeon ears``: what can read sound here, and whether it works."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gudgeon.cli.options import AsJson
from gudgeon.cli.show import print_json, print_lines, tell, width

Prepare = Annotated[bool, typer.Option("--prepare", help="Rebuild the embedded model for this computer now, not at its first use.")]
Read = Annotated[bool, typer.Option("--read", help="Show ten lines to read aloud at your bench, and say how well they were heard.")]
At = Annotated[str | None, typer.Option("--microphone", metavar="NAME", help="With --read: the microphone, by its number or part of its name.")]
From = Annotated[Path | None, typer.Option("--from", metavar="FILE", help="With --read: a recording of the ten lines instead of the microphone.")]
With = Annotated[str | None, typer.Option("--recogniser", metavar="NAME", help="With --read: what reads the sound.")]


def ears(
    prepare: Prepare = False,
    read: Read = False,
    microphone: At = None,
    file: From = None,
    recogniser: With = None,
    as_json: AsJson = False,
) -> None:
    """Show the recognisers and models found, and try each on a built-in English clip.

    With --read you find out how well your own voice is heard at your bench.

    Example: gudgeon ears --read
    """
    if prepare:
        _prepare(as_json=as_json)
    elif read or file is not None:
        from gudgeon.cli.ears_read import read_aloud

        read_aloud(microphone, file, recogniser, as_json=as_json)
    else:
        _show_all(as_json=as_json)


def _prepare(*, as_json: bool) -> None:
    """Rebuild the embedded model into the cache folder; the exit status is 1 when only the plain form can be used."""
    from gudgeon.cli import wiring
    from gudgeon.domain import Failure
    from gudgeon.reports import paragraph
    from gudgeon.speech import prepare, prepared

    files, cache = wiring.embedded_model(), wiring.cache_folder()
    earlier = prepared(files, cache)
    try:
        made = earlier or prepare(files, cache, notice=tell)
    except OSError as error:
        raise Failure(
            f"The folder {cache} could not be written: {error.strerror or error}.",
            kept="The recogniser works all the same, about three times slower.",
            next_step="Make room there, or set XDG_CACHE_HOME to another folder.",
        ) from error
    size = sum(path.stat().st_size for path in made.folder.iterdir())
    if as_json:
        row = {"schema": 1, "folder": str(made.folder), "bytes": size, "same_words": made.same_words, "was_there": earlier is not None}
        print_json(row)
    else:
        says = "It reads the built-in clip just as the model as it comes does, and is used from now on."
        if not made.same_words:
            says = "On this computer it does not read the built-in clip as the model as it comes does, so that one is used, about three times slower."
        title = "The recogniser was prepared before." if earlier else "The recogniser is prepared."
        print_lines(paragraph(title, [says, f"{size / 1e6:.0f} MB in {made.folder}"], width=width()))
    if not made.same_words:
        raise typer.Exit(1)


def _show_all(*, as_json: bool) -> None:
    from gudgeon.cli import wiring
    from gudgeon.domain import GudgeonError
    from gudgeon.reports import paragraph
    from gudgeon.speech import find_recognisers, self_test

    folders = wiring.model_folders()
    for found in find_recognisers(model_dirs=folders):
        row = {"schema": 1, "name": found.name, "where": str(found.where) if found.where else None, "usable": found.usable}
        row |= {"ok": None, "text": "", "says": found.what_to_do}
        if found.usable:
            try:
                test = self_test(wiring.recogniser(found.name, notice=tell))
                row |= {"ok": test.ok, "text": test.text, "says": test.says}
            except GudgeonError as error:
                row |= {"ok": False, "says": str(error)}
        if as_json:
            print_json(row)
            continue
        state = "works" if row["ok"] else "does not work" if found.usable else "not here"
        texts = (row["where"] and f"model in {row['where']}", row["says"], row["text"] and f"heard: {row['text']}")
        print_lines(paragraph(f"{found.name}: {state}", [str(text) for text in texts if text], width=width()))
    if not as_json:
        print_lines(paragraph("Models are looked for in", [str(folder) for folder in folders], width=width()))
