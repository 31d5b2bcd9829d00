"""``gudgeon ears``: what can read sound here, and whether it works."""

from __future__ import annotations

from gudgeon.cli.options import AsJson
from gudgeon.cli.show import print_json, print_lines, tell, width


def ears(as_json: AsJson = False) -> None:
    """Show the recognisers and models found, and try each on a built-in English clip.

    Example: gudgeon ears
    """
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
