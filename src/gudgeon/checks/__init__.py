"""Entries, spec sheet, history and trade go in, verdicts and findings come out, each with a stable code; edits nothing."""

__all__: list[str] = []
